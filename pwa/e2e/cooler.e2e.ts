/** Cold for a lot: a cooler set up, a lot that goes in, a temperature by hand, and a logger's file with a gap. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { CoolerView } from '../../schema/types.ts';
import type { Device, Nursery } from './harness.ts';
import { shows, turnsTo, viewOf } from './pages.ts';
import { LOT_1, openSmallNursery } from './small.ts';
import { hasEverything } from './walking.ts';

const HOUR = 3_600_000;
const DAY = 24 * HOUR;
const now = Date.now();
const HERE = 'America/New_York';
/** The nursery's own day, which is yesterday's in UTC for some hours of each night. */
const today = Date.parse(new Date(now).toLocaleDateString('sv-SE', { timeZone: HERE }));
const inDays = (days: number) => new Date(today + days * DAY).toISOString().slice(0, 10);

let nursery: Nursery;
let desk: Device;

beforeAll(async () => {
  nursery = await openSmallNursery([
    ['site', { of: '9'.repeat(32), time_zone: HERE }],
    ['event', { lot: LOT_1, what: 'buds_ready', on: inDays(-18) }, { lot: LOT_1 }],
    ['event', { lot: LOT_1, what: 'into_cooler', on: inDays(-20) }, { lot: LOT_1 }],
  ]);
  desk = await nursery.desk('supervisor');
  await shows(desk, '/plan/cooler');
  await hasEverything(desk);
});
afterAll(() => nursery.close());

async function until(what: () => Promise<boolean>): Promise<void> {
  while (!(await what())) await new Promise((done) => setTimeout(done, 100));
}

const cooler = () => viewOf<CoolerView>(desk, 'cooler');

/** A file of one line an hour in UTC, written as a logger would, without the 31 hours from the hundredth on. */
function file(heading: string, value: (hour: number) => string): { name: string; mimeType: string; buffer: Buffer } {
  const lines: string[] = [];
  for (let hour = 0; hour < 19 * 24; hour++) {
    if (hour >= 100 && hour < 131) continue;
    const at = new Date(Math.floor((now - 19 * DAY) / HOUR) * HOUR + hour * HOUR).toISOString();
    lines.push(`${at.slice(0, 10)} ${at.slice(11, 16)};${value(hour)}`);
  }
  return {
    name: 'vault.csv',
    mimeType: 'text/csv',
    buffer: Buffer.from(`Logger 7\n\nWhen;${heading}\n${lines.join('\n')}\n`),
  };
}

async function chooses(given: { name: string; mimeType: string; buffer: Buffer }): Promise<void> {
  await desk.page.locator('input[type=file]').setInputFiles(given);
}

async function says(question: string, answer: string): Promise<void> {
  await desk.page.getByRole('group', { name: question }).getByText(answer, { exact: true }).click();
}

test('a cooler is set up with its own band; half a band, or one turned round, is not taken', async () => {
  await desk.page.getByText('In a cooler, nobody wrote which').waitFor();
  await desk.page.getByRole('button', { name: 'Set up a cooler' }).click();
  await desk.page.getByLabel('Name').fill('Vault');
  await desk.page.getByLabel('Cold counts from').fill('3');
  await desk.page.getByRole('button', { name: 'Save' }).click();
  await desk.page.getByText('Enter both ends of the band, or neither.').first().waitFor();
  await desk.page.getByLabel('Cold counts up to').fill('2');
  await desk.page.getByText('The upper end of the band is below the lower one.').first().waitFor();
  await desk.page.getByLabel('Cold counts up to').fill('6,5');
  await desk.page.getByRole('button', { name: 'Save' }).click();
  await desk.page.getByText(/^Cold counts from 3\.0.°C to 6\.5.°C: your own band/).waitFor();
  // There is only one cooler that the lot can be in.
  const row = desk.page.locator('tbody tr', { hasText: 'AZ-101' });
  await row.waitFor();
  // Or 19 of 21, where midnight has passed at the nursery since the test began.
  expect(await row.innerText()).toMatch(/(18 of 20|19 of 21) days count; 2 before its buds were seen ready/);
});

test('a temperature read by hand is marked as an estimate', async () => {
  await desk.page.getByRole('button', { name: 'Note a temperature' }).click();
  await desk.page.getByLabel('Temperature now').fill('4.4');
  await desk.page.getByRole('button', { name: 'Save' }).click();
  await until(async () => ((await cooler()).coolers[0]?.spots.length ?? 0) === 1);
  expect((await cooler()).coolers[0]?.lots[0]?.spots[0]).toMatchObject({ readings: 1, low_dc: 44 });
});

test('a file that looks like degrees F is asked about, and one that cannot be right is refused with what to do', async () => {
  await turnsTo(desk, '/plan/logger');
  await chooses(file('Temperature', () => '40,1'));
  await says('The file does not say the unit. The temperatures are in', '°C');
  await says('The logger’s clock shows', 'UTC');
  await desk.page.getByText('Half of these are over 28 °C (82 °F). Are they really °C?').waitFor();
  await says('Half of these are over 28 °C (82 °F). Are they really °C?', 'No, they are °F');
  await desk.page.getByText(/^Lowest 4\.5.°C, highest 4\.5.°C/).waitFor();
  const broken = file('C', (hour) => (hour === 40 ? '4,1;7;8' : '4,1'));
  await chooses(broken);
  await desk.page.getByText(/^Line 44 has 4 columns, the heading 2\..* Nothing was saved\.$/).waitFor();
  expect((await cooler()).files).toEqual([]);
  await desk.picture('logger-refused');
});

test('a file is seen with its gap before it is saved, counts as hours from what was read to what may have been, and can be struck out', async () => {
  await chooses(file('Temp °C', (hour) => (hour % 24 === 0 ? '8,0' : '4,4')));
  await says('The logger’s clock shows', 'UTC');
  await desk.page.getByText(/^425 temperatures from .*, one every 60 min\.$/).waitFor();
  await desk.page.getByText(/^1 gap, 31 h in all; the longest is 31 h, from/).waitFor();
  await desk.picture('logger-preview');
  expect((await cooler()).files).toEqual([]);
  await desk.page.getByLabel('Where in the house it hangs').fill('by the door');
  await desk.page.getByRole('button', { name: 'Save 425 temperatures' }).click();
  await desk.page.getByText('425 temperatures saved for Vault.').waitFor();
  const row = desk.page.locator('tbody tr', { hasText: 'AZ-101' });
  await row
    .getByText(/^logger by the door:/)
    .first()
    .waitFor();
  const lot = (await cooler()).coolers[0]?.lots[0];
  expect(lot?.spots[0]).toMatchObject({ longest_gap: 31, low_dc: 44, high_dc: 80 });
  expect(lot?.spots[0]?.in_band).toBeLessThan(425);
  await desk.page.locator('summary', { hasText: 'Models made for peach and apple' }).click();
  await desk.page.getByText(/^None of these was made for azalea/).waitFor();
  await desk.picture('cooler-desk');
  expect(await desk.accessibilityFaults()).toEqual([]);

  // The same file again says so, and cannot be saved.
  await turnsTo(desk, '/plan/logger');
  await chooses(file('Temp °C', (hour) => (hour % 24 === 0 ? '8,0' : '4,4')));
  await desk.page.getByText(/^This file was read in before \(Vault, by the door\)/).waitFor();
  await says('The logger’s clock shows', 'UTC');
  expect(await desk.page.getByRole('button', { name: 'Save 425 temperatures' }).isDisabled()).toBe(true);

  await turnsTo(desk, '/plan/cooler');
  await desk.page.getByRole('button', { name: 'Strike out' }).click();
  await desk.page.getByText('The file is struck out.').waitFor();
  await until(async () => (await cooler()).files.length === 0);
});
