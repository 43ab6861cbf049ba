/** Two houses with a bed and a lot each, of which a scout has one or both, and what a phone holds of them. */
import { expect } from 'vitest';
import type { Entry } from '../../../../schema/types';
import { openTab } from '../nursery.testing';
import { Closing, idOf } from './closing.testing';
import { goneOf as allGone, type Phone } from './phones.testing';

export const SCOUT = '00000000000000d1';
export const DESK = '00000000000000d2';
export const ANA = 'a'.repeat(32);
export const [EAST, WEST] = [idOf(7, 1), idOf(7, 2)];
export const [EAST_BED, WEST_BED] = [idOf(2, 1), idOf(2, 2)];
export const [EAST_LOT, WEST_LOT] = [idOf(1, 1), idOf(1, 2)];
export const beds = new Map([
  [EAST_LOT, EAST_BED],
  [WEST_LOT, WEST_BED],
]);

/** Two houses with a bed and a lot each, and a walk of three pots on both beds. */
export function street(nursery: Closing): Record<'east' | 'west', Entry[]> {
  nursery.hears('house', { of: EAST, name: 'East' });
  nursery.hears('house', { of: WEST, name: 'West' });
  nursery.hears('bed', { of: EAST_BED, house: EAST, name: 'E1' }, { bed: EAST_BED });
  nursery.hears('bed', { of: WEST_BED, house: WEST, name: 'W1' }, { bed: WEST_BED });
  nursery.hears('person', { of: ANA, name: 'Ana' });
  for (const [lot, bed] of beds) {
    nursery.hears('lot', { of: lot, tag: lot.slice(-3) }, { lot });
    stands(nursery, lot, bed);
  }
  return { east: walks(nursery, EAST_LOT, EAST_BED, 1), west: walks(nursery, WEST_LOT, WEST_BED, 2) };
}

export function stands(nursery: Closing, lot: string, bed: string, n = 0): string {
  const span = idOf(4 + n, Number.parseInt(lot.slice(-3), 16));
  nursery.hears('span', { of: span, lot, bed, from_row: 1, to_row: 9 }, { lot, bed });
  return span;
}

export function walks(nursery: Closing, lot: string, bed: string, n: number, pots = 3): Entry[] {
  const walk = idOf(3, n);
  nursery.hears('walk', { walk, bed, seed: 1, planned: pots }, { bed });
  const seen = Array.from({ length: pots }, () =>
    nursery.hears('observation', { walk, bed, lot, buds: 10 }, { lot, bed }),
  );
  nursery.hears('walk_end', { walk, bed, why: 'enough' }, { bed });
  return seen;
}

let last: string[] = [];

/** For a nursery that has given nobody a house yet. */
export function startsAgain(): void {
  last = [];
}

export function gives(nursery: Closing, houses: string[]): void {
  last = [nursery.hears('person', { of: ANA, houses, saw: last }).id];
}

/** How many notes of each lot were let go. */
export async function goneOf(phone: Phone): Promise<Map<string, number>> {
  return new Map([...(await allGone(phone))].map(([lot, { count }]) => [lot, count]));
}

export async function pots(phone: Phone, lot: string): Promise<number> {
  const rows = await (await phone.base.base()).getAllFromIndex('entries', 'lot', lot);
  return rows.filter(({ entry }) => entry.kind === 'observation').length;
}

export async function opens(house: string, isOpen = true): Promise<void> {
  await (await import('./openHouse')).keepHouse(house, isOpen);
}

/** A month by the server's clock, with a backup before it and a note after it. */
export function monthPasses(nursery: Closing): void {
  nursery.backsUp();
  nursery.minutesPass(31 * 24 * 60);
  nursery.hears('note', { words: 'a new day' });
}

/** A phone that read everything before Ana was given the east house. */
export async function shrunk(nursery: Closing): Promise<Phone> {
  const phone = await openTab(nursery, SCOUT);
  await phone.syncs();
  gives(nursery, [EAST]);
  await phone.syncs();
  return phone;
}

export async function equalAgain(nursery: Closing, phone: Phone): Promise<void> {
  nursery.hears('note', { words: 'another day' });
  await phone.syncs();
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
}
