import { useEffect, useRef } from 'preact/hooks';
import { walkWords } from '../../../words/rooms';
import { say } from '../../../parts/Toast';
import { keyOf, press, type Key, type Room } from '../../../parts/keys';
import { appWords } from '../../../words';
import { unlessSecond } from './secondTap';

/** Where digits come from: the keys on the screen, or a keyboard, which on a phone is nearly always a caliper. */
export type Hand = 'thumb' | 'keyboard';

export interface SideKey {
  label: string;
  said?: string;
  on?: boolean;
  disabled?: boolean;
  /** True where the key also goes on to the next question, as its "›" says. */
  goes?: boolean;
  press: () => void;
}

interface Props {
  label: string;
  /** Which number is typed: another one starts over. It is not the component's key, since a caliper's next digit may come before it is drawn. */
  of: string;
  text: string;
  /** True where the number that stands there is whole: the thumb's first digit then begins another. */
  isWhole: boolean;
  room: Room;
  onText: (text: string, by: Hand) => void;
  /** Enter on a keyboard; also what a caliper sends after its number. */
  onEnter: () => void;
  onNotSeen: () => void;
  /** The key right of the zero, and the keys that share the column at the thumb's side above the erase key. */
  corner: SideKey | undefined;
  side: readonly SideKey[];
}

/**
 * The walk's keypad: digits in a phone's order, and beside them what else can be said about the same trait. Takes typing from a keyboard
 * or a caliper wherever the focus is.
 */
export function Pad({ label, of, text, isWhole, room, onText, onEnter, onNotSeen, corner, side }: Props) {
  const words = appWords.value.common;
  // A caliper sends whole numbers: its first digit begins one, whatever stood there before. It also sends its digits faster
  // than a screen is drawn, so what was typed is held here and not read back from there.
  const begun = useRef(false);
  const number = useRef('');
  const refused = useRef(false);
  useEffect(() => {
    const typed = (event: KeyboardEvent) => {
      if (event.ctrlKey || event.metaKey || event.altKey || isTaken(event, begun.current)) return;
      const key = keyOf(event.key);
      if (key) {
        event.preventDefault();
        if (key === '.' && room.decimals === 0) refused.current = true;
        if (!begun.current) number.current = key === 'erase' ? text : '';
        begun.current = true;
        number.current = refused.current ? '' : press(number.current, key, typedRoom(room));
        onText(number.current, 'keyboard');
      } else if (event.key === 'Enter') {
        event.preventDefault();
        if (refused.current) say(walkWords.value.sizeNotCount);
        else onEnter();
        begun.current = false;
        refused.current = false;
      }
    };
    addEventListener('keydown', typed);
    return () => removeEventListener('keydown', typed);
  });
  const isOver = useRef(isWhole);
  const last = useRef(of);
  if (last.current !== of) {
    last.current = of;
    isOver.current = isWhole;
  }
  const touch = (key: Key) => {
    begun.current = false;
    onText(press(isOver.current && key !== 'erase' ? '' : text, key, room), 'thumb');
    isOver.current = false;
  };
  const digit = (key: Key) => (
    <button key={key} type="button" class="button key" aria-label={words.digit(key)} onClick={() => touch(key)}>
      {key}
    </button>
  );
  const extra = (key: SideKey | undefined, at: string) =>
    key ? (
      <button
        key={at}
        type="button"
        class={`button key soft ${key.on ? 'on' : ''} ${key.goes ? 'goes' : ''}`}
        aria-pressed={key.on}
        disabled={key.disabled}
        onClick={unlessSecond(of, key.press)}
      >
        {key.said === undefined ? (
          key.label
        ) : (
          <>
            <span aria-hidden="true">{key.label}</span>
            <span class="unseen">{key.said}</span>
          </>
        )}
      </button>
    ) : (
      <span key={at} />
    );
  const erase: SideKey = { label: '⌫', said: words.eraseOne, press: () => touch('erase') };
  return (
    <div class="pad" role="group" aria-label={label}>
      {(['1', '2', '3', '4', '5', '6', '7', '8', '9'] as const).map(digit)}
      <div class="side">{side.map((key) => extra(key, key.label))}</div>
      {extra({ label: words.notSeen, press: onNotSeen }, 'notSeen')}
      {digit('0')}
      {extra(corner, 'corner')}
      {extra(erase, 'erase')}
    </div>
  );
}

/** A caliper sends its decimals, to four in inches: more room than a thumb is given. */
function typedRoom(room: Room): Room {
  return room.decimals === 0 ? room : { whole: 4, decimals: 4 };
}

/**
 * True where typing belongs to a field, or Enter to the button or link that has the focus. An Enter that ends a typed
 * number is the caliper's: the button that the thumb touched last still has the focus.
 */
function isTaken(event: KeyboardEvent, typing: boolean): boolean {
  const target = event.target;
  if (target instanceof HTMLInputElement || target instanceof HTMLTextAreaElement) return true;
  if (target instanceof HTMLSelectElement || document.querySelector('dialog[open]')) return true;
  return (
    !typing && event.key === 'Enter' && (target instanceof HTMLButtonElement || target instanceof HTMLAnchorElement)
  );
}
