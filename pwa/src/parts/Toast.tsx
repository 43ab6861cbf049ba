import { signal } from '@preact/signals';
import { t } from '../words';

interface Said {
  text: string;
  undo?: () => void;
}

const SHOWN_MS = 10_000;
const said = signal<Said | undefined>(undefined);
let timer: ReturnType<typeof setTimeout> | undefined;

/** Tells what was just done, for ten seconds, with a way back where there is one. The newest replaces the one before. */
export function say(text: string, undo?: () => void): void {
  clearTimeout(timer);
  said.value = undo ? { text, undo } : { text };
  timer = setTimeout(() => (said.value = undefined), SHOWN_MS);
}

/** Takes back what the toast tells of, where it can be. @returns false when there is nothing to take back */
export function undoSaid(): boolean {
  const undo = said.value?.undo;
  if (!undo) return false;
  unsay();
  undo();
  return true;
}

export function unsay(): void {
  clearTimeout(timer);
  said.value = undefined;
}

/** The one place where toasts appear; stands once in the page, always, so that screen readers know it. */
export function Toasts() {
  const now = said.value;
  return (
    <div class="toasts" role="status">
      {now && (
        <div class="toast">
          <span>{now.text}</span>
          {now.undo && (
            <button type="button" class="button tap" onClick={undoSaid}>
              {t.value.common.undo}
            </button>
          )}
        </div>
      )}
    </div>
  );
}
