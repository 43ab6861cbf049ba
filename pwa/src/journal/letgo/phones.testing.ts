/** What tests of phones read in their databases, and how one that lets notes go answers for them as one that keeps everything. */
import { expect } from 'vitest';
import type { openTab } from '../nursery.testing';
import { entriesOn } from '../held.testing';
import type { Gone, LotSum } from '../store/shape';

export type Phone = Awaited<ReturnType<typeof openTab>>;

export async function meta<T>(phone: Phone, key: string): Promise<T | undefined> {
  return (await (await phone.base.base()).get('meta', key)) as T | undefined;
}

export async function goneOf(phone: Phone): Promise<Map<string, Gone>> {
  return (await meta<Map<string, Gone>>(phone, 'gone')) ?? new Map();
}

/**
 * Sums and records are those of the phone that keeps everything, and what is here of a lot that was let go is with what is gone all that passed.
 * @param when said where they are not
 */
export async function expectAnswersFor(phone: Phone, keeper: Phone, when: string): Promise<void> {
  for (const key of ['sums', 'recordSum'])
    expect(await meta(phone, key), `${when}, ${key}`).toEqual(await meta(keeper, key));
  const passed = await meta<Record<string, LotSum>>(keeper, 'sums');
  for (const [lot, { count }] of await goneOf(phone)) {
    const held = (await entriesOn(phone)).filter(({ entry }) => entry.lot === lot);
    expect(held.length + count, `${when}, lot ${lot}`).toBe(passed?.[lot]?.count ?? 0);
  }
}
