import { useEffect } from 'preact/hooks';
import { keyOf, press, type Key, type Room } from '../../parts/keys';
import { t } from '../../words';

export interface SideKey {
  label: string;
  said?: string;
  on?: boolean;
  disabled?: boolean;
  press: () => void;
}

interface Props {
  label: string;
  text: string;
  room: Room;
  onText: (text: string) => void;
  /** Enter on a keyboard; also what a caliper sends after its number. */
  onEnter: () => void;
  onNotSeen: () => void;
  /** The key right of the zero, and the column at the thumb's side under the erase key. */
  corner: SideKey | undefined;
  side: readonly (SideKey | undefined)[];
}

/**
 * The walk's keypad: digits, and beside them what else can be said about the same trait. Takes typing from a keyboard
 * or a caliper wherever the focus is.
 */
export function Pad({ label, text, room, onText, onEnter, onNotSeen, corner, side }: Props) {
  const words = t.value.common;
  useEffect(() => {
    const typed = (event: KeyboardEvent) => {
      if (event.ctrlKey || event.metaKey || event.altKey || isTaken(event)) return;
      const key = keyOf(event.key);
      if (key) {
        event.preventDefault();
        // A caliper sends millimetres with their decimals: more room than a thumb is given.
        onText(press(text, key, { whole: Math.max(room.whole, 4), decimals: room.decimals === 0 ? 0 : 2 }));
      } else if (event.key === 'Enter') {
        event.preventDefault();
        onEnter();
      }
    };
    addEventListener('keydown', typed);
    return () => removeEventListener('keydown', typed);
  });
  const digit = (key: Key) => (
    <button
      key={key}
      type="button"
      class="button key"
      aria-label={words.digit(key)}
      onClick={() => onText(press(text, key, room))}
    >
      {key}
    </button>
  );
  const extra = (key: SideKey | undefined, at: string) =>
    key ? (
      <button
        key={at}
        type="button"
        class={`button key soft ${key.on ? 'on' : ''}`}
        aria-pressed={key.on}
        disabled={key.disabled}
        onClick={key.press}
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
  const erase: SideKey = { label: '⌫', said: words.eraseOne, press: () => onText(press(text, 'erase', room)) };
  return (
    <div class="pad" role="group" aria-label={label}>
      {(['7', '8', '9'] as const).map(digit)}
      {extra(erase, 'erase')}
      {(['4', '5', '6'] as const).map(digit)}
      {extra(side[0], 'side0')}
      {(['1', '2', '3'] as const).map(digit)}
      {extra(side[1], 'side1')}
      {extra({ label: words.notSeen, press: onNotSeen }, 'notSeen')}
      {digit('0')}
      {extra(corner, 'corner')}
      {extra(side[2], 'side2')}
    </div>
  );
}

/** True where typing belongs to a field, or Enter to the button or link that has the focus. */
function isTaken(event: KeyboardEvent): boolean {
  const target = event.target;
  if (target instanceof HTMLInputElement || target instanceof HTMLTextAreaElement) return true;
  if (target instanceof HTMLSelectElement || document.querySelector('dialog[open]')) return true;
  return event.key === 'Enter' && (target instanceof HTMLButtonElement || target instanceof HTMLAnchorElement);
}
