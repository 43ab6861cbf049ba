import type { LotView } from '../../../../../schema/types';
import { through } from '../../../../../sync/crop/yields';
import { cultivarOf, profileOf } from '../../../journal/records/input';
import { DataTable } from '../../../parts/DataTable';
import { Link } from '../../../router';
import { word } from '../../../words/entry';
import { list, number, percent } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { addressOfCrop } from '../crops/crops';
import { beginsWithPots, throughStages } from '../crops/yields';
import { Section } from '../Page';

/** How many pots a lot of cuttings or young plants makes; nothing for one that is in its last pots, or where no share is known. */
export function Expected({ view }: { view: LotView }) {
  const words = supervisorWords.value.lot.makes;
  const { lot, plan, rooting } = view;
  const toCome = plan.steps.filter(({ done, stage }) => !done && stage !== '').map(({ stage }) => stage);
  const crop = lot.crop ?? '';
  const ofCultivar = cultivarOf(crop, lot.cultivar ?? '')?.root_share_bp;
  const counted = rooting && rooting.share.n > 0 ? rooting.share.x / rooting.share.n : undefined;
  const rootShare = counted ?? (ofCultivar ? ofCultivar / 10_000 : undefined);
  const stages = throughStages(toCome, profileOf(crop)?.yields ?? [], rootShare, toCome[0]);
  const open = stages.filter(({ isWritten }) => !isWritten);
  const isYoung = toCome.slice(1).some(beginsWithPots);
  if (plan.problem !== '' || lot.pots <= 0 || !isYoung || open.length === stages.length) return null;
  const each = lot.plants_each || 1;
  const after = through(lot.pots, each, stages);
  const rows = stages.map((stage, i) => ({
    ...stage,
    left: after[i] ?? 0,
    each: stages.slice(0, i + 1).findLast(({ plantsEach }) => plantsEach !== undefined)?.plantsEach ?? each,
  }));
  const nameOf = (stage: string) => word(supervisorWords.value.plan.stage, stage);
  return (
    <Section title={words.title}>
      <p>{words.said(number(lot.pots), number(Math.round(after.at(-1) ?? 0)))}</p>
      <DataTable
        caption={words.title}
        captionUnseen
        rows={rows}
        keyOf={({ stage }) => stage}
        columns={[
          { key: 'stage', title: words.stage, heads: true, cell: ({ stage }) => nameOf(stage) },
          {
            key: 'share',
            title: words.share,
            numeric: true,
            cell: ({ share, isWritten }) => (isWritten ? percent(share, 1) : words.notWritten),
          },
          { key: 'each', title: words.each, numeric: true, cell: (row) => number(row.each) },
          { key: 'left', title: words.left, numeric: true, cell: ({ left }) => number(Math.round(left)) },
        ]}
      />
      <p class="small quiet">
        {counted !== undefined && toCome[0] === 'root' && words.counted} {words.note}{' '}
        {open.length > 0 && words.open(list(open.map(({ stage }) => nameOf(stage))))}{' '}
        <Link to={addressOfCrop(crop)}>{words.change}</Link>
      </p>
    </Section>
  );
}
