/** A walk: the bed's strip and how sure it is on top, and in the thumb's reach one card for the pot in the hand. */
import { useEffect, useLayoutEffect, useMemo, useRef, useState } from 'preact/hooks';
import type { Place } from '../../../../../schema/types';
import { Button } from '../../../parts/Button';
import { IntervalBar } from '../../../parts/IntervalBar';
import { say, sayNotSaved, undoSaid, unsay } from '../../../parts/Toast';
import { go, route, Title } from '../../../router';
import { appWords } from '../../../words';
import { amendWords, walkWords } from '../../../words/rooms';
import { points } from '../../../words/format';
import { holdBriefs } from '../../../journal/records/briefs';
import { draftOf } from '../../../journal/outbox/draft';
import { complete } from '../../../journal/records/registers';
import { Answer } from '../card/Answer';
import { nameOfBed } from '../../../words/names';
import { answer, traits, type Trait } from '../../../words/observation';
import {
  asksDegree,
  card,
  finish,
  hasSomething,
  leave,
  reopen,
  resume,
  saving,
  turnTo,
  undo,
  type Card,
} from '../card/card';
import { openNext, useCourse, type Course } from './course';
import { closedNow } from '../closed';
import { Leaves, Roots } from '../card/Look';
import { Buds, Head } from '../card/Measure';
import { Menu } from './Menu';
import { isPast } from './openWalks';
import { Shut } from '../Shut';
import { dotsOf, StripOfBed } from '../StripOfBed';
import { keepAwake } from './awake';

export function Walk({ id }: { id?: string }) {
  const course = useCourse(id);
  const [menu, setMenu] = useState(false);
  const started = useRef(false);
  useEffect(() => keepAwake(), []);
  useEffect(() => holdBriefs(), []);
  useEffect(() => leave, []);
  // Asked for along with the walk's pots: the first card waits for both.
  const draft = useMemo(() => draftOf(id ?? ''), [id]);
  useLayoutEffect(() => {
    if (!course || started.current) return;
    started.current = true;
    // The end screen may have opened a pot already, to be looked at again.
    if (card.value?.walk === course.walk.id) return;
    void (async () => {
      // In a walk that is too old to be gone on with only a correction is: it changes a pot that was noted in time.
      const canResume = !isPast(course.walk) || (await draft)?.pot !== undefined;
      if (!canResume || !(await resume(course.walk.id, draft))) openNext(course);
    })();
  }, [course !== undefined]);
  const now = card.value;
  const [pot, place] = [now?.pot, now?.now.place];
  // Most taps change neither: the strip with its dots is half of what there is to draw.
  const top = useMemo(() => course && <Top course={course} pot={pot} place={place} />, [course, pot, place]);
  if (!course || !now) return <Empty known={course !== undefined || !complete.value} />;
  const until = closedNow(course.walk.bed);
  // A pot of a walk that is over is put right from anywhere; nobody has to stand in the bed for it.
  const isOver = course.walk.end !== undefined && now.pot !== undefined;
  if (until > 0 && !isOver) return <Closed walk={course.walk.id} bed={course.walk.bed} until={until} />;
  return (
    <main class="scout walk">
      {top}
      <Answer now={now} course={course} />
      <div class="hand" key={now.id}>
        <Panel key={now.id} now={now} onNext={() => void next(course)} />
      </div>
      <Tabs now={now} />
      <div class="foot">
        <button type="button" class="button walk undo" onClick={() => undoLast(course)}>
          {appWords.value.common.undo}
        </button>
        <button type="button" class="button walk more" aria-haspopup="dialog" onClick={() => setMenu(true)}>
          {walkWords.value.more_}
        </button>
        <Forward now={now} back={backName(course)} onNext={() => void next(course)} />
      </div>
      <Menu open={menu} course={course} now={now} onClose={() => setMenu(false)} onNext={() => void next(course)} />
    </main>
  );
}

function Empty({ known }: { known: boolean }) {
  return (
    <main class="scout">
      <Title text={appWords.value.scout.today} />
      <p class="quiet">{known ? appWords.value.common.loading : appWords.value.common.problem.notFound}</p>
    </main>
  );
}

/** The bed was closed while its walk was open: nothing leads on into it, and nothing that was noted is lost. */
function Closed({ walk, bed, until }: { walk: string; bed: string; until: number }) {
  return (
    <main class="scout with-foot">
      <Title text={nameOfBed(bed)} />
      <p>{walkWords.value.closedKept}</p>
      <Shut until={until} />
      <div class="entrance">
        <Button kind="main" size="walk" onClick={() => go('/')}>
          {amendWords.value.end.toToday}
        </Button>
        <Button size="walk" onClick={() => go(`/walk/${walk}/end`)}>
          {amendWords.value.walkMenu.menu.end}
        </Button>
      </div>
    </main>
  );
}

/** Saves the pot and opens the next; the card stays when it could not be saved. */
async function next(course: Course): Promise<void> {
  const now = card.value;
  if (!now) return;
  if (asksDegree()) {
    say(walkWords.value.howMuchFirst);
    return;
  }
  const [made, corrected] = [hasSomething(now), now.pot !== undefined];
  // The pot that was just saved is not in this course yet; its place must not be asked for again.
  const opened = await finish(() =>
    corrected ? backFrom(course) : openNext(course, made ? now.now.place : undefined),
  );
  // Two quick taps are one "next pot".
  if (opened || saving.value === 'saving') return;
  sayNotSaved({ code: saving.value });
}

/** After a correction: to where it was opened from, to the list of a walk that is over, else on to the next pot. */
function backFrom(course: Course): void {
  if (route.value.query.get('from') === 'notes') go('/notes', { instead: true });
  else if (course.walk.end) go(`/walk/${course.walk.id}/end`, { instead: true });
  else openNext(course);
}

/** What the button back from a correction is called: by the next pot of the walk, where it leads to that. */
function backName(course: Course): string {
  const isNext = course.walk.end === undefined && route.value.query.get('from') !== 'notes';
  return isNext ? walkWords.value.backToPot(course.standing.length + 1) : appWords.value.common.back;
}

/** Undoes the last tap, else what the toast offers to undo (a skipped pot, say); else opens the pot before, as it was noted. */
function undoLast(course: Course): void {
  if (undo()) {
    // What a toast tells of is older than the tap, and would be taken back out of its turn by the next Undo.
    unsay();
    return;
  }
  if (undoSaid()) return;
  const now = card.value;
  if (now?.pot) {
    backFrom(course);
    return;
  }
  const last = course.standing[course.standing.length - 1];
  if (last) reopen(last, 'leaves');
}

function Top({ course, pot, place }: { course: Course; pot: string | undefined; place: Place | undefined }) {
  const words = walkWords.value;
  const { walk } = course;
  const seen = course.standing.length;
  const number_ = pot ? course.standing.findIndex((each) => each.id === pot) + 1 : seen + 1;
  const aim = seen + course.asked;
  const counted = pot
    ? words.correcting(number_)
    : (course.blind ? words.potOfKnown : words.pot)(number_, Math.max(number_, aim));
  return (
    <header class="top">
      <div class="line" data-uncovered>
        <Title text={nameOfBed(walk.bed)} />
        <span class="small quiet nowrap">{counted}</span>
      </div>
      <StripOfBed bed={walk.bed} height={32} pots={dotsOf(course.pots, course.left)} here={place} twin={false} />
      <p class="place">{place ? capital(appWords.value.common.place(place.row, place.across)) : words.unknownPlace}</p>
      {course.blind ? <Blind left={course.left.length} /> : <Sure course={course} />}
    </header>
  );
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** A second look has no measure to watch, only places left. */
function Blind({ left }: { left: number }) {
  const words = appWords.value.scout;
  return (
    <p class="line small" aria-live="polite">
      <span>{words.rounds}</span>
      <span class="quiet">{left > 0 ? walkWords.value.blindLeft(left) : walkWords.value.blindDone}</span>
    </p>
  );
}

/** How sure the walk is by now, in one line and one bar. */
function Sure({ course: { score, asked } }: { course: Course }) {
  const words = walkWords.value;
  const { known, value, interval } = score.uniformity;
  const shown = known && !score.too_few_pots;
  const text = shown ? words.sure(points(value)) : words.sureYet;
  const range = shown && interval.known ? words.range(points(interval.low), points(interval.high)) : '';
  const more = asked === 0 ? words.enough : words.more(asked);
  return (
    <div class="sure" aria-live="polite">
      <div class="line small">
        <span>
          {text} <span class="quiet">{range}</span>
        </span>
        <span class="quiet">{more}</span>
      </div>
      <IntervalBar
        label={`${text} ${range}`}
        value={shown ? value : undefined}
        interval={shown ? interval : undefined}
      />
    </div>
  );
}

function Panel({ now, onNext }: { now: Card; onNext: () => void }) {
  switch (now.trait) {
    case 'head':
      return <Head now={now} onDone={() => turnTo('buds')} />;
    case 'buds':
      return <Buds now={now} onDone={() => turnTo('roots')} />;
    case 'roots':
      return <Roots now={now} onDone={() => turnTo('leaves')} />;
    case 'leaves':
      return <Leaves key={String(now.askedDegree)} now={now} onNone={() => (now.pot ? undefined : onNext())} />;
  }
}

function Tabs({ now }: { now: Card }) {
  const words = walkWords.value;
  return (
    <div class="traits" role="group" aria-label={walkWords.value.tabs}>
      {traits.map((trait) => (
        <button
          key={trait}
          type="button"
          class={now.trait === trait ? 'on' : ''}
          aria-current={now.trait === trait ? 'step' : undefined}
          onClick={() => turnTo(trait)}
        >
          <Short text={answer(now.now, trait) ?? '–'} />
          {words[trait]}
        </button>
      ))}
    </div>
  );
}

/** A tab is as wide as five large digits. */
function Short({ text }: { text: string }) {
  return <b class={text.length > 5 ? 'long' : ''}>{text}</b>;
}

/** The one green button: on to the next question, or to the next pot. */
function Forward({ now, back, onNext }: { now: Card; back: string; onNext: () => void }) {
  const words = walkWords.value;
  const at = traits.indexOf(now.trait);
  const following: Trait | undefined = traits[at + 1];
  const all = traits.every((trait) => answer(now.now, trait) !== undefined);
  if (now.pot) {
    return (
      <button type="button" class="button walk main" onClick={onNext}>
        {hasSomething(now) ? words.saveCorrection : back}
      </button>
    );
  }
  if (following === undefined || all) {
    return (
      <button type="button" class="button walk main" onClick={onNext}>
        {words.nextPot}
      </button>
    );
  }
  const labels = { head: words.toHead, buds: words.toBuds, roots: words.toRoots, leaves: words.toLeaves };
  return (
    <button type="button" class="button walk main" onClick={() => turnTo(following)}>
      {labels[following]}
    </button>
  );
}
