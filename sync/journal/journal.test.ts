import { isDeepStrictEqual } from 'node:util';
import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, hexToBytes, utf8ToBytes } from '@noble/hashes/utils.js';
import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Stamp } from '../../schema/types';
import {
  addSum,
  canonical,
  chain,
  chainHex,
  entryHash,
  JournalError,
  parse,
  parseChain,
  parseSum,
  subSum,
  sumHex,
} from './journal.ts';
import { readVectors, vectorFiles } from './vectors.testing.ts';

test('every journal vector file is read', () => {
  expect(vectorFiles('journal')).toEqual(['journal-canonical.json', 'journal-chain.json', 'journal-digest.json']);
});

describe('canonical bytes', () => {
  const cases = readVectors('journal-canonical.json', ['text', 'hex'], ['canonical', 'error']);
  test.each(cases)('$name', ({ input, want }) => {
    const source = input['hex'] === undefined ? (input['text'] as string) : hexToBytes(input['hex'] as string);
    if (want['error'] !== undefined) {
      expect(codeOf(() => parse(source))).toBe(want['error']);
      return;
    }
    const text = canonical(parse(source));
    expect(text).toBe(want['canonical']);
    expect(canonical(parse(utf8ToBytes(text)))).toBe(text);
  });

  test('of values that JSON cannot say are refused', () => {
    for (const [value, code] of [
      [0.5, 'not_integer'],
      [-0, 'not_integer'],
      [Number.NaN, 'not_integer'],
      [Number.POSITIVE_INFINITY, 'not_integer'],
      [2 ** 53, 'out_of_range'],
      ['\ud83d', 'lone_surrogate'],
      [{ '\udc00': 1 }, 'lone_surrogate'],
      [[undefined], 'bad_json'],
      [1n, 'bad_json'],
    ] as const) {
      expect(
        codeOf(() => canonical(value)),
        String(value),
      ).toBe(code);
    }
    expect(canonical({ b: undefined, a: 1 })).toBe('{"a":1}');
  });

  test('say the same as JSON does, and are read back', () => {
    fc.assert(
      fc.property(fc.jsonValue({ maxDepth: 4, stringUnit: 'binary' }), (value) => {
        const whole = JSON.parse(JSON.stringify(value), (_, part: unknown) =>
          typeof part === 'number' ? Math.trunc(part % 2 ** 53) + 0 : part,
        ) as unknown;
        let text: string;
        try {
          text = canonical(whole);
        } catch (error) {
          expect((error as JournalError).code).toBe('lone_surrogate');
          return;
        }
        // Not toEqual, which takes a hundred times longer, and on a busy machine too long.
        expect(isDeepStrictEqual(JSON.parse(text), whole)).toBe(true);
        expect(isDeepStrictEqual(parse(text), whole)).toBe(true);
      }),
    );
  }, 60_000);
});

// Expected hashes were made with Python's hashlib, which shares no code with either twin.
test.each(readVectors('journal-chain.json', ['chain', 'entries'], ['chains']))('chain: $name', ({ input, want }) => {
  let hash = parseChain(input['chain'] as string);
  const got = (input['entries'] as string[]).map((entry) => chainHex((hash = chain(hash, entry))));
  expect(got).toEqual(want['chains']);
});

test.each(readVectors('journal-digest.json', ['items'], ['hashes', 'sum']))('digest: $name', ({ input, want }) => {
  const items = input['items'] as { entry: string; stamp: Stamp }[];
  const hashes = items.map(({ entry, stamp }) => entryHash(entry, stamp));
  expect(hashes.map(sumHex)).toEqual(want['hashes']);
  const sum = hashes.reduce(addSum, 0n);
  expect(sumHex(sum)).toBe(want['sum']);
  expect(parseSum(want['sum'] as string)).toBe(sum);
  expect(hashes.reduce(subSum, sum)).toBe(0n);
});

test('the hash library gives the values of FIPS 180-4 (NIST example values)', () => {
  expect(bytesToHex(sha256(utf8ToBytes('abc')))).toBe(
    'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad',
  );
  expect(bytesToHex(sha256(utf8ToBytes('abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq')))).toBe(
    '248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1',
  );
});

test('chains and sums are read strictly', () => {
  for (const text of ['ab', 'AB'.repeat(32), 'xy'.repeat(32)]) expect(() => parseChain(text)).toThrow(RangeError);
  for (const text of ['', '0', 'F'.repeat(32)]) expect(() => parseSum(text)).toThrow(RangeError);
  expect(chainHex(parseChain(''))).toBe('');
});

function codeOf(run: () => unknown): string | undefined {
  try {
    run();
  } catch (error) {
    if (error instanceof JournalError) return error.code;
    throw error;
  }
  return undefined;
}
