import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { encode } from 'uqr';
import { prepareZXingModule, readBarcodes } from 'zxing-wasm/reader';
import { expect, test } from 'vitest';
import { codeOf, lotsOf, tagIn } from './code';

const lot = { id: '9f3c21ab000000000000000000000001', tag: '0412', cultivar: 'Corvane' };
const twin = { id: '11111111000000000000000000000002', tag: '0412', cultivar: 'Ember Lace' };
const other = { id: '22222222000000000000000000000003', tag: 'Az 101' };
const lots = [lot, twin, other];

test('a printed code names the tag and the lot itself', () => {
  expect(codeOf(lot)).toBe('LOT:0412:9F3C21AB');
  expect(tagIn(codeOf(lot))).toBe('0412');
});

test('of two lots with one tag the code finds its own, the typed tag finds both', () => {
  expect(lotsOf(codeOf(twin), lots)).toEqual([twin]);
  expect(lotsOf('0412', lots)).toEqual([lot, twin]);
});

test('a lot whose tag was rewritten after printing is still found', () => {
  expect(lotsOf(codeOf(lot), [{ ...lot, tag: '0500' }])).toHaveLength(1);
});

test('capitals and spaces make no difference to a typed tag', () => {
  expect(lotsOf(' aZ   101 ', lots)).toEqual([other]);
});

test('a tag typed without its mark, or with another, is found; one written just so comes first', () => {
  const hyphen = { id: '33333333000000000000000000000004', tag: 'AZ-977' };
  const spaced = { id: '44444444000000000000000000000005', tag: 'AZ9 77' };
  expect(lotsOf('az977', [hyphen, other])).toEqual([hyphen]);
  expect(lotsOf('az 977', [hyphen, other])).toEqual([hyphen]);
  expect(lotsOf('az977', [hyphen, spaced])).toEqual([hyphen, spaced]);
  expect(lotsOf('AZ-977', [hyphen, spaced])).toEqual([hyphen]);
  expect(lotsOf('az97', [hyphen, spaced])).toEqual([]);
  expect(lotsOf('-', [{ id: hyphen.id, tag: '' }, hyphen])).toEqual([]);
});

test('a code of something else is its own text, and finds nothing', () => {
  expect(tagIn('https://example.org/x')).toBe('https://example.org/x');
  expect(lotsOf('https://example.org/x', lots)).toEqual([]);
  expect(lotsOf('', lots)).toEqual([]);
});

test('the code of a common tag is a square of 25 modules, and another program reads it', async () => {
  const { data, size, version } = encode(codeOf(lot), { ecc: 'Q', border: 4 });
  // ISO/IEC 18004: version 2 holds 29 alphanumeric characters at level Q and is 25 modules wide.
  expect([version, size]).toEqual([2, 25 + 2 * 4]);
  const wasm = createRequire(import.meta.url).resolve('zxing-wasm/reader/zxing_reader.wasm');
  await prepareZXingModule({ overrides: { wasmBinary: new Uint8Array(readFileSync(wasm)).buffer } });
  const [read] = await readBarcodes(enlarged(data, 4), { formats: ['QRCode'] });
  expect(read?.text).toBe(codeOf(lot));
});

function enlarged(modules: readonly (readonly boolean[])[], times: number): ImageData {
  const side = modules.length * times;
  const data = new Uint8ClampedArray(side * side * 4).fill(255);
  for (let y = 0; y < side; y++) {
    for (let x = 0; x < side; x++) {
      if (modules[Math.floor(y / times)]?.[Math.floor(x / times)])
        data.fill(0, (y * side + x) * 4, (y * side + x) * 4 + 3);
    }
  }
  return { data, width: side, height: side, colorSpace: 'srgb' } as ImageData;
}
