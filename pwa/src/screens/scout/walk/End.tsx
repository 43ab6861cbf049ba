/** The end of a walk: what was found, what holds the bed back, what to look at again, and where the notes are. */
import { useState } from 'preact/hooks';
import type { Bed, BedScore, WalkEnd } from '../../../../../schema/types';
import { Button } from '../../../parts/Button';
import { IntervalBar } from '../../../parts/IntervalBar';
import { say, sayNotSaved } from '../../../parts/Toast';
import { scoreBed } from '../../../../../sync/bed/bed';
import { inputOf } from '../../../journal/records/bedInput';
import { potsOfWalk, type PotRow } from '../../../journal/records/read';
import { beds, type Plain } from '../../../journal/records/registers';
import type { Draft } from '../../../journal/store/shape';
import type { WalkRow } from '../../../journal/records/walks';
import { intent, save } from '../../../journal/outbox/write';
import { go, Title } from '../../../router';
import { me, queue } from '../../../state';
import { appWords } from '../../../words';
import { amendWords, walkWords } from '../../../words/rooms';
import { atWhen, length, number, percent, points, share, shortDate } from '../../../words/format';
import { describeUnwalked } from '../../../words/briefing';
import { doneWith, useCourse, type Course } from './course';
import { slipsToCheck } from '../card/doubts';
import { openAgain, unskipFromEnd, useHalf, withHalf } from './halfNoted';
import { nameOfBed, nameOfLot } from '../../../words/names';
import { placeOf } from '../../../words/place';
import { isPast } from './openWalks';
import { OpenCard } from './OpenCard';
import { PotList } from './PotList';
import { Skipped } from './Skipped';
import { whenSent } from '../sending';
import { dotsOf, StripOfBed } from '../StripOfBed';

export function End({ id }: { id?: string }) {
  const words = amendWords.value.end;
  const course = useCourse(id);
  const { half, again } = useHalf(id);
  // Counted, so that a second tap of "end" moves the eye to the open card again.
  const [asked, ask] = useState(0);
  if (!course) return <main class="scout">{<Title text={words.title} />}</main>;
  const { walk, score, standing } = course;
  const voided = course.pots.length - standing.length;
  return (
    <main class="scout end with-foot">
      <Title text={words.title} />
      <p class="quiet">{nameOfBed(walk.bed)}</p>
      {!walk.end && isPast(walk) && <p class="attention">{amendWords.value.open.leftOpen(shortDate(walk.at))}</p>}
      {half && <OpenCard course={course} half={half} asked={asked} onDone={again} />}
      {half === null && (
        <p role="status">
          {words.saved} {queue.value.pending === 0 && queue.value.lastSentAt > 0 ? words.allSent : whenSent()}
        </p>
      )}
      <StripOfBed
        bed={walk.bed}
        height={48}
        pots={course.isPartial ? [] : dotsOf(course.pots)}
        few={score.too_few_pots}
      />
      <section>
        <h2>{words.found}</h2>
        {course.isPartial ? (
          <p class="attention">{amendWords.value.bed.inPart}</p>
        ) : standing.length === 0 ? (
          <p>{words.nothing}</p>
        ) : (
          <Found score={score} bed={beds.value.get(walk.bed) ?? {}} />
        )}
        {voided > 0 && !course.isPartial && <p class="small quiet">{words.voided(voided)}</p>}
      </section>
      {!course.isPartial && <Again course={course} half={half} />}
      <section>
        <h2>{amendWords.value.walkMenu.earlierTitle}</h2>
        <Skipped course={course} onBack={isPast(walk) ? undefined : (skipped) => unskipFromEnd(walk, skipped)} />
        {(course.pots.length > 0 || !course.isPartial) && (
          <PotList pots={course.pots} onOpen={(pot) => void looksAgain(walk, pot)} />
        )}
      </section>
      <Foot course={course} half={half} onUndecided={() => ask(asked + 1)} />
    </main>
  );
}

async function looksAgain(walk: WalkRow, pot: PotRow): Promise<void> {
  try {
    await openAgain(walk, pot);
  } catch (error) {
    sayNotSaved(error);
  }
}

function Found({ score, bed }: { score: BedScore; bed: Partial<Plain<Bed>> }) {
  const { known, value, interval } = score.uniformity;
  const headline = amendWords.value.bed.uniformityOf(points(value), points(interval.low), points(interval.high));
  return (
    <>
      {known && !score.too_few_pots ? (
        <>
          <p class="headline">
            <b>{interval.known ? headline : walkWords.value.sure(points(value))}</b>
          </p>
          <IntervalBar label={headline} value={value} interval={interval} />
          {score.limiting_trait && (
            <p>
              {amendWords.value.end.limitingTrait(
                score.limiting_trait === 'buds' ? appWords.value.common.buds : appWords.value.common.head,
              )}
            </p>
          )}
        </>
      ) : (
        <p>{amendWords.value.bed.fewPots(score.seen)}</p>
      )}
      {score.unwalked && <p class="attention">{describeUnwalked(score.unwalked, bed)}</p>}
      <dl class="shares">
        <dt>{amendWords.value.bed.chlorosis}</dt>
        <dd class={score.chlorosis.x > 0 ? 'attention' : ''}>{share(score.chlorosis)}</dd>
        <dt>{amendWords.value.bed.rot}</dt>
        <dd class={score.rot.x > 0 ? 'attention' : ''}>{share(score.rot)}</dd>
        <dt>{amendWords.value.end.thin}</dt>
        <dd>{share(score.thin_roots)}</dd>
      </dl>
      <ul class="facts">
        {score.lots.map((lot) => {
          const head = lot.traits.find((each) => each.trait === 'head')?.mean;
          const buds = lot.traits.find((each) => each.trait === 'buds')?.mean;
          return (
            <li key={lot.lot} class="small">
              {head?.known
                ? amendWords.value.end.meanHead(nameOfLot(lot.lot), length(head.value), head.n)
                : nameOfLot(lot.lot)}
              {buds?.known ? `, ${amendWords.value.end.meanBuds(number(buds.value), buds.n)}` : ''}
            </li>
          );
        })}
      </ul>
      {score.edge.known && (
        <p class="small quiet">{amendWords.value.end.edge(percent(score.edge.value), percent(score.edge_bed))}</p>
      )}
    </>
  );
}

/** Measurements that look like a slip of the pen, to be looked at again while the scout still stands there. */
function Again({ course, half }: { course: Course; half: Draft | null | undefined }) {
  const words = amendWords.value.end;
  const { walk } = course;
  // What becomes words and no pot is not judged as one.
  const pots = half && (half.pot || !isPast(walk)) ? withHalf(course.pots, half, me.value?.person ?? '') : course.pots;
  const input = pots === course.pots ? undefined : inputOf(walk.bed, pots);
  const slips = slipsToCheck(input ? { ...course, input } : course, input ? scoreBed(input) : course.score);
  return (
    <section>
      <h2>{words.again}</h2>
      {slips.length === 0 ? (
        <p class="quiet">{words.nothingAgain}</p>
      ) : (
        <ul class="facts">
          {slips.map((slip) => {
            const pot = pots.find((each) => each.id === slip.pot);
            const place = pot?.now.place;
            const where = placeOf({ bed: walk.bed, ...(place ? { place } : {}) });
            const write = (value: number) => (slip.trait === 'head' ? length(value) : number(value));
            const trait = slip.trait === 'head' ? appWords.value.common.head : appWords.value.common.buds;
            const said = (value: number) => `${trait} ${write(value)}`;
            const isOpen = pot !== undefined && (pot.id === half?.id || pot.id === half?.pot);
            const correct = () => (isOpen ? go(`/walk/${walk.id}`) : pot && void looksAgain(walk, pot));
            return (
              <li key={`${slip.pot} ${slip.trait}`}>
                <span>
                  {slip.likely > 0
                    ? words.slipLikely(where, said(slip.value), write(slip.likely))
                    : words.slip(where, said(slip.value))}
                </span>
                {pot && <Button onClick={correct}>{walkWords.value.open}</Button>}
              </li>
            );
          })}
        </ul>
      )}
    </section>
  );
}

interface FootProps {
  course: Course;
  half: Draft | null | undefined;
  onUndecided: () => void;
}

function Foot({ course, half, onUndecided }: FootProps) {
  const words = amendWords.value.end;
  const [busy, setBusy] = useState(false);
  const { walk } = course;
  const further = course.blind || course.isPartial || course.asked === 0 ? 0 : course.about - course.standing.length;
  const end = async (why: WalkEnd['why']) => {
    setBusy(true);
    try {
      const pots = (await potsOfWalk(walk.id)) ?? course.pots;
      const seen = pots.filter((pot) => !pot.voided).length;
      const ended = intent('walk_end', { walk: walk.id, bed: walk.bed, why });
      await save([ended, ...doneWith(walk, seen)]);
      go('/');
      say(words.saved);
    } catch (error) {
      sayNotSaved(error);
      setBusy(false);
    }
  };
  // An open card is neither written nor lost by going on: whose it is says what becomes of it.
  const decided = (then: () => void) => () => (half ? onUndecided() : then());
  return (
    <div class="entrance">
      {walk.end && walk.end_by ? (
        <>
          <p class="small quiet">{words.ended(atWhen(walk.end_by.stamp.at))}</p>
          <Button kind="main" size="walk" onClick={decided(() => go('/'))}>
            {words.toToday}
          </Button>
        </>
      ) : (
        <>
          {course.isPartial && <p class="small">{words.isFinished}</p>}
          {(course.isPartial ? inPart : [whyEnded(course)]).map((why) => (
            <Button
              key={why}
              kind="main"
              size="walk"
              disabled={busy || half === undefined}
              onClick={decided(() => void end(why))}
            >
              {!course.isPartial ? words.endNow : why === 'stopped' ? words.stopped : words.finished}
            </Button>
          ))}
        </>
      )}
      {!isPast(walk) && (!course.blind || course.left.length > 0) && (
        <Button size="walk" onClick={() => go(`/walk/${walk.id}`)}>
          {words.more}
          {further > 0 && !walk.end ? ` (${walkWords.value.more(further)})` : ''}
        </Button>
      )}
    </div>
  );
}

/** Of a walk that is here in part nothing can be computed: whoever ends it says which it is. */
const inPart = ['planned', 'stopped'] as const;

function whyEnded({ score, asked, blind }: Course): WalkEnd['why'] {
  if (asked > 0) return 'stopped';
  return !blind && (score.stop.verdict === 'enough' || score.stop.verdict === 'maximum') ? 'enough' : 'planned';
}
