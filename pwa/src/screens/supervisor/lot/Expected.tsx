import { useState } from 'preact/hooks';
import type { LotView } from '../../../../../schema/types';
import { throughWithin } from '../../../../../sync/crop/yields';
import { SelectField } from '../../../forms/fields';
import { cultivarOf, profileOf } from '../../../journal/records/input';
import { DataTable } from '../../../parts/DataTable';
import { Link } from '../../../router';
import { potSize, word } from '../../../words/entry';
import { list, number, percent } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { addressOfCrop } from '../crops/crops';
import { sizesOfYields, yieldsFor } from '../crops/sizes';
import { beginsWithPots, throughStages } from '../crops/yields';
import { Section } from '../Page';

/** How many pots a lot of cuttings or young plants makes; nothing for one that is in its last pots, or where no share is known. */
export function Expected({ view }: { view: LotView }) {
  const words = supervisorWords.value.lot.makes;
  const { lot, plan, rooting } = view;
  const crop = lot.crop ?? '';
  const profile = profileOf(crop);
  const sizes = sizesOfYields(profile);
  const own = sizes.includes(lot.pot_mm ?? 0) ? String(lot.pot_mm) : '';
  const [chosen, setChosen] = useState<string | undefined>(undefined);
  const size = chosen ?? own;
  const toCome = plan.steps.filter(({ done, stage }) => !done && stage !== '').map(({ stage }) => stage);
  const ofCultivar = cultivarOf(crop, lot.cultivar ?? '')?.root_share_bp;
  const isCounted = rooting !== undefined && rooting.share.n > 0;
  const root = isCounted
    ? { share: rooting.share.x / rooting.share.n, looked: rooting.share.n }
    : ofCultivar
      ? { share: ofCultivar / 10_000 }
      : undefined;
  const stages = throughStages(toCome, yieldsFor(profile, Number(size)), root, toCome[0]);
  const open = stages.filter(({ isWritten }) => !isWritten);
  const isYoung = toCome.slice(1).some(beginsWithPots);
  if (plan.problem !== '' || lot.pots <= 0 || !isYoung || open.length === stages.length) return null;
  const each = lot.plants_each || 1;
  const after = throughWithin(lot.pots, each, stages);
  const rows = stages.map((stage, i) => ({
    ...stage,
    ...(after[i] ?? { left: 0, low: 0, high: 0 }),
    each: stages.slice(0, i + 1).findLast(({ plantsEach }) => plantsEach !== undefined)?.plantsEach ?? each,
  }));
  const ready = rows.at(-1);
  const nameOf = (stage: string) => word(supervisorWords.value.plan.stage, stage);
  const rounded = (pots: number) => number(Math.round(pots));
  return (
    <Section title={words.title}>
      {sizes.length > 0 && (
        <SelectField
          label={words.intoPots}
          value={size}
          none={words.anySize}
          options={sizes.map((pot) => ({ value: String(pot), label: potSize(pot) }))}
          onChoose={setChosen}
        />
      )}
      {ready && <p>{words.said(number(lot.pots), rounded(ready.left), rounded(ready.low), rounded(ready.high))}</p>}
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
          { key: 'left', title: words.left, numeric: true, cell: ({ left }) => rounded(left) },
          {
            key: 'within',
            title: words.within,
            numeric: true,
            cell: ({ low, high }) => words.fromTo(rounded(low), rounded(high)),
          },
        ]}
      />
      <p class="small quiet">
        {isCounted && toCome[0] === 'root' && words.counted(rooting.share.n)} {words.note}{' '}
        {open.length > 0 && words.open(list(open.map(({ stage }) => nameOf(stage))))}{' '}
        <Link to={addressOfCrop(crop)}>{words.change}</Link>
      </p>
    </Section>
  );
}
