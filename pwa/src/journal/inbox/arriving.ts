/**
 * How far the reading of the server's records has come. Until a device has read all of them once, what its records do not
 * show is unknown, not absent: nothing may then be called due, never walked, open or empty.
 */
import { computed, signal } from '@preact/signals-core';
import { base } from '../store/base';
import { syncStatus } from '../worker/syncClient';
import { subscribe } from '../store/changes';
import { isRead, type Cursor } from '../store/shape';

const cursor = signal<Cursor | undefined>(undefined);

/** Reads where this device stands, and keeps that up to date while the first reading lasts. */
export async function followArriving(): Promise<void> {
  const read = async () => {
    cursor.value = (await (await base()).get('meta', 'cursor')) as Cursor | undefined;
  };
  // Where it cannot be read, the start has said so.
  subscribe(({ queue }) => void (queue && !isWhole(cursor.value) && read().catch(() => undefined)));
  await read();
}

/** Also counted is what a first pull left out: before that nobody can say of which beds walks are not here. */
function isWhole(known: Cursor | undefined): boolean {
  return isRead(known) && known?.first === undefined;
}

/** The share of the records that are here, 0 to 1, while this device has never read all of them; undefined from then on. */
export const firstReading = computed(() => {
  const known = cursor.value;
  if (isWhole(known)) return undefined;
  return known && known.head > 0 ? known.position / known.head : 0;
});

/** True for what this device wrote since it began to read: of that it needs no word from the server. */
export function isOwnNew(by: { device: string; stamp: { at: number; quality: string } } | undefined): boolean {
  const began = cursor.value?.began;
  return by !== undefined && (by.stamp.quality === 'pending' || (began !== undefined && by.stamp.at >= began));
}

/** How far a later long reading has come, 0 to 1; undefined when there is none worth showing. */
export const catchingUp = computed(() => {
  const { state, done, of } = syncStatus.value;
  return state === 'syncing' && of - done > 500 ? done / of : undefined;
});
