import type { ComponentChildren } from 'preact';
import { useEffect } from 'preact/hooks';
import { t } from '../words';
import { keyOf, press, type Key, type Room } from './keys';

interface Props {
  label: string;
  text: string;
  onText: (text: string) => void;
  room: Room;
  /** Enter on a keyboard, and what a caliper sends after its number. */
  onEnter?: () => void;
  /** Offered in the lower left corner, where the thing may not have been looked at. */
  onNotSeen?: () => void;
  /** The lower right key: half steps for centimetres, a point for inches, erase for counts. */
  corner?: 'half' | '.' | 'erase';
}

const digits: readonly Key[] = ['7', '8', '9', '4', '5', '6', '1', '2', '3'];

/** Digits in reach of a thumb. Also takes what is typed on a keyboard or by a caliper, wherever the focus is. */
export function Keypad({ label, text, onText, room, onEnter, onNotSeen, corner = 'erase' }: Props) {
  const words = t.value.common;
  useEffect(() => {
    const typed = (event: KeyboardEvent) => {
      if (event.ctrlKey || event.metaKey || event.altKey || isField(event.target)) return;
      const key = keyOf(event.key);
      if (key) {
        event.preventDefault();
        onText(press(text, key, room));
      } else if (event.key === 'Enter' && onEnter && !isButton(event.target)) {
        event.preventDefault();
        onEnter();
      }
    };
    addEventListener('keydown', typed);
    return () => removeEventListener('keydown', typed);
  });
  const pad = (key: Key, shown: ComponentChildren, said: string, soft = false) => (
    <button
      key={key}
      type="button"
      class={`button key ${soft ? 'soft' : ''}`}
      aria-label={said}
      onClick={() => onText(press(text, key, room))}
    >
      {shown}
    </button>
  );
  const corners = { half: ['+ ½', words.andHalf], '.': ['.', words.decimal], erase: ['⌫', words.eraseOne] } as const;
  return (
    <div class="keypad" role="group" aria-label={label}>
      {digits.map((digit) => pad(digit, digit, words.digit(digit)))}
      {onNotSeen ? (
        <button type="button" class="button key soft" onClick={onNotSeen}>
          {words.notSeen}
        </button>
      ) : (
        pad('clear', words.clear, words.clear, true)
      )}
      {pad('0', '0', words.digit('0'))}
      {pad(corner, corners[corner][0], corners[corner][1], true)}
    </div>
  );
}

function isField(target: EventTarget | null): boolean {
  return (
    target instanceof HTMLInputElement || target instanceof HTMLTextAreaElement || target instanceof HTMLSelectElement
  );
}

function isButton(target: EventTarget | null): boolean {
  return target instanceof HTMLButtonElement || target instanceof HTMLAnchorElement;
}
