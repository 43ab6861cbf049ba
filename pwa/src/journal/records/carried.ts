/** The houses of which this phone has the notes, and the lots of which it has not all: for what screens may say of a bed. */
import { signal } from '@preact/signals-core';
import { base } from '../store/base';
import { subscribe } from '../store/changes';
import { housesIn, type Carried, type Meta, type Writer } from '../store/shape';
import { isLongShipped } from '../letgo/shipped';
import { briefs } from './briefs';
import { everySpanOf } from './input';
import { beds, lots } from './registers';
import { walksOf } from './walks';

const DAY_MS = 24 * 60 * 60_000;

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

/** True while what is here says too little of a bed, because notes of lots that stand or stood on it are at the server alone. */
export function isLacking(bed: string): boolean {
  return comingTo(bed).length > 0 || partialWalk(bed) > 0;
}

/** The lots on a bed, or that stood there and were not shipped long ago, that are not here whole: they come by themselves. */
export function comingTo(bed: string): string[] {
  return awayFrom(bed).filter((lot) => !isLongShipped(shippedOn(lot), serverNow));
}

/**
 * When the walk began (ms since 1970) that would say how the bed is, if it may have seen a lot that has been shipped since and is not here
 * whole; else 0. Such lots come only when somebody asks for them.
 */
export function partialWalk(bed: string): number {
  const lots = awayFrom(bed);
  if (lots.length === 0) return 0;
  const newest = walksOf(bed).filter(({ open }) => open?.round === undefined);
  const at = briefs.value.get(bed)?.lastWalkAt ?? Math.max(0, ...newest.map((walk) => walk.at));
  // A day more, wherever in the world the lot was shipped.
  const day = new Date(at - DAY_MS).toISOString().slice(0, 10);
  return lots.some((lot) => day <= shippedOn(lot)) ? at : 0;
}

function awayFrom(bed: string): string[] {
  if (away.value.size === 0) return [];
  return everySpanOf(bed).flatMap(({ lot = '' }) => (away.value.has(lot) ? [lot] : []));
}

/** A day as YYYY-MM-DD; after every day for a lot that was not shipped. */
function shippedOn(lot: string): string {
  return lots.value.get(lot)?.shipped_on || '9';
}
