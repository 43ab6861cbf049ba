import { useState } from 'preact/hooks';
import type { Observation } from '../../../../../schema/types';
import { cropKey } from '../../../../../sync/bed/crop';
import { gradedFrom, gradePots, isEarly } from '../../../../../sync/bed/grade';
import { judgedOf } from '../../../journal/records/input';
import { potsOfWalk, useStored } from '../../../journal/records/read';
import { lots, spans } from '../../../journal/records/registers';
import { walks, type WalkRow } from '../../../journal/records/walks';
import { DataTable } from '../../../parts/DataTable';
import { appWords } from '../../../words';
import { supervisorWords } from '../../../words/supervisor';
import { ago, day, list, number } from '../../../words/format';
import { lotLine } from '../../../words/names';
import type { ReadGrade } from './cropgrades';
import { lineName } from '../GradeOut';
import { Undecided } from '../PromiseLines';

interface Walked {
  lot: string;
  /** Walks of the beds on which the lot stands or stood, newest first; not all need have seen it. */
  walks: WalkRow[];
}

interface Seen {
  at: number;
  pots: Observation[];
}

/** How many walks back pots of the lot are looked for. */
const BACK = 6;

interface Props {
  crop: string;
  size: number;
  /** The grades of the list, in their order; undefined where a draft is not read yet. */
  reads: readonly (ReadGrade | undefined)[];
}

/** How the pots of a lot's newest walk fall into the grades as they are being changed. */
export function GradeSeen({ crop, size, reads }: Props) {
  const words = supervisorWords.value.crops;
  const [asked, ask] = useState('');
  const walked = walkedLots(crop, size);
  const one = walked.find((each) => each.lot === asked) ?? walked[0];
  const seen = useStored(() => seenOf(one), [one?.lot ?? '', one?.walks.map((walk) => walk.id).join(' ') ?? '']);
  const grades = reads.flatMap((read) => read?.grade ?? []);
  if (one && seen === undefined) return <p class="small quiet waiting">{appWords.value.common.loading}</p>;
  if (!one || !seen || seen.pots.length === 0) return <p class="small quiet">{words.seenNone}</p>;
  return (
    <div class="seen">
      <h4>{words.seenTitle}</h4>
      {walked.length > 1 && (
        <label class="ask">
          <span>{words.seenLot}</span>
          <select value={one.lot} onChange={(event) => ask(event.currentTarget.value)}>
            {walked.map((each) => (
              <option key={each.lot} value={each.lot}>
                {words.seenWalked(labelOf(each.lot), ago(each.walks[0]?.at ?? 0))}
              </option>
            ))}
          </select>
        </label>
      )}
      {grades.length < reads.length ? (
        <p class="quiet">{words.seenWrong}</p>
      ) : (
        <Falls
          grades={grades.map((grade) => grade.name)}
          graded={gradePots(grades, seen.pots)}
          lot={one.lot}
          at={seen.at}
        />
      )}
    </div>
  );
}

interface FallsProps {
  grades: readonly string[];
  graded: ReturnType<typeof gradePots>;
  lot: string;
  at: number;
}

function Falls({ grades, graded, lot, at }: FallsProps) {
  const words = supervisorWords.value.crops;
  const rows = [...grades, ''].map((name, i) => ({ name, pots: graded.seen[i] ?? 0 }));
  const costs = graded.costs.filter((cost) => cost.fail > 0).sort((a, b) => b.fail - a.fail);
  const own = lots.value.get(lot);
  const weeks = judgedOf(own?.crop).graded_from_weeks;
  return (
    <div aria-live="polite">
      {isEarly(at, own?.ship_week, weeks) && (
        <p>
          <b>{supervisorWords.value.promise.early(day(gradedFrom(own?.ship_week, weeks)))}</b>
        </p>
      )}
      <DataTable
        caption={words.seenCaption(graded.n, labelOf(lot), ago(at))}
        rows={rows}
        keyOf={(row) => row.name}
        columns={[
          { key: 'grade', title: words.grade, heads: true, cell: (row) => row.name || words.noGrade },
          { key: 'pots', title: words.pots, numeric: true, cell: (row) => number(row.pots) },
        ]}
      />
      {costs.length > 0 && (
        <p class="small">
          {supervisorWords.value.bed.costs(
            list(costs.slice(0, 3).map((c) => supervisorWords.value.bed.cost(lineName(c.line), c.fail, c.n))),
          )}
        </p>
      )}
      <Undecided count={graded.undecided} lacks={graded.lacks} />
      <p class="small quiet">{words.seenEdited}</p>
    </div>
  );
}

function labelOf(lot: string): string {
  const { tag = '', cultivar = '' } = lots.value.get(lot) ?? {};
  return lotLine({ tag, cultivar }) || appWords.value.common.unknown;
}

/** Lots of a crop and pot size whose bed was walked, the one walked last first. Second looks count for nothing here. */
function walkedLots(crop: string, size: number): Walked[] {
  const own = [...lots.value.values()].filter(
    (lot) => lot.crop !== undefined && cropKey(lot.crop) === cropKey(crop) && lot.pot_mm === size,
  );
  const first = [...walks.value.values()].filter((walk) => walk.open?.round === undefined).sort((a, b) => b.at - a.at);
  return own
    .map(({ id }) => {
      const beds = new Set(
        [...spans.value.values()].flatMap((span) => (span.lot === id && span.bed ? [span.bed] : [])),
      );
      return { lot: id, walks: first.filter((walk) => beds.has(walk.bed)).slice(0, BACK) };
    })
    .filter((each) => each.walks.length > 0)
    .sort((a, b) => (b.walks[0]?.at ?? 0) - (a.walks[0]?.at ?? 0));
}

/** The lot's pots on the newest walk that saw any of them; undefined while a walk is here in part. */
async function seenOf(walked: Walked | undefined): Promise<Seen | undefined> {
  for (const walk of walked?.walks ?? []) {
    const rows = await potsOfWalk(walk.id);
    if (!rows) return undefined;
    const pots = rows.filter((pot) => !pot.voided && pot.now.lot === walked?.lot).map((pot) => pot.now);
    if (pots.length > 0) return { at: walk.at, pots };
  }
  return { at: 0, pots: [] };
}
