/** A small nursery whose server says what differs, and what a phone must hold of it in the end. */
import { expect } from 'vitest';
import { IDBFactory } from 'fake-indexeddb';
import type { Entry } from '../../../../schema/types';
import { idOf } from '../letgo/closing.testing';
import { entriesOn, recordsOn } from '../held.testing';
import { meta, type Phone } from '../letgo/phones.testing';
import { openTab } from '../nursery.testing';
import { Comparing } from './comparing.testing';

const OTHER = '00000000000000d2';
export const PHONE = '00000000000000d1';
export const [A, B, C, BED, WALK] = [idOf(1, 1), idOf(1, 2), idOf(1, 3), idOf(2, 1), idOf(3, 1)];

/** Pots and comments of some lots, and a house that belongs to none. @returns the pots of each lot */
export function planted(nursery: Comparing, lots = [A, B, C]): Map<string, Entry[]> {
  nursery.hears('house', { of: idOf(5, 1), name: 'North' });
  return new Map(
    lots.map((lot) => {
      nursery.hears('lot', { of: lot, tag: `L-${lot.slice(-1)}` }, { lot });
      const seen = [1, 2, 3, 4, 5].map((buds) =>
        nursery.hears('observation', { walk: WALK, bed: BED, lot, buds }, { lot, bed: BED }),
      );
      nursery.hears('count', { lot, change: 7, reason: 'opening' }, { lot });
      nursery.hears('note', { words: 'dry' }, { lot });
      return [lot, seen] as const;
    }),
  );
}

/** A phone that has pulled such a nursery whole. */
export async function pulled(): Promise<{ nursery: Comparing; phone: Phone; pots: Map<string, Entry[]> }> {
  const nursery = new Comparing();
  const pots = planted(nursery);
  const phone = await openTab(nursery, PHONE);
  await phone.syncs();
  return { nursery, phone, pots };
}

/** Which lots were asked for, and whether the journal was read from its beginning again since the first time. */
export function askedOf(nursery: Comparing): { lots: string[]; reread: boolean } {
  const lots = nursery.asked.flatMap((path) => /^\/api\/lots\/(.+)\/entries$/.exec(path)?.[1] ?? []);
  return { lots: [...new Set(lots)], reread: nursery.pulls.filter((after) => after === 0).length > 1 };
}

/** What a phone holds of the journal and has made of it. */
async function held(phone: Phone) {
  phone.use();
  const entries = await entriesOn(phone);
  const records = await recordsOn(phone);
  return {
    entries: entries.map(({ receipt: _made, ...row }) => row),
    records: records.map(({ key, text, hash }) => [key, text, hash]),
    sums: await meta(phone, 'sums'),
    recordSum: await meta(phone, 'recordSum'),
  };
}

/** What a phone that was never disturbed holds of this server's journal. */
async function undisturbed(nursery: Comparing) {
  const phone = await openTab(nursery, OTHER, { disk: new IDBFactory() });
  await phone.syncs();
  return held(phone);
}

export async function expectEqual(nursery: Comparing, phone: Phone): Promise<void> {
  expect(nursery.digests.at(-1)).toEqual({ equal: true, records: true });
  expect(await meta(phone, 'digest')).toMatchObject({ equal: true, position: nursery.journal.length });
  expect(await held(phone)).toEqual(await undisturbed(nursery));
}
