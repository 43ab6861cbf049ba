/** Walks are kept current page by page, each page for what it holds. */
import { beforeEach, expect, test, vi } from 'vitest';
import * as fc from 'fast-check';
import { effect } from '@preact/signals-core';
import type { RecordRow } from '../store/shape';
import type { takeWalks as Take, WalkRow } from './walks';

type Walks = { takeWalks: typeof Take } & typeof import('./walks');
let kept: Walks;

beforeEach(async () => {
  vi.resetModules();
  kept = await import('./walks');
});

const id = (n: number) => `${n}`.padStart(32, '0');

/** What a walk's record may be: without its opening, open, ended or struck out, on one of three beds. */
function rowOf(walk: number, bed: number, how: 'bare' | 'open' | 'ended' | 'void'): RecordRow {
  const open = { walk: id(walk), bed: id(bed), seed: 1, planned: 8 };
  const stamp = { at: walk, quality: 'exact', from: walk, to: walk };
  const part = {
    by: { person: 'p', device: 'd', entry: 'e', stamp },
    ...(how !== 'bare' && { open }),
    ...(how === 'ended' && { end: { walk: id(walk), bed: id(bed), why: 'enough' } }),
    ...(how === 'void' && { voided: { by: { entry: 'v' }, why: 'wrong' } }),
  };
  return { key: `walk:${id(walk)}`, kind: 'walk', record: { key: `walk:${id(walk)}`, walk: part } } as never;
}

const row = fc.tuple(fc.nat(6), fc.nat(2), fc.constantFrom('bare', 'open', 'ended', 'void'));
const page = fc.record({ rows: fc.array(row, { maxLength: 5 }), gone: fc.array(fc.nat(6), { maxLength: 2 }) });

test('after any pages they are what the last row of each walk says', () => {
  fc.assert(
    fc.property(fc.array(page, { maxLength: 8 }), (pages) => {
      const last = new Map<string, RecordRow>();
      for (const n of kept.walks.value.keys()) kept.takeWalks([], [`walk:${n}`]);
      for (const { rows, gone } of pages) {
        const made = rows.map(([walk, bed, how]) => rowOf(walk, bed, how));
        const keys = gone.map((walk) => `walk:${id(walk)}`);
        kept.takeWalks(made, keys);
        for (const key of keys) last.delete(key);
        for (const each of made) last.set(each.key, each);
      }
      const wanted = [...last.values()].filter(({ record: { walk } }) => walk?.open && !walk.voided);
      const ids = (of: readonly RecordRow[]) => of.map(({ key }) => key.slice(5)).sort();
      const namesOf = (of: Iterable<WalkRow>) => [...of].map((walk) => walk.id).sort();
      expect([...kept.walks.value.keys()].sort()).toEqual(ids(wanted));
      expect(namesOf(kept.walksNotEnded.value.values())).toEqual(ids(wanted.filter(({ record }) => !record.walk?.end)));
      for (const bed of [0, 1, 2].map(id)) {
        const here = wanted.filter(({ record }) => record.walk?.open?.bed === bed);
        expect(namesOf(kept.walksOf(bed))).toEqual(ids(here));
      }
    }),
  );
});

test('a page of two walks looks at no other of five hundred', () => {
  let looks = 0;
  const watched = (row: RecordRow): RecordRow =>
    Object.defineProperty({ ...row }, 'record', { get: () => (looks++, row.record) });
  const many = Array.from({ length: 500 }, (_, n) => watched(rowOf(n, n % 25, 'ended')));
  kept.takeWalks(many, []);
  const seen: number[] = [];
  effect(() => {
    seen.push(kept.walks.value.size + kept.walksOf(id(3)).length + kept.walksNotEnded.value.size);
  });
  looks = 0;
  kept.takeWalks([watched(rowOf(501, 3, 'open')), watched(rowOf(502, 4, 'ended'))], []);
  expect([seen[0], seen.at(-1)]).toEqual([500 + 20 + 0, 502 + 21 + 1]);
  expect(looks).toBe(2);
});

test('who follows a walk hears of its change, and of none that is no change', () => {
  kept.takeWalks([rowOf(1, 1, 'open')], []);
  const ended: boolean[] = [];
  effect(() => {
    ended.push(kept.walks.value.get(id(1))?.end !== undefined);
  });
  kept.takeWalks([], [`walk:${id(9)}`]);
  kept.takeWalks([rowOf(1, 1, 'ended')], []);
  expect(ended).toEqual([false, true]);
});
