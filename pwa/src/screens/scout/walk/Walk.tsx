/** A walk: the guide to the pot and how sure the walk is on top, and in the thumb's reach one card for the pot in the hand. */
import { useEffect, useLayoutEffect, useMemo, useRef, useState } from 'preact/hooks';
import { Button } from '../../../parts/Button';
import { say, sayNotSaved, undoSaid, unsay } from '../../../parts/Toast';
import { go, route, Title } from '../../../router';
import { appWords, language, units } from '../../../words';
import { amendWords, guideWords, walkWords } from '../../../words/rooms';
import { points } from '../../../words/format';
import { holdBriefs } from '../../../journal/records/briefs';
import { draftOf } from '../../../journal/outbox/draft';
import { complete } from '../../../journal/records/registers';
import { News, onTab } from '../card/News';
import { nameOfBed } from '../../../words/names';
import { answer, traits, type Trait } from '../../../words/observation';
import {
  answerWith,
  asksDegree,
  asksOpen,
  card,
  discard,
  finish,
  hasSomething,
  leave,
  notSeen,
  reopen,
  resume,
  saving,
  turnTo,
  undo,
  type Card,
} from '../card/card';
import { continueWith, openNext, useCourse, type Course } from './course';
import { Guide } from './Guide';
import { whyChanged } from './more';
import { closedNow } from '../closed';
import { Leaves, Roots } from '../card/Look';
import { Buds, Head } from '../card/Measure';
import { unlessSecond } from '../card/secondTap';
import { Menu } from './Menu';
import { isPast } from './openWalks';
import { Shut } from '../Shut';
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
  useLayoutEffect(() => course && continueWith(course), [course]);
  const now = card.value;
  const [armed, arm] = useState('');
  const more = useMore(course);
  const [pot, place, lot, bed] = [now?.pot, now?.now.place, now?.now.lot, now?.now.bed];
  // Most taps change none of these: the guide with its dots is half of what there is to draw.
  const top = useMemo(
    () => course && now && <Top course={course} now={now} />,
    [course, pot, place, lot, bed, now && hasSomething(now), language.value, units.value],
  );
  if (!course || !now) return <Empty known={course !== undefined || !complete.value} />;
  const until = closedNow(course.walk.bed);
  // A pot of a walk that is over is put right from anywhere; nobody has to stand in the bed for it.
  const isOver = course.walk.end !== undefined && now.pot !== undefined;
  if (until > 0 && !isOver) return <Closed walk={course.walk.id} bed={course.walk.bed} until={until} />;
  const isUndone = armed === now.id && now.before.length === 0;
  const onNext = () => void next(course);
  return (
    <main class="scout walk">
      {top}
      <News now={now} course={course} more={more} isUndone={isUndone} />
      <Tabs now={now} />
      <div class="hand" key={now.id}>
        <Panel key={now.id} now={now} onNext={onNext} />
      </div>
      <div class="foot">
        <button
          type="button"
          class="button walk undo"
          onClick={() => undoLast(course, isUndone) || arm(card.value?.id ?? '')}
        >
          {isUndone && !now.pot && course.standing.length > 0
            ? guideWords.value.correctPot(course.standing.length)
            : appWords.value.common.undo}
        </button>
        <button type="button" class="button walk more" aria-haspopup="dialog" onClick={() => setMenu(true)}>
          {walkWords.value.more_}
        </button>
        {now.pot && hasSomething(now) && (
          <button type="button" class="button walk back" onClick={() => void backOut(course)}>
            {amendWords.value.open.leaveOut}
          </button>
        )}
        <Forward now={now} back={backName(course)} onNext={onNext} />
      </div>
      <Menu
        open={menu}
        course={course}
        now={now}
        onClose={() => setMenu(false)}
        onSaveAsIs={() => void next(course, true)}
      />
    </main>
  );
}

/** What the last pot changed about how many are asked for, until the pot after it is noted. */
function useMore(course: Course | undefined): string | undefined {
  const before = useRef<{ course: Course; text: string | undefined } | undefined>(undefined);
  return useMemo(() => {
    if (!course || course.isPartial) return undefined;
    const held = before.current;
    const isNext =
      held?.course.walk.id === course.walk.id && course.standing.length === held.course.standing.length + 1;
    const isSame = held?.course.walk.id === course.walk.id && course.standing.length === held.course.standing.length;
    const text = isNext ? whyChanged(held.course, course) : isSame ? held.text : undefined;
    before.current = { course, text };
    return text;
  }, [course, language.value]);
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

/**
 * Saves the pot and opens the next; the card stays when it could not be saved.
 * @param isAsIs true where it was said that the open questions are left open
 */
async function next(course: Course, isAsIs = false): Promise<void> {
  const now = card.value;
  if (!now) return;
  const open = isAsIs ? [] : asksOpen(course.standing.at(-1)?.now);
  if (open.length > 0) {
    say(walkWords.value.notAnswered(open.map((trait) => walkWords.value[trait]).join(', ')));
    return;
  }
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

/** Leaves a correction as the pot was, with a way to take that back. */
async function backOut(course: Course): Promise<void> {
  try {
    const putBack = await discard(() => backFrom(course));
    if (!putBack) return;
    say(amendWords.value.open.leftOut, () => {
      const walk = `/walk/${course.walk.id}`;
      void putBack().then(() => route.value.path !== walk && go(walk), sayNotSaved);
    });
  } catch (error) {
    sayNotSaved(error);
  }
}

/**
 * Undoes the last tap, else what the toast offers to undo (a skipped pot, say). With nothing left it opens the pot before only when
 * its button has said so: one tap too many must not change an earlier pot unseen.
 * @returns false when there was nothing left, and the button is to say what the next tap does
 */
function undoLast(course: Course, isUndone: boolean): boolean {
  if (undo()) {
    // What a toast tells of is older than the tap, and would be taken back out of its turn by the next Undo.
    unsay();
    return true;
  }
  if (undoSaid()) return true;
  const last = course.standing[course.standing.length - 1];
  if (!isUndone || card.value?.pot || !last) return false;
  reopen(last, 'leaves');
  return true;
}

function Top({ course, now }: { course: Course; now: Card }) {
  const words = walkWords.value;
  const { walk } = course;
  const seen = course.standing.length;
  const number = now.pot ? course.standing.findIndex((each) => each.id === now.pot) + 1 : seen + 1;
  const aim = Math.max(number, course.about);
  return (
    <header class="top">
      {now.pot ? (
        <div class="line correcting">
          <div class="unseen">
            <Title text={nameOfBed(walk.bed)} />
          </div>
          <b>{words.correcting(number)}</b>
          {hasSomething(now) && <span>{guideWords.value.notApplied}</span>}
        </div>
      ) : (
        <div class="line">
          <Title text={nameOfBed(walk.bed)} />
          {!course.isPartial && (
            <span class="small quiet">{(course.blind ? words.potOfKnown : words.pot)(number, aim)}</span>
          )}
        </div>
      )}
      <Guide course={course} now={now} number={number} />
      {course.isPartial ? <InPart /> : course.blind ? <Blind left={course.left.length} /> : <Sure course={course} />}
    </header>
  );
}

/** Pots can be noted; how sure the walk is cannot be said from a part of it. */
function InPart() {
  return (
    <p class="line small attention" aria-live="polite">
      {amendWords.value.bed.inPart}
    </p>
  );
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

/** How sure the walk is by now, in one line. */
function Sure({ course: { score, asked, about, standing } }: { course: Course }) {
  const words = walkWords.value;
  const { known, value, interval } = score.uniformity;
  const shown = known && !score.too_few_pots;
  const range = shown && interval.known ? words.range(points(interval.low), points(interval.high)) : '';
  return (
    <p class="line small sure" aria-live="polite">
      <span>
        {shown ? words.sure(points(value)) : words.sureYet} <span class="quiet">{range}</span>
      </span>
      <span class="quiet">{asked === 0 ? words.enough : words.more(about - standing.length)}</span>
    </p>
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
      return (
        <Leaves
          key={String(now.askedDegree)}
          now={now}
          onNotSeen={() => {
            notSeen('leaves');
            onNext();
          }}
        />
      );
  }
}

function Tabs({ now }: { now: Card }) {
  const words = walkWords.value;
  const open = onTab(now);
  return (
    <div class="traits" role="group" aria-label={walkWords.value.tabs}>
      {traits.map((trait) => (
        <button
          key={trait}
          type="button"
          class={now.trait === trait ? 'on' : answer(now.now, trait) === undefined ? 'open' : 'answered'}
          aria-current={now.trait === trait ? 'step' : undefined}
          onClick={() => turnTo(trait)}
        >
          <Short
            isNumber={now.trait === trait && !now.other && (trait === 'head' || trait === 'buds')}
            text={now.trait === trait ? open.text : (answer(now.now, trait) ?? '–')}
          />
          {now.trait === trait ? open.label : words[trait]}
          {now.trait === trait && open.unit !== '' && <span class="unit"> {open.unit}</span>}
        </button>
      ))}
    </div>
  );
}

/** A tab is as wide as four large digits. */
function Short({ text, isNumber }: { text: string; isNumber: boolean }) {
  return <b class={text.length > 5 ? 'long' : isNumber && text.length < 5 ? 'typing' : ''}>{text}</b>;
}

/** The one green button: on to the next question, or to the next pot. */
function Forward({ now, back, onNext }: { now: Card; back: string; onNext: () => void }) {
  const { label, press } = forward(now, back, onNext);
  return (
    <button type="button" class="button walk main" onClick={unlessSecond(label, press)}>
      {label}
    </button>
  );
}

function forward(now: Card, back: string, onNext: () => void): { label: string; press: () => void } {
  const words = walkWords.value;
  if (now.pot) return { label: hasSomething(now) ? words.saveCorrection : back, press: onNext };
  const isOpen = (trait: Trait) => answer(now.now, trait) === undefined;
  const following = traits[traits.indexOf(now.trait) + 1];
  // Once the open questions were asked for, the button closes the pot without them.
  if (now.askedOpen || !traits.some(isOpen)) return { label: words.nextPot, press: onNext };
  if (following) {
    const labels = { head: words.toHead, buds: words.toBuds, roots: words.toRoots, leaves: words.toLeaves };
    return { label: labels[following], press: () => turnTo(following) };
  }
  if (!isOpen(now.trait)) return { label: words.nextPot, press: onNext };
  return {
    // What was said of the young leaves stays beside it.
    label: now.now.soft_flush ? words.nextPot : words.allGreen,
    press: () => {
      answerWith({ chlorosis: 'none', severity: 0 });
      onNext();
    },
  };
}
