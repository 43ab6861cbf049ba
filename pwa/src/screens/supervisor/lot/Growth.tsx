import type { GrowthWalk, LotGrowth } from '../../../../../schema/types';
import { DataTable } from '../../../parts/DataTable';
import { Figure } from '../../../parts/Figure';
import { StepCautions } from '../../../parts/Caution';
import { Trend } from '../../../parts/Trend';
import { Link } from '../../../router';
import { dateTime, day, inLength, length, lengthUnit, number } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { Section } from '../Page';
import { saidGrowth, saidRows, saidTarget } from './growthWords';

/** How the mean head of a lot grows since its last pinch, with the window of the regulator in words. */
export function Growth({ growth, today }: { growth: LotGrowth; today: string }) {
  const words = supervisorWords.value.growth;
  const { walks, track } = growth;
  const [first, last] = [walks[0], walks.at(-1)];
  if (!first || !last) {
    return (
      <Section id="growth" title={words.title}>
        <p class="quiet">{growth.since === '' ? words.noPinch : words.noWalks(day(growth.since))}</p>
      </Section>
    );
  }
  // In the unit that is shown, so that the axis has round numbers in it.
  const interval = (low: number, high: number) => ({ low: inLength(low), high: inLength(high), known: true });
  const marks = walks.map((walk) => ({
    id: `${walk.walk} ${walk.bed}`,
    at: walk.at,
    value: inLength(walk.mm),
    interval: interval(walk.low, walk.high),
  }));
  const fit = track.map((point) => ({
    id: point.on,
    at: point.at,
    value: inLength(point.mm),
    interval: interval(point.low, point.high),
  }));
  const wanted = (growth.target?.rows ?? []).map((row) => ({
    at: row.at,
    low: inLength(row.low),
    high: inLength(row.high),
    id: `day ${row.day}`,
  }));
  const times = [...marks, ...fit, ...wanted].map(({ at }) => at);
  const caption = fit.length > 0 ? words.caption : words.captionBare;
  // The interval of a line far ahead may be wider than any head: what was seen decides what is drawn.
  const seen = 1.05 * Math.max(...marks.map((mark) => mark.interval.high), ...fit.map((mark) => mark.value));
  const top = Math.max(seen, ...wanted.map((row) => 1.05 * row.high));
  return (
    <Section id="growth" title={words.title}>
      {[...saidGrowth(growth, today), ...saidTarget(growth)].map((said) => (
        <p key={said}>{said}</p>
      ))}
      {growth.regulator === '' && growth.fit !== '' && <StepCautions steps={['regulator']} />}
      <Figure
        caption={`${caption(walks.length, day(growth.since))}${growth.target ? ` ${words.target.behind}` : ''}`}
        table={() => (
          <>
            <Walks walks={walks} />
            {growth.target && <p>{saidRows(growth.target)}</p>}
          </>
        )}
      >
        <Trend
          name={words.name(walks.length, length(first.mm), length(last.mm))}
          write={(size) => number(size, Number.isInteger(size) ? 0 : 1)}
          axis={words.axis(lengthUnit())}
          count={supervisorWords.value.bed.walks(walks.length)}
          marks={marks}
          {...(fit.length > 0 ? { other: { marks: fit, from: words.fit } } : {})}
          {...(wanted.length > 0 ? { wanted, span: { from: Math.min(...times), to: Math.max(...times) } } : {})}
          from={0}
          to={top}
        />
      </Figure>
    </Section>
  );
}

function Walks({ walks }: { walks: readonly GrowthWalk[] }) {
  const words = supervisorWords.value.growth;
  return (
    <DataTable
      caption={words.title}
      captionUnseen
      rows={walks.toReversed()}
      keyOf={(walk) => `${walk.walk} ${walk.bed}`}
      columns={[
        {
          key: 'walk',
          title: words.table.walk,
          heads: true,
          cell: (walk) => <Link to={`/beds/${walk.bed}?walk=${walk.walk}`}>{dateTime(walk.at)}</Link>,
        },
        { key: 'scout', title: words.table.scout, cell: (walk) => walk.person_name },
        { key: 'pots', title: words.table.pots, numeric: true, cell: (walk) => number(walk.n) },
        {
          key: 'mean',
          title: words.table.mean,
          numeric: true,
          cell: (walk) => words.mean(length(walk.mm), length(walk.low), length(walk.high)),
        },
      ]}
    />
  );
}
