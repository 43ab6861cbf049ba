/** A blind second look, from the desk that asks for it to the page that says how alike two scouts read. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { BedsView, Pairing, ScoutsView } from '../../schema/types.ts';
import type { Device, Nursery } from './harness.ts';
import { shows, viewOf } from './pages.ts';
import { openSmallNursery } from './small.ts';
import { answersPot, hasEverything, kept, notesPot, opensBed, seesBeds, startsWalk, until } from './walking.ts';

let nursery: Nursery;
let desk: Device;
let first: Device;
let second: Device;

/** Heads of the first walk, cm; the second scout reads the same pots about a tenth larger. */
const firstHeads = ['28', '30', '33', '29', '31', '35'];
const secondHeads = ['31', '32', '36', '32', '34', '39'];
const buds = ['41', '44', '38', '47', '42', '45'];
const cover = [4, 3, 4, 2, 4, 3];

beforeAll(async () => {
  nursery = await openSmallNursery();
  desk = await nursery.desk('supervisor');
  [first, second] = [await nursery.phoneInRange('scout'), await phoneOf('Ada Finch')];
  for (const phone of [first, second]) {
    await seesBeds(phone);
    await hasEverything(phone);
  }
  await second.isReadyForTheField();
});
afterAll(() => nursery.close());

const places: string[] = [];

test('one scout walks six pots of a bed', async () => {
  await opensBed(first, 'H1');
  await startsWalk(first);
  for (const [i, head] of firstHeads.entries()) {
    places.push(await placeOf(first));
    await notesPot(first, { head, buds: buds[i]!, cover: cover[i]! });
    await first.sees(/^(about \d+ more|enough)$/);
  }
  await first.taps('More');
  await first.taps('End the walk');
  // Six pots of a plan along sixty rows are one end of the bed, and the number is not called the bed's.
  await first.sees(/^Rows \d+ to 60 were not checked \(\d+\s%/);
  await first.taps('End the walk');
  await first.page.getByRole('heading', { name: 'Today' }).waitFor();
  await until(first, (now) => now.waiting === 0);
});

test('the supervisor asks for a second look at that bed, and whoever walked it first is not offered it', async () => {
  const { houses } = await viewOf<BedsView>(desk, 'beds');
  const walked = houses.flatMap((house) => house.beds).find((bed) => bed.name === 'H1')!;
  await shows(desk, `/beds/${walked.id}`);
  await desk.taps('Blind second look');
  await desk.taps('Ask for a second look');
  await desk.sees(/^Requested/);
  await second.page.getByRole('heading', { name: 'Second look' }).waitFor();
  await second.sees(/H1: check the same 6 pots again\. The first values stay hidden/);
  await second.picture('round-today-phone');
  await until(first, (now) => now.agreedTo === now.head && now.agreedTo > 0);
  expect(await first.page.getByRole('heading', { name: 'Second look' }).count()).toBe(0);
});

test('out of range, the second scout is led to the same pots and sees nothing of what was noted there', async () => {
  await second.goesOutOfRange();
  await second.taps('Start second look');
  await second.page.locator('.pad').waitFor();
  const led: string[] = [];
  for (const [i, head] of secondHeads.entries()) {
    // The card of the pot before is still there until it says how many are left.
    await second.sees(`${secondHeads.length - i} to go`);
    led.push(await placeOf(second));
    const card = (await second.page.locator('main.walk').innerText()).replace(/\s+/g, ' ');
    expect(card).not.toMatch(/usual for|Uniformity|far from/);
    expect(await second.page.locator('.traits .on b').innerText()).toBe('–');
    expect(await second.page.locator('.traits b').allInnerTexts()).toEqual(['–', '–', '–', '–']);
    if (i === 3) await second.picture('round-card-phone');
    const pot = { head, buds: buds[i]!, cover: cover[i]! };
    if (i + 1 < secondHeads.length) await notesPot(second, pot);
    else await answersPot(second, pot);
  }
  expect(led).toEqual(places);
});

test('after the last pot the walk ends by itself at its summary, and the round is done, still out of range', async () => {
  await second.taps('End the walk');
  await second.page.getByRole('heading', { name: 'Today' }).waitFor();
  // Opening, six pots, the end of the walk, and the round that is done with it.
  expect((await kept(second)).waiting).toBe(9);
  expect(await second.page.getByRole('heading', { name: 'Second look' }).count()).toBe(0);
  await second.comesIntoRange();
  await until(second, (now) => now.waiting === 0);
});

test('the scouts page says how alike the two read, and the bed keeps the first walk as its last', async () => {
  const { agreements, rounds, people } = await viewOf<ScoutsView>(desk, 'scouts');
  const [round] = rounds;
  expect(rounds).toHaveLength(1);
  expect(round).toMatchObject({ bed_name: 'H1', pots: 6, rescored: 6, done: true });
  expect(round!.first).not.toBe(round!.by);
  // ln(second/first), averaged, less one: the six ratios by hand.
  const ratios = secondHeads.map((head, i) => Math.log(Number(head) / Number(firstHeads[i])));
  const bias = Math.exp(ratios.reduce((sum, each) => sum + each, 0) / ratios.length) - 1;
  expect(round!.result!.bias.value).toBeCloseTo(bias, 6);
  expect(agreements).toHaveLength(1);
  expect(agreements[0]).toMatchObject({ n: 6, limits: { known: true }, icc: { known: true } });
  expect(agreements[0]!.cover).toMatchObject({ known: true, value: 1 });

  await shows(desk, '/scouts');
  const table = desk.page.getByRole('region', { name: 'Blind second looks, two scouts at a time' });
  const line = (await table.locator('tbody tr').innerText()).replace(/\s+/g, ' ');
  expect(line).toContain(people[agreements[0]!.a]!);
  expect(line).toContain(people[agreements[0]!.b]!);
  expect(line).toMatch(/[+−]\d+\.\d % \([+−]\d+\.\d to [+−]\d+\.\d %\)/);
  const asked = desk.page.getByRole('region', { name: 'Second looks requested' });
  await asked.getByText('6 of 6 pots, closed').waitFor();
  await desk.picture('round-scouts-desk');
  await desk.page.setViewportSize({ width: 390, height: 844 });
  await desk.picture('round-scouts-phone');
  await desk.page.setViewportSize({ width: 1440, height: 900 });

  await shows(desk, `/beds/${round!.bed}`);
  const walks = desk.page.getByRole('combobox', { name: 'Walk' }).locator('option');
  expect(await walks.count()).toBe(1);
});

/** A phone of somebody who is new here: the supervisor asks for a code for them. */
async function phoneOf(name: string): Promise<Device> {
  const made = await desk.page.evaluate(
    async (ask) => {
      const headers = { 'content-type': 'application/json' };
      const answer = await fetch('/api/pairings', { method: 'POST', headers, body: JSON.stringify(ask) });
      return (await answer.json()) as Pairing;
    },
    { name, role: 'scout' },
  );
  const phone = await nursery.strangePhone();
  await phone.pairs(new URL(`/pair/${made.code}`, nursery.server.url).href);
  return phone;
}

async function placeOf(phone: Device): Promise<string> {
  return (await phone.page.locator('.place').textContent()) ?? '';
}
