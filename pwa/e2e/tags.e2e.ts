/** Tags as an office prints them: the page as large as the label stock, and codes that another program reads. */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { prepareZXingModule, readBarcodes } from 'zxing-wasm/reader';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { Device, Nursery } from './harness.ts';
import { openSmallNursery } from './small.ts';

let nursery: Nursery;
let desk: Device;

beforeAll(async () => {
  nursery = await openSmallNursery();
  desk = await nursery.desk('supervisor');
});
afterAll(() => nursery?.close());

test('printed tags are as large as their stock, and the codes on them can be read', async () => {
  await desk.opens('/lots');
  await desk.page.getByRole('link', { name: 'Print tags' }).click();
  await desk.page.locator('.tag-lots input').first().fill('1');
  await desk.page.getByLabel('Page width (mm)').fill('100');
  await desk.page.getByLabel('Page height (mm)').fill('25');
  for (const [label, value] of [
    ['Columns', '1'],
    ['Rows', '1'],
    ['Label width (mm)', '100'],
    ['Label height (mm)', '25'],
    ['Left margin (mm)', '0'],
    ['Top margin (mm)', '0'],
  ] as const) {
    await desk.page.getByLabel(label, { exact: true }).fill(value);
  }
  await desk.sees('1 sheet, 1 tag');
  const pdf = (await desk.page.pdf({ preferCSSPageSize: true, printBackground: true })).toString('latin1');
  // 1 mm is 72 / 25.4 points; Chromium rounds to a hundredth of an inch.
  const boxes = [...pdf.matchAll(/\/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/g)].map(([, wide, high]) => [
    Math.round((Number(wide) * 25.4) / 72),
    Math.round((Number(high) * 25.4) / 72),
  ]);
  expect(boxes).toEqual([[100, 25]]);
  await desk.page.emulateMedia({ media: 'print' });
  const picture = await desk.page.locator('.tag').first().screenshot({ scale: 'device' });
  // The page was reached from the desk's: what those look like must not squeeze the words off the tag.
  const lies = (selector: string) => desk.page.locator(`.tag ${selector}`).first().boundingBox();
  const [tag, qr, words] = [await desk.page.locator('.tag').first().boundingBox(), await lies('.qr'), await lies('b')];
  expect(qr!.width).toBeCloseTo(qr!.height, 0);
  expect(words!.width).toBeGreaterThan(30);
  expect(words!.x + words!.width).toBeLessThanOrEqual(tag!.x + tag!.width);
  await desk.page.emulateMedia({ media: null });
  const code = await read(picture);
  const printed = (await desk.page.locator('.printed b').first().textContent()) ?? '';
  expect(printed).not.toBe('');
  expect(code?.text).toMatch(new RegExp(`^LOT:${printed.toUpperCase()}:[0-9A-F]{8}$`));
  expect(await desk.accessibilityFaults('all')).toEqual([]);
});

test('cards for head photos have a code of 45 mm and a bar of 100 mm, and say both of themselves', async () => {
  await desk.opens('/tags');
  await desk.page.getByText('Cards for head photos').click();
  await desk.sees(/This bar is meant to be 100 mm long/);
  await desk.page.emulateMedia({ media: 'print' });
  // A millimetre is 96 / 25.4 pixels of CSS.
  const mm = async (selector: string) => ((await desk.page.locator(selector).first().boundingBox())!.width * 25.4) / 96;
  expect(await mm('.head-bar')).toBeCloseTo(100, 1);
  expect(await mm('.head-card .qr path')).toBeCloseTo(45, 1);
  const picture = await desk.page.locator('.head-card').first().screenshot({ scale: 'device' });
  const pages = (await desk.page.pdf({ preferCSSPageSize: true, printBackground: true })).toString('latin1');
  expect(pages.match(/\/MediaBox/g)).toHaveLength(1);
  await desk.page.emulateMedia({ media: null });
  expect((await read(picture))?.text).toMatch(/^CARD:45:[0-9A-F]{4}$/);
  expect(await desk.accessibilityFaults('all')).toEqual([]);
});

/** By another program than the one that made it. */
async function read(picture: Buffer) {
  const wasm = createRequire(import.meta.url).resolve('zxing-wasm/reader/zxing_reader.wasm');
  await prepareZXingModule({ overrides: { wasmBinary: new Uint8Array(readFileSync(wasm)).buffer } });
  const [code] = await readBarcodes(new Uint8Array(picture), { formats: ['QRCode'] });
  return code;
}
