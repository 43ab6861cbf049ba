import type { BedScore, BedView, TraitScore } from '../../../../../schema/types';
import { headMM } from '../../../../../sync/bed/lots';
import { DotPlot, type DotGroup } from '../../../parts/DotPlot';
import { DataTable } from '../../../parts/DataTable';
import { Figure } from '../../../parts/Figure';
import { appWords } from '../../../words';
import { supervisorWords } from '../../../words/supervisor';
import { estimate, inLength, lengthUnit, number, percent } from '../../../words/format';
import { lotLine } from '../../../words/names';
import { size, traitName } from '../names';
import { Section } from '../Page';

type Trait = 'head' | 'buds';

/** Every pot's head size or bud count, lot by lot, over the band that counts as even. */
export function TraitPlot({ view, score, trait }: { view: BedView; score: BedScore; trait: Trait }) {
  const words = supervisorWords.value.bed;
  const title = trait === 'head' ? words.headTitle : words.budsTitle;
  const lots = score.lots.flatMap((lot) => {
    const measured = lot.traits.find((each) => each.trait === trait);
    return measured && measured.n > 0 && measured.mean.known ? [{ id: lot.lot, measured }] : [];
  });
  if (lots.length === 0) {
    return (
      <Section title={title}>
        <p class="quiet">{words.traitNone(traitName(trait))}</p>
      </Section>
    );
  }
  const labelOf = (lot: string) => {
    const span = view.bed.spans.find((each) => each.lot === lot);
    return span ? lotLine(span) : supervisorWords.value.bed.lot;
  };
  const groups = lots.map(({ id, measured }) => groupOf(view, trait, id, labelOf(id), measured));
  const said = lots.map(({ id, measured }) =>
    words.dotsLot(
      labelOf(id),
      measured.n,
      estimate(measured.mean, (value) => size(trait, value)),
      appWords.value.common.of(number(measured.counted.x), number(measured.counted.n)),
    ),
  );
  const tolerance = lots[0]?.measured.tolerance ?? 0;
  return (
    <Section title={title}>
      <Figure
        caption={words.band(percent(tolerance))}
        table={() => (
          <DataTable
            caption={title}
            captionUnseen
            rows={groups.flatMap((group) => group.values.map((each) => ({ ...each, lot: group.label })))}
            keyOf={(row) => row.id}
            columns={[
              { key: 'lot', title: words.lot, heads: true, by: (row) => row.lot, cell: (row) => row.lot },
              {
                key: 'value',
                title: trait === 'head' ? `${words.head} (${lengthUnit()})` : words.buds,
                numeric: true,
                by: (row) => row.value,
                cell: (row) => number(row.value, trait === 'head' ? 1 : 0),
              },
            ]}
          />
        )}
      >
        <DotPlot
          name={words.dots(title, `${said.join('; ')}.`)}
          groups={groups}
          write={number}
          axis={trait === 'head' ? words.headAxis(lengthUnit()) : words.budsAxis}
        />
      </Figure>
    </Section>
  );
}

function groupOf(view: BedView, trait: Trait, lot: string, label: string, measured: TraitScore): DotGroup {
  const shown = (raw: number) => (trait === 'head' ? inLength(raw) : raw);
  const values = view.pots.flatMap((pot) => {
    const raw = pot.voided || pot.now.lot !== lot ? null : trait === 'buds' ? (pot.now.buds ?? null) : headMM(pot.now);
    if (raw === null) return [];
    const odd = Math.abs(raw / measured.mean.value - 1) > measured.tolerance;
    return [{ id: pot.id, value: shown(raw), odd }];
  });
  const { value: mean } = measured.mean;
  return {
    id: lot,
    label,
    note: supervisorWords.value.bed.inBand(measured.counted.x, measured.counted.n),
    values,
    mean: shown(mean),
    band: [shown(mean * (1 - measured.tolerance)), shown(mean * (1 + measured.tolerance))],
  };
}
