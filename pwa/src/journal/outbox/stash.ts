/**
 * The last resort when IndexedDB fails: the note stays in memory and in one localStorage slot, and is saved properly at
 * the next start. Its id is fixed before the first try, so however often it is saved it is one note; and so is its time.
 */
import { signal } from '@preact/signals-core';
import { mono, session, wall } from '../store/device';
import type { Intent, Tap } from '../store/shape';

const SLOT = 'bedwalk-emergency';

/** Notes that could not be saved in the database; a screen that shows this asks for the app to be closed and opened. */
export const stash = signal<readonly Intent[]>(read());

/** @returns true when the notes are safe from a closed app, false when they are in memory only. */
export function addToStash(notes: readonly Intent[]): boolean {
  const known = new Set(stash.value.map((note) => note.id));
  const tap: Tap = { wall: wall(), session, mono: mono() };
  stash.value = [...stash.value, ...notes.filter((note) => !known.has(note.id)).map((note) => ({ tap, ...note }))];
  return write();
}

/** When a note was tapped that could not be saved then; undefined for one that is saved at its tap. */
export function tapOf(note: Intent): Tap | undefined {
  return note.tap ?? stash.value.find(({ id }) => id === note.id)?.tap;
}

export function clearStash(ids: readonly string[]): void {
  const done = new Set(ids);
  stash.value = stash.value.filter((note) => !done.has(note.id));
  write();
}

function write(): boolean {
  try {
    if (stash.value.length === 0) localStorage.removeItem(SLOT);
    else localStorage.setItem(SLOT, JSON.stringify(stash.value));
    return true;
  } catch {
    return false;
  }
}

function read(): Intent[] {
  try {
    const kept: unknown = JSON.parse(localStorage.getItem(SLOT) ?? '[]');
    return Array.isArray(kept) ? (kept as Intent[]) : [];
  } catch {
    return [];
  }
}
