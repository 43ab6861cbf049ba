/** The houses of which this phone has the notes, and the lots of which it has not all: for what screens may say of a bed. */
import { signal } from '@preact/signals-core';
import { base } from '../store/base';
import { subscribe } from '../store/changes';
import { housesIn, type Carried, type Meta, type Writer } from '../store/shape';
import { endedAt } from '../../../../sync/fold/ownHouses';
import { isLongShipped, utcDay } from '../letgo/shipped';
import { briefs } from './briefs';
import { everySpanOf } from './input';
import { beds, lots, recordOf } from './registers';
import { walksOf } from './walks';

const DAY_MS = 24 * 60 * 60_000;

/** Undefined on a phone that keeps the notes of every house. */
export const carried = signal<Carried | undefined>(undefined);
/** Lots of which notes are at the server alone. */
export const away = signal<ReadonlySet<string>>(new Set());

/** The newest time that the server gave, ms since 1970: this device's own clock may be a year off. */
let serverNow = 0;

export async function followCarried(): Promise<void> {
  subscribe(({ queue, away: isOther = false }) => {
    // Where it cannot be read the start has said so already.
    if (queue) read(isOther).catch(() => undefined);
  });
  await read(true);
}

/** @param isOther that notes may have gone, or come back: else the lots, which may be thousands, are not read again */
async function read(isOther: boolean): Promise<void> {
  const open = await base();
  const now = (await open.get('meta', 'carried')) as Carried | undefined;
  const gone = isOther ? ((await open.get('meta', 'gone')) as Meta['gone'] | undefined) : undefined;
  if (gone ?? away.value.size > 0)
    serverNow = ((await open.get('meta', 'writer')) as Writer | undefined)?.floor ?? serverNow;
  if (String(now?.own) + String(now?.opened) !== String(carried.value?.own) + String(carried.value?.opened))
    carried.value = now;
  if (isOther && String([...(gone?.keys() ?? [])]) !== String([...away.value])) away.value = new Set(gone?.keys());
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

/** The lots on a bed, or that did not leave it long ago, that are not here whole: they come by themselves. */
export function comingTo(bed: string): string[] {
  return awayFrom(bed).flatMap(({ lot, left }) => (isLongShipped(left, serverNow) ? [] : [lot]));
}

/**
 * When the walk began (ms since 1970) that would say how the bed is, if it may have seen a lot that has left the bed since and is not here
 * whole; else 0. Such lots come only when somebody asks for them.
 */
export function partialWalk(bed: string): number {
  const lots = awayFrom(bed);
  if (lots.length === 0) return 0;
  const newest = walksOf(bed).filter(({ open }) => open?.round === undefined);
  const brief = briefs.value.get(bed);
  // What is said is of the last whole walk, and any later one saw fewer of these lots.
  const at = brief?.whole?.at ?? brief?.lastWalkAt ?? Math.max(0, ...newest.map((walk) => walk.at));
  // A day more, wherever in the world the lot was shipped.
  const day = utcDay(at - DAY_MS);
  return lots.some(({ left }) => day <= left) ? at : 0;
}

/** The lots that stand or stood on a bed and are not here whole, each with the day on which it left: after every day where it did not. */
function awayFrom(bed: string): { lot: string; left: string }[] {
  if (away.value.size === 0) return [];
  return everySpanOf(bed).flatMap(({ id, lot = '' }) => (away.value.has(lot) ? [{ lot, left: leftOn(id, lot) }] : []));
}

/** The day on which a lot was shipped, or else that on which it left a stretch, as YYYY-MM-DD. */
function leftOn(span: string, lot: string): string {
  const ended = endedAt(recordOf('span', span));
  return lots.value.get(lot)?.shipped_on || (ended === Infinity ? '9' : utcDay(ended));
}
