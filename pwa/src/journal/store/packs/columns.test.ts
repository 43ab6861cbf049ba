/** What a pack gives back is what was put in, to the byte; what it could not give back does not fit. */
import { expect, test } from 'vitest';
import * as fc from 'fast-check';
import { canonical } from '../../../../../sync/journal/journal';
import type { EntryRow } from '../shape';
import { Pack } from './columns';
import { fits, pack } from './writePack';

const hex = (length: number) => fc.stringMatching(new RegExp(`^[0-9a-f]{${length}}$`));
const count = fc.integer({ min: -(2 ** 40), max: 2 ** 40 });
const leaf = fc.oneof(
  count,
  fc.string({ maxLength: 8 }),
  fc.boolean(),
  fc.constantFrom(null, 1.5, 2 ** 53 - 1, -0, [], {}, [1, { a: 'b' }], ['x']),
);
const name = fc.constantFrom('buds', 'place', 'head', 'a', 'a.b', '', 'constructor', '__proto__x');
const body = fc.dictionary(name, fc.oneof(leaf, fc.dictionary(name, leaf, { maxKeys: 3 })), { maxKeys: 5 });

const row = fc
  .record({
    id: hex(32),
    position: fc.nat(),
    receipt: fc.option(fc.string({ maxLength: 6 }), { nil: undefined }),
    stamp: fc.record({ at: count, from: count, to: count, quality: fc.constantFrom('exact', 'corrected') }),
    entry: fc.record({
      device: hex(16),
      seq: count,
      wall: count,
      floor: count,
      kind: fc.constant('observation'),
      body,
    }),
  })
  .map(
    ({ id, entry, receipt, ...rest }) =>
      ({
        id,
        ...rest,
        entry: { id, ...entry },
        keys: [`pot:${id}`],
        ...(receipt !== undefined && { receipt: [rest.position, receipt] }),
      }) as unknown as EntryRow,
  );

test('every note that fits comes out of its pack as it went in', () => {
  let packed = 0;
  fc.assert(
    fc.property(fc.array(row, { minLength: 1, maxLength: 12 }), (rows) => {
      const fit = rows.filter(fits);
      if (fit.length === 0) return;
      const body = pack(fit);
      const read = new Pack(structuredClone(body));
      expect(read.size).toBe(fit.length);
      fit.forEach((one, at) => {
        packed++;
        expect(read.id(at)).toBe(one.id);
        expect(JSON.stringify(sorted(read.row(at)))).toBe(JSON.stringify(sorted(one)));
      });
    }),
  );
  expect(packed).toBeGreaterThan(50);
});

/** With the names of every object in order. */
function sorted(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(sorted);
  if (typeof value !== 'object' || value === null) return value;
  return Object.entries(value)
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([key, part]) => [key, sorted(part)]);
}

const note = (seq: number): EntryRow => {
  const id = seq.toString(16).padStart(32, '0');
  const stamp = {
    at: 1_800_000_000_000 + 30_000 * seq,
    quality: 'exact',
    from: 1_800_000_000_000,
    to: 1_800_000_000_000,
  };
  const entry = { id, device: 'd'.repeat(16), seq, wall: stamp.at + 7, kind: 'observation', body: { buds: seq % 3 } };
  return { id, entry, stamp, position: seq, keys: [`pot:${id}`], receipt: [seq, 'abcdef'] } as unknown as EntryRow;
};

test('a page of notes takes a small part of what their JSON takes', () => {
  const rows = Array.from({ length: 500 }, (_, i) => note(i + 1));
  const { ids, text } = pack(rows);
  const whole = rows.reduce((sum, { entry, stamp }) => sum + canonical({ entry, stamp } as object).length, 0);
  expect(ids.length).toBe(16 * 500);
  expect(text.length).toBeLessThan(whole / 4);
});

type Spoil = (body: { ids: Uint8Array; text: string }) => { ids: Uint8Array; text: string };

test.each<[string, Spoil]>([
  ['is no JSON', ({ ids }) => ({ ids, text: '{"v":1' })],
  ['is of another form', ({ ids, text }) => ({ ids, text: text.replace('"v":1', '"v":2') })],
  ['has fewer ids', ({ ids, text }) => ({ ids: ids.slice(16), text })],
  ['has a column cut', ({ ids, text }) => ({ ids, text: text.replace(/,\d+\]/, ']') })],
])('a pack that %s is not read', (_, spoil) => {
  const body = pack([note(1), note(2), note(4)]);
  expect(() => new Pack(spoil(body))).toThrow();
});
