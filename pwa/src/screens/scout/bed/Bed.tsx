/** One bed before the walk: its lots to scale, what the last walk saw, and the way in. */
import { Fragment } from 'preact';
import { useState } from 'preact/hooks';
import { scoreBed } from '../../../../../sync/bed/bed';
import type { BedScore, Span } from '../../../../../schema/types';
import { Button } from '../../../parts/Button';
import { IntervalBar } from '../../../parts/IntervalBar';
import { sayNotSaved } from '../../../parts/Toast';
import { go, Link, Title } from '../../../router';
import { me } from '../../../state';
import { appWords } from '../../../words';
import { ago, inLength, length, percentEstimate, points, share } from '../../../words/format';
import { amendWords } from '../../../words/rooms';
import { briefingWords } from '../../../words/briefing';
import { firstReading } from '../../../journal/inbox/arriving';
import { briefs, isPending } from '../../../journal/records/briefs';
import { inputOf } from '../../../journal/records/bedInput';
import { spansOf } from '../../../journal/records/input';
import type { Brief } from '../../../journal/store/shape';
import { potsOfWalk, useStored } from '../../../journal/records/read';
import { beds, lots, people, stock, type Plain } from '../../../journal/records/registers';
import { walks, walksOf, type WalkRow } from '../../../journal/records/walks';
import { Bar } from '../Bar';
import { plannedFor, startWalk, useCourse } from '../walk/course';
import { isPast, openWalk } from '../walk/openWalks';
import { isAskedAgain } from '../walk/rounds';
import { Shut } from '../Shut';
import { dotsOf, StripOfBed } from '../StripOfBed';
import { closedNow } from '../closed';
import { gettingRecords } from '../../../words/arriving';
import { nameOfBed, nameOfLot } from '../../../words/names';
import { Says, useFindingsOf } from '../Briefing';
import { isLacking } from '../../../journal/records/carried';
import { BedNotHere } from '../../../parts/NotHere';
import { Earlier } from './Earlier';

export function Bed({ id = '' }: { id?: string }) {
  const bed = beds.value.get(id);
  const isHere = !isLacking(id);
  // Of a walk that is here in part nothing is said.
  const last = isHere ? briefs.value.get(id) : undefined;
  const pots = useStored(async () => (last ? potsOfWalk(last.walk) : []), [last?.walk]);
  const planned = useStored(() => plannedFor(id), [id, last?.walk]);
  const input = pots && pots.length > 0 && last ? inputOf(id, pots) : undefined;
  const score = input ? scoreBed(input) : undefined;
  if (!bed) return <Unknown />;
  const spans = spansOf(id);
  const getting = gettingRecords();
  return (
    <main class="scout bed with-bar with-foot">
      <Title text={nameOfBed(id)} />
      <StripOfBed
        bed={id}
        height={56}
        pots={dotsOf((pots ?? []).filter((pot) => !pot.voided))}
        few={last?.few ?? false}
      />
      {/* All at once: a number that came late would push the buttons below it from under the thumb. */}
      {(!last || pots !== undefined) && (
        <>
          {isHere ? <LastWalk bed={id} score={score} isPartial={pots === null} /> : <BedNotHere bed={id} />}
          {last && firstReading.value === undefined && <Says bed={id} walk={last.walk} />}
          <section>
            <h2>{amendWords.value.bed.lots}</h2>
            {spans.length === 0 && !getting && <p class="quiet">{amendWords.value.bed.noLots}</p>}
            <ul class="facts">
              {spans.map((span) => {
                const lot = lots.value.get(span.lot ?? '');
                const count = stock.value.get(span.lot ?? '')?.by_span[span.id];
                return (
                  <li key={span.id}>
                    <span>
                      <Link to={`/lot/${span.lot ?? ''}`} class="lot">
                        {nameOfLot(span.lot ?? '')}
                      </Link>
                      <span class="small quiet">
                        {[
                          appWords.value.common.strip.rows(span.from_row ?? 1, span.to_row ?? 1),
                          count === undefined || getting ? '' : appWords.value.common.pots(count),
                          lot?.pot_mm ? amendWords.value.bed.potSize(potSize(lot.pot_mm)) : '',
                          score && several(score) ? even(score, span.lot ?? '') : '',
                        ]
                          .filter(Boolean)
                          .join(' · ')}
                      </span>
                    </span>
                  </li>
                );
              })}
            </ul>
          </section>
          <Button size="walk" onClick={() => go(`/work?${about(id, spans)}`)}>
            {amendWords.value.bed.onTheSpot}
          </Button>
        </>
      )}
      <Entrance bed={id} planned={planned} />
      <Earlier bed={id} />
      <Bar />
    </main>
  );
}

/** The bed, and its lot where there is only one to mean. */
function about(bed: string, spans: readonly Plain<Span>[]): string {
  const standing = new Set(spans.map((span) => span.lot ?? ''));
  const [lot] = standing;
  return new URLSearchParams(standing.size === 1 && lot ? { bed, lot } : { bed }).toString();
}

/** Pot sizes are round numbers: 15 cm, not 15.0. */
function potSize(mm: number): string {
  return length(mm, Number.isInteger(inLength(mm)) ? 0 : 1);
}

function Unknown() {
  const getting = gettingRecords();
  return (
    <main class="scout with-bar">
      <Title text={getting ? appWords.value.common.loading : appWords.value.scout.nowhere.title} />
      <p>{getting ?? appWords.value.common.problem.notFound}</p>
      <Bar />
    </main>
  );
}

/** True where pots of more than one lot were seen: then each is judged for itself. */
function several({ lots: all }: BedScore): boolean {
  return all.filter((lot) => (lot.traits[0]?.n ?? 0) > 0).length > 1;
}

/** How even one lot of several is; "" while too few of it were seen. */
function even(score: BedScore, lot: string): string {
  const head = score.lots.find((each) => each.lot === lot)?.traits[0]?.uniformity;
  if (!head?.known || !head.interval.known) return '';
  return briefingWords.value.briefing.lotEven(
    points(head.value),
    points(head.interval.low),
    points(head.interval.high),
  );
}

interface LastWalkProps {
  bed: string;
  score: BedScore | undefined;
  /** True while pots of the walk were lost on this phone and are being read again. */
  isPartial: boolean;
}

function LastWalk({ bed, score, isPartial }: LastWalkProps) {
  const words = amendWords.value.bed;
  const last = briefs.value.get(bed);
  const findings = useFindingsOf(bed, last?.walk);
  const getting = gettingRecords();
  if (getting) return <p class="quiet">{getting}</p>;
  if (!last) {
    const isWalked = walksOf(bed).some((walk) => walk.end);
    const never = isWalked ? amendWords.value.earlier.noPots : words.neverWalked;
    return <p class="quiet">{isPending(bed) ? appWords.value.common.loading : never}</p>;
  }
  if (isPartial) {
    return (
      <section>
        <h2>{words.lastWalk}</h2>
        <p class="attention">{words.inPart}</p>
      </section>
    );
  }
  const says = (code: string) => findings.some((finding) => finding.code === code);
  // Of a pot that was corrected since, the server may not know yet: then the two numbers differ, and both are shown.
  const isSaid = (flag: 'chlorosis' | 'rot') =>
    findings.some(
      ({ code, numbers }) => code === flag && numbers['x'] === score?.[flag].x && numbers['n'] === score?.[flag].n,
    );
  const flags = (['chlorosis', 'rot'] as const).filter((flag) => !isSaid(flag));
  return (
    <section>
      <h2>{words.lastWalk}</h2>
      {goesOn(last)?.id !== last.walk && (
        <p class="small quiet">
          {last.unfinished
            ? appWords.value.scout.why.part(last.seen, last.unfinished.about, ago(last.lastWalkAt))
            : words.seenBy(last.seen, ago(last.lastWalkAt))}
        </p>
      )}
      <InProgress brief={last} />
      {last.whole === null ? (
        <p>{briefingWords.value.briefing.part}</p>
      ) : last.few || !last.known ? (
        <p>{last.few ? words.fewPots(last.seen) : briefingWords.value.briefing.notMeasured}</p>
      ) : (
        <>
          <p class="headline">
            <b>{words.uniformityOf(points(last.uniformity), points(last.low), points(last.high))}</b>
            {last.limitingTrait !== '' && !says('holds_back') && (
              <span class="quiet">
                {' '}
                ·{' '}
                {words.limitingTrait(
                  last.limitingTrait === 'buds' ? appWords.value.common.buds : appWords.value.common.head,
                )}
              </span>
            )}
          </p>
          <IntervalBar
            label={words.uniformityOf(points(last.uniformity), points(last.low), points(last.high))}
            value={last.uniformity}
            interval={{ low: last.low, high: last.high, known: true }}
          />
        </>
      )}
      {score && several(score) && score.between_lots.known && !says('between_lots') && (
        <p class="small">
          {briefingWords.value.briefing.within(score.lots.length, percentEstimate(score.between_lots))}
        </p>
      )}
      {score && flags.length > 0 && (
        <dl class="shares">
          {flags.map((flag) => (
            <Fragment key={flag}>
              <dt>{words[flag]}</dt>
              <dd class={score[flag].x > 0 ? 'attention' : ''}>{share(score[flag])}</dd>
            </Fragment>
          ))}
        </dl>
      )}
      {!isAskedAgain(last.walk, me.value?.person) && (
        <Button size="walk" onClick={() => go(`/walk/${last.walk}/end`)}>
          {amendWords.value.toPots}
        </Button>
      )}
    </section>
  );
}

/** The walk of this bed that can still be continued. */
function goesOn({ inProgress }: Brief): WalkRow | undefined {
  const walk = walks.value.get(inProgress?.walk ?? '');
  return walk && !isPast(walk) ? walk : undefined;
}

/** The walk that goes on, beside the last whole one: it takes nothing away that was found. */
function InProgress({ brief }: { brief: Brief }) {
  const { inProgress } = brief;
  const walk = goesOn(brief);
  // The number that the walk itself says.
  const course = useCourse(inProgress?.walk);
  if (!inProgress || !walk || course?.isPartial) return null;
  const name = people.value.get(walk.by?.person ?? '')?.name ?? appWords.value.common.unknown;
  const [seen, about] = course
    ? [course.standing.length, course.about]
    : ([inProgress.seen, inProgress.planned] as const);
  return <p class="underway">{briefingWords.value.briefing.walking(seen, about, name, ago(inProgress.at))}</p>;
}

/**
 * Starts a walk or continues one; a bed under an entry interval is not offered. Nor is one while the records come for the first time: what stands on
 * the bed is then what stood there at some time of their past, and pots would be noted of the lots of that time, or of none. Nor on a bed
 * without a lot, where every pot would be a pot of nothing, which the server keeps apart.
 */
function Entrance({ bed, planned }: { bed: string; planned: number | undefined }) {
  const words = amendWords.value.bed;
  const [busy, setBusy] = useState(false);
  const until = closedNow(bed);
  if (until > 0) return <Shut until={until} />;
  const inProgress = openWalk(bed, me.value?.person);
  const isArriving = firstReading.value !== undefined;
  const start = async () => {
    setBusy(true);
    try {
      go(`/walk/${await startWalk(bed, planned)}`);
    } catch (error) {
      sayNotSaved(error);
      setBusy(false);
    }
  };
  return (
    <section class="entrance">
      {isArriving && <p class="attention">{appWords.value.scout.firstReading.signs}</p>}
      {inProgress ? (
        <Button kind="main" size="walk" onClick={() => go(`/walk/${inProgress.id}`)}>
          {words.goOn}
        </Button>
      ) : isArriving ? (
        <p>{words.startLater}</p>
      ) : spansOf(bed).length === 0 ? (
        <p>{words.startWithLot}</p>
      ) : (
        <>
          {planned !== undefined && <p class="small quiet">{words.planned(planned)}</p>}
          <Button kind="main" size="walk" disabled={busy} onClick={() => void start()}>
            {words.start}
          </Button>
        </>
      )}
    </section>
  );
}
