/** What else can be done in a walk, one tap from the card: each in its own small sheet. */
import { useState } from 'preact/hooks';
import type { Place, Skip } from '../../../../../schema/types';
import { Button } from '../../../parts/Button';
import { Dialog } from '../../../parts/Dialog';
import { say, sayNotSaved } from '../../../parts/Toast';
import { lotAt } from '../../../journal/records/bedInput';
import { note } from '../../../journal/outbox/write';
import { beds } from '../../../journal/records/registers';
import type { PotRow } from '../../../journal/records/read';
import { go } from '../../../router';
import { choose, settings } from '../../../state';
import { sideOf } from '../../../words/place';
import { amendWords, guideWords, walkWords } from '../../../words/rooms';
import { answerWith, card, hasSomething, holdOn, open as openCard, type Card } from '../card/card';
import { openNext, type Course } from './course';
import { turnsBackTo, turnsBackToSkipped, unskip } from './halfNoted';
import { PotList } from './PotList';
import { Skipped } from './Skipped';
import { MoreAnswers } from '../card/MoreAnswers';
import { NumberField } from '../card/NumberField';

interface Props {
  open: boolean;
  course: Course;
  now: Card;
  onClose: () => void;
  onSaveAsIs: () => void;
}

type Sheet = 'menu' | 'skip' | 'other' | 'earlier' | 'words';

export function Menu({ open, course, now, onClose, onSaveAsIs }: Props) {
  const words = amendWords.value.walkMenu;
  const [sheet, setSheet] = useState<Sheet>('menu');
  const close = () => {
    setSheet('menu');
    onClose();
  };
  const titles: Record<Sheet, string> = {
    menu: words.menu.title,
    skip: words.skipTitle,
    other: words.otherTitle,
    earlier: words.earlierTitle,
    words: words.wordsTitle,
  };
  return (
    <Dialog title={titles[sheet]} open={open} onClose={close}>
      {sheet === 'menu' && (
        <Choices course={course} now={now} onSheet={setSheet} onClose={close} onSaveAsIs={onSaveAsIs} />
      )}
      {sheet === 'skip' && <SkipWhy course={course} now={now} onDone={close} />}
      {sheet === 'other' && <OtherPot course={course} now={now} onDone={close} />}
      {sheet === 'earlier' && (
        <>
          <Skipped
            course={course}
            onBack={async (skipped) => {
              close();
              await turnsBackToSkipped(course.walk, skipped, hasSomething(now));
            }}
          />
          {(course.pots.length > 0 || !course.isPartial) && (
            <PotList
              pots={course.pots}
              onOpen={(pot: PotRow) => {
                close();
                void turnsBackTo(pot, hasSomething(now));
              }}
            />
          )}
        </>
      )}
      {sheet === 'words' && <MoreAnswers now={now} onDone={close} />}
    </Dialog>
  );
}

interface ChoicesProps {
  course: Course;
  now: Card;
  onSheet: (sheet: Sheet) => void;
  onClose: () => void;
  onSaveAsIs: () => void;
}

function Choices({ course, now, onSheet, onClose, onSaveAsIs }: ChoicesProps) {
  const words = amendWords.value.walkMenu.menu;
  const then = (does: () => void) => () => {
    onClose();
    does();
  };
  const away = (path: string) => then(() => go(path));
  // Each choice always has the same place, so that a hand finds it again: what cannot be done now is grey.
  const isHeld = now.pot !== undefined || hasSomething(now);
  const isEnough = course.asked === 0 && !course.isPartial;
  const isTyped = settings.value.entry === 'keypad';
  const ends = away(`/walk/${course.walk.id}/end`);
  return (
    <div class="menu fixed">
      {/* Until enough was seen ending the walk is a word, away from the thumb, and not a key. */}
      {!isEnough && (
        <p class="early">
          <button type="button" class="button quiet walk" onClick={ends}>
            {words.end}
          </button>
        </p>
      )}
      <Button size="walk" onClick={() => onSheet('earlier')}>
        {words.earlier}
      </Button>
      <Button size="walk" onClick={() => onSheet('other')}>
        {words.other}
      </Button>
      <Button size="walk" disabled={!now.now.place || isHeld} onClick={() => onSheet('skip')}>
        {words.skip}
      </Button>
      <Button size="walk" onClick={() => onSheet('words')}>
        {words.words}
      </Button>
      <Button size="walk" onClick={then(() => void holdOn().then(() => go(`/work/photo?${aboutPot(now)}`)))}>
        {words.photo}
      </Button>
      <Button size="walk" onClick={away(`/work?${new URLSearchParams({ bed: now.bed, lot: now.now.lot }).toString()}`)}>
        {words.spot}
      </Button>
      <Button size="walk" onClick={then(onSaveAsIs)}>
        {words.saveNow}
      </Button>
      <Button size="walk" onClick={away(`/help/${now.trait}`)}>
        {words.help}
      </Button>
      <Button size="walk" onClick={then(() => choose({ entry: isTyped ? 'steps' : 'keypad' }))}>
        {isTyped ? words.steps : words.keypad}
      </Button>
      <Button size="walk" onClick={away('/')}>
        {words.pause}
      </Button>
      {isEnough && (
        <Button size="walk" kind="main" onClick={ends}>
          {words.end}
        </Button>
      )}
    </div>
  );
}

function aboutPot({ bed, id, pot, now: { lot, place } }: Card): string {
  const at = place ? { row: String(place.row), across: String(place.across) } : {};
  return new URLSearchParams({ bed, lot, pot: pot ?? id, ...at }).toString();
}

function SkipWhy({ course, now, onDone }: { course: Course; now: Card; onDone: () => void }) {
  const words = walkWords.value;
  const place = now.now.place;
  if (!place) return null;
  const skip = async (why: Skip['why']) => {
    const { id: walk, bed } = course.walk;
    const saved = await note('skip', { walk, bed, place, why });
    openNext(course, place);
    onDone();
    say(words.skipped, () => void unskip(course.walk, { id: saved.entry.id, place, why }).catch(sayNotSaved));
  };
  return (
    <div class="menu">
      {(['missing', 'blocked', 'wet', 'other'] as const).map((why) => (
        <Button key={why} size="walk" onClick={() => void skip(why)}>
          {words.skipWhy[why]}
        </Button>
      ))}
    </div>
  );
}

/** The pot that the plan asks for may be gone, or another one may be worth a look: then its place is entered here. */
function OtherPot({ course, now, onDone }: { course: Course; now: Card; onDone: () => void }) {
  const words = amendWords.value.walkMenu;
  const bed = beds.value.get(course.walk.bed);
  const [row, setRow] = useState(now.now.place?.row ?? 1);
  const [across, setAcross] = useState(now.now.place?.across ?? 1);
  // As it is kept, so that every place of the bed can be entered; the words say from which side that is.
  const from = guideWords.value.acrossFrom(sideOf(bed, 'near'));
  // The pot that the plan asks for here is asked for again after this one.
  const awaited = now.pot === undefined && now.now.planned ? now.now.place : undefined;
  const take = () => {
    const place = { row, across };
    const isAt = (other: Place | undefined) => other?.row === row && other.across === across;
    onDone();
    if (isAt(now.now.place)) return;
    // What was already answered is of the pot in the hand, so it moves along to where that pot stands.
    if (card.value && (card.value.pot || hasSomething(card.value))) {
      answerWith({ place, lot: lotAt(course.walk.bed, row) ?? now.now.lot, planned: undefined });
    } else openCard(course.walk.id, course.walk.bed, place, false);
    if (awaited) say((course.left.some(isAt) ? words.otherFirst : words.otherAdded)(awaited.row));
  };
  return (
    <div class="menu one">
      {awaited && <p class="small">{words.otherHow(awaited.row)}</p>}
      <NumberField label={words.row} value={row} min={1} max={bed?.rows ?? 1} onChange={setRow} />
      <NumberField label={from} value={across} min={1} max={bed?.across ?? 1} onChange={setAcross} />
      <Button size="walk" kind="main" onClick={take}>
        {words.take}
      </Button>
    </div>
  );
}
