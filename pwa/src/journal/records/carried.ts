/** The houses of which this phone has the notes, and the lots of which it has not all: for what screens may say of a bed. */
import { signal } from '@preact/signals-core';
import { base } from '../store/base';
import { subscribe } from '../store/changes';
import { housesIn, type Carried, type Meta, type Writer } from '../store/shape';
import { isLongShipped } from '../letgo/shipped';
import { everySpanOf } from './input';
import { beds, lots } from './registers';

/** Undefined on a phone that keeps the notes of every house. */
export const carried = signal<Carried | undefined>(undefined);
/** Lots of which notes are at the server alone; known only on a phone that carries houses of its own. */
export const away = signal<ReadonlySet<string>>(new Set());

/** The newest time that the server gave, ms since 1970: this device's own clock may be a year off. */
let serverNow = 0;

export async function followCarried(): Promise<void> {
  subscribe(({ queue }) => {
    // Where it cannot be read the start has said so already.
    if (queue) read().catch(() => undefined);
  });
  await read();
}

async function read(): Promise<void> {
  const open = await base();
  const now = (await open.get('meta', 'carried')) as Carried | undefined;
  const gone = now && ((await open.get('meta', 'gone')) as Meta['gone'] | undefined);
  if (gone) serverNow = ((await open.get('meta', 'writer')) as Writer | undefined)?.floor ?? 0;
  if (String(now?.own) + String(now?.opened) !== String(carried.value?.own) + String(carried.value?.opened))
    carried.value = now;
  if (String([...(gone?.keys() ?? [])]) !== String([...away.value])) away.value = new Set(gone?.keys());
}

/** True for a bed in no house that is known, too. */
export function isCarried(bed: string): boolean {
  const house = beds.value.get(bed)?.house;
  return !carried.value || !house || housesIn(carried.value).includes(house);
}

/** True while a lot that stands or stood on the bed, and was not shipped long ago, is not here whole: then no walk of the bed may be. */
export function isLacking(bed: string): boolean {
  return lackingOn(bed).length > 0;
}

export function lackingOn(bed: string): string[] {
  if (away.value.size === 0) return [];
  return everySpanOf(bed).flatMap(({ lot = '' }) =>
    away.value.has(lot) && !isLongShipped(lots.value.get(lot)?.shipped_on || '9', serverNow) ? [lot] : [],
  );
}
