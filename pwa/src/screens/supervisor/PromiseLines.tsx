import type { GradeLack, LotScore, Promise as Promised, PromiseLine } from '../../../../schema/types';
import { DataTable } from '../../parts/DataTable';
import { supervisorWords } from '../../words/supervisor';
import { day, estimate, lengthEstimate, list, number, percentEstimate } from '../../words/format';
import { word } from '../../words/entry';

interface Props {
  promise: Promised;
  /** What the numbers are of: a lot by itself, several together. */
  note: string;
  /** What is known of lots that are too early to grade. */
  known?: LotScore | undefined;
}

/** How many pots may be promised, grade by grade, or why none may. */
export function PromiseLines({ promise, note, known }: Props) {
  const words = supervisorWords.value.promise;
  const [best] = promise.lines;
  if (!best) return <Held promise={promise} known={known} />;
  // A view that an earlier build kept does not say.
  const isKept = typeof best.kept === 'number';
  const nameOf = (line: PromiseLine) => (line === best ? line.grade : words.orBetter(line.grade));
  return (
    <div class="promise">
      <p class="safe">
        <b>{best.safe > 0 ? words.safe(number(best.safe), best.grade) : words.safeNone(best.grade)}</b>
        <span class="small quiet">{note}</span>
      </p>
      {promise.lines
        .filter((line, i) => line.over > Math.max(0, ...promise.lines.slice(0, i).map((better) => better.over)))
        .map((line) => (
          <p key={line.grade} class="attention">
            {words.over(line.over, nameOf(line))}
          </p>
        ))}
      <DataTable
        stacks
        caption={words.caption(promise.whole, promise.seen, number(promise.pots_on_bed))}
        rows={promise.lines}
        keyOf={(line) => line.grade}
        columns={[
          {
            key: 'grade',
            title: words.grade,
            heads: true,
            cell: nameOf,
          },
          { key: 'in', title: words.inGrade, numeric: true, cell: (line: PromiseLine) => number(line.in_grade) },
          { key: 'sure', title: words.sure, numeric: true, cell: (line: PromiseLine) => number(line.sure) },
          { key: 'kept', title: words.kept, numeric: true, cell: (line: PromiseLine) => number(line.kept) },
          {
            key: 'booked',
            title: words.booked,
            numeric: true,
            cell: (line: PromiseLine) => number(bookedIn(promise.lines, line)),
          },
          { key: 'safe', title: words.more, numeric: true, cell: (line: PromiseLine) => <b>{number(line.safe)}</b> },
        ].filter(({ key }) => isKept || key !== 'kept')}
      />
      {isKept && (
        <p class="small quiet">
          {[words.note(saidLoss(promise)), promise.left > 0 ? words.leftSince(promise.left) : ''].join(' ')}
        </p>
      )}
      {promise.graded_from === undefined && <p class="small">{words.noWeek}</p>}
    </div>
  );
}

/** What share of the pots is lost before shipping, with its limits, and whose word that is. */
function saidLoss({ shrink, kept_limits: kept, loss_basis: basis }: Promised): string {
  const words = supervisorWords.value.promise.loss;
  if (shrink === 0) return words.none;
  const interval = { low: 1 - (kept?.high ?? 1), high: 1 - (kept?.low ?? 1), known: kept !== undefined };
  const said = percentEstimate({ value: shrink, interval, n: 0, known: true }, 1);
  switch (basis) {
    case 'own':
      return words.own(said);
    case 'stages':
      return words.stages(said);
    case 'crop':
      return words.crop(said);
    default:
      return words.several(said);
  }
}

/** What is booked of a grade takes pots that the lesser grades' lines count too, so a line shows all that was taken off it. */
function bookedIn(lines: readonly PromiseLine[], line: PromiseLine): number {
  return lines.slice(0, lines.indexOf(line) + 1).reduce((sum, each) => sum + each.booked, 0);
}

/** Why nothing is promised, and what is known instead. */
function Held({ promise, known }: Omit<Props, 'note'>) {
  const words = supervisorWords.value.promise;
  if (promise.hold === 'early') {
    return (
      <>
        <p>
          <b>{words.early(day(promise.graded_from ?? ''))}</b>
        </p>
        {known && <p>{whatIsKnown(known)}</p>}
      </>
    );
  }
  if (promise.hold === 'few') return <p>{words.tooFewPots(promise.whole, promise.least)}</p>;
  const why = { ledger: words.ledger, uncounted: words.uncounted, shipped: words.shipped, unwalked: words.unwalked };
  return <p>{word(why, promise.hold)}</p>;
}

/** "Known so far: head 24.1 cm (23.2 to 25.0) and buds 31 (27 to 35)." */
function whatIsKnown(score: LotScore): string {
  const words = supervisorWords.value.promise;
  const said = score.traits.flatMap((trait) => {
    if (!trait.mean.known) return [];
    return trait.trait === 'head'
      ? [words.earlyHead(lengthEstimate(trait.mean))]
      : [words.earlyBuds(estimate(trait.mean, (value) => number(value)))];
  });
  return said.length > 0 ? words.earlyKnown(list(said)) : words.earlyNothing;
}

/** How many pots are undecided, and what would decide them. */
export function Undecided({ count, lacks }: { count: number; lacks: readonly GradeLack[] }) {
  const words = supervisorWords.value.promise;
  if (count === 0) return null;
  const said = lacks.map(({ line, pots }) => words.lack(lackName(line), pots));
  return (
    <p class="small">
      {words.undecided(count)} {said.length > 0 && words.decide(count, list(said))}
    </p>
  );
}

function lackName(line: string): string {
  return line === 'severity' ? supervisorWords.value.promise.severity : word(supervisorWords.value.bed.line, line);
}
