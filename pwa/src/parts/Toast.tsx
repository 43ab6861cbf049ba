import { signal, type ReadonlySignal } from '@preact/signals';
import { appWords } from '../words';

interface Said {
  text: string;
  undo?: () => void;
}

/** What can still be done about it wants longer than a line that is only read. */
const SHOWN_MS = { toAct: 10_000, toRead: 4000 };
const said = signal<Said | undefined>(undefined);
/** What is said now, for a screen that has a line of its own for it. */
export const saidNow: ReadonlySignal<Said | undefined> = said;
let timer: ReturnType<typeof setTimeout> | undefined;

/**
 * Tells what was just done, with a way back where there is one: for ten seconds then, for four otherwise. The newest replaces
 * the one before.
 */
export function say(text: string, undo?: () => void): void {
  show(undo ? { text, undo } : { text }, undo ? SHOWN_MS.toAct : SHOWN_MS.toRead);
}

/** Says that nothing was saved, and what to do: a full phone is another matter than a broken store. */
export function sayNotSaved(error: unknown): void {
  show({ text: notSaved(error) }, SHOWN_MS.toAct);
}

function show(now: Said, ms: number): void {
  clearTimeout(timer);
  said.value = now;
  timer = setTimeout(() => (said.value = undefined), ms);
}

/** @param error a NotSaved, or whatever else kept something from being saved; what it is to say itself goes before */
export function notSaved(error: unknown): string {
  const { notSavedFull, notSavedBroken } = appWords.value.scout.notice;
  const { code, say } = (error ?? {}) as { code?: unknown; say?: string };
  return say ?? (code === 'full' ? notSavedFull : notSavedBroken);
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

/** How many modal sheets are open: whatever is not in the topmost lies dimmed below it and cannot be tapped. */
const sheets = signal(0);

/** Has toasts appear in a sheet, not on the page below, until the returned function is called. */
export function takeToasts(): () => void {
  sheets.value++;
  return () => {
    sheets.value--;
  };
}

interface ToastsProps {
  inSheet?: boolean;
}

/**
 * The place where toasts appear; stands once in the page, always, so that screen readers know it, and once in each open sheet.
 */
export function Toasts({ inSheet = false }: ToastsProps) {
  const now = inSheet || sheets.value === 0 ? said.value : undefined;
  return (
    <div class="toasts" role="status">
      {now && (
        <div class="toast">
          <span>{now.text}</span>
          {now.undo && (
            <button type="button" class="button tap" onClick={undoSaid}>
              {appWords.value.common.undo}
            </button>
          )}
        </div>
      )}
    </div>
  );
}
