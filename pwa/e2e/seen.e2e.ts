/**
 * What was planted in the demo nursery, read off both screens: at a desk and on a phone. What the numbers must be is asked
 * in Go (sync/bed/demo_test.go, server/view/demo_test.go); here it is whether a person can read them.
 */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { BedBrief, BedsView, BedView, Finding, LotsPage, Pairing, ScoutsView } from '../../schema/types.ts';
import { uniformityOf } from '../../sync/stats/index.ts';
import type { Device, Nursery } from './harness.ts';
import { openNursery } from './harness.ts';
import { shows, supervisorPages, turnsTo as turnsToPage, viewOf } from './pages.ts';
import { turnsTo } from './states.ts';
import { hasEverything, seesBeds } from './walking.ts';

let nursery: Nursery;
let desk: Device;
let phone: Device;
let beds: BedBrief[];
let scouts: ScoutsView;
let large: string;

beforeAll(async () => {
  nursery = await openNursery({ demo: true });
  desk = await nursery.viewer('supervisor', 'desk');
  beds = (await viewOf<BedsView>(desk, 'beds')).houses.flatMap((house) => house.beds);
  scouts = await viewOf<ScoutsView>(desk, 'scouts');
  large = scouts.drifts.find((drift) => drift.attention && drift.bias.value > 0)?.person ?? '';
  phone = await phoneOf(large);
  await seesBeds(phone);
  await hasEverything(phone);
  await phone.isReadyForTheField();
});
afterAll(() => nursery.close());

/** The bed of which this was found, and the finding. */
function bedWith(code: string, fits: (finding: Finding, bed: BedBrief) => boolean = () => true): [BedBrief, Finding] {
  for (const bed of beds) {
    const finding = bed.score?.findings.find((each) => each.code === code && fits(each, bed));
    if (finding) return [bed, finding];
  }
  throw new Error(`no bed of the demo has the finding ${code}`);
}

test('a desk and a phone call the same beds due, for the same reasons', async () => {
  await turnsTo(phone, '/today');
  const words: [RegExp, string][] = [
    [/^never walked/, 'never'],
    [/^(\d+) days? since/, 'days'],
    [/^chlorosis seen/, 'chlorosis'],
    [/root/, 'roots'],
    [/^walked/, ''],
  ];
  const saidOn = async () => {
    const lines = await phone.page
      .locator('.lines a')
      .evaluateAll((all) =>
        all.map((each) => [
          each.getAttribute('href')!.slice('/bed/'.length),
          each.querySelector('span .small:last-child')!.textContent,
        ]),
      );
    return new Map(lines.map(([bed, text]) => [bed!, words.find(([said]) => said.test(text!))?.[1] ?? text!]));
  };
  // The beds of walks that arrived last are still being scored.
  await expect.poll(async () => [...(await saidOn()).values()].filter((why) => why === '').length).toBeGreaterThan(0);
  await expect.poll(async () => (await saidOn()).size).toBe(beds.length);
  const now = (await viewOf<BedsView>(desk, 'beds')).houses.flatMap((house) => house.beds);
  const onPhone = await saidOn();
  const sides = now.map((bed) => {
    // A closed bed is named with when it opens, in place of a reason to go there.
    const there = (bed.closed_until ?? 0) > 0 ? 'closed' : bed.due;
    const here = (bed.closed_until ?? 0) > 0 && /opens/.test(onPhone.get(bed.id)!) ? 'closed' : onPhone.get(bed.id);
    return { bed: bed.name, desk: there, phone: here };
  });
  process.stdout.write(
    `due at the desk | on the phone\n${sides.map((s) => `${s.bed}: ${s.desk || '-'} | ${s.phone || '-'}`).join('\n')}\n`,
  );
  expect(sides.filter((side) => side.desk !== side.phone)).toEqual([]);
  expect(new Set(sides.map((side) => side.desk)).size).toBeGreaterThan(2);
});

const screens = [
  ['a desk', () => desk, (bed: BedBrief) => turnsToPage(desk, `/beds/${bed.id}`)],
  ['a phone', () => phone, (bed: BedBrief) => opens(bed)],
] as const;

describe.each(screens)('on %s', (kind, on, show) => {
  const said = () => on().page.locator('.says');

  test('the mixed bed reads even within its lots, and says how much lies between them', async () => {
    const [bed, finding] = bedWith('between_lots', (_, { spans }) => spans.length > 1);
    const heads = bed.score!.traits[0]!.uniformity;
    // Judged as one lot the bed would read less even than it is.
    expect(heads.value).toBeGreaterThan((await asOneLot(bed)) + 0.03);
    await show(bed);
    for (const { value, interval } of [
      bed.score!.uniformity,
      ...bed.score!.lots.map((lot) => lot.traits[0]!.uniformity),
    ]) {
      const text = new RegExp(`\\b${points(value)}\\b.{0,4}\\(${points(interval.low)} to ${points(interval.high)}`);
      // The list of walks to choose from holds the number too, unseen.
      await on().page.getByText(text).filter({ visible: true }).first().waitFor();
    }
    await said()
      .getByText(new RegExp(`^${points(finding.numbers['share']!)}.% of the spread in head size is between the`))
      .waitFor();
    await on().picture(`seen-mixed-${name(kind)}`);
  });

  test('the gradient bed names the end toward which heads shrink, and how fast', async () => {
    const [bed, finding] = bedWith('gradient', ({ trait }) => trait === 'head');
    await show(bed);
    const end = finding.end === 'far' ? bed.far_end : bed.entry_end;
    await said()
      .getByText(
        new RegExp(`Heads shrink toward the ${end} end, about ${points(finding.numbers['per_5m']!)}.% every 5.m`),
      )
      .waitFor();
    await on().picture(`seen-gradient-${name(kind)}`);
  });

  test('the chlorotic patch is found, with the stretch on which it stands', async () => {
    const [bed, finding] = bedWith('patch_chlorosis');
    await show(bed);
    const [x, n] = [finding.numbers['x'], finding.numbers['n']];
    await said()
      .getByText(new RegExp(`Chlorosis on ${x} of ${n} pots, close together \\d+.m to \\d+.m from the entry end`))
      .waitFor();
    await on().picture(`seen-patch-${name(kind)}`);
  });
});

describe('the scout who reads large', () => {
  const drift = () => scouts.drifts.find(({ person }) => person === large)!;
  const tenths = (share: number) => (100 * share).toFixed(1);

  test.each([
    ['at a desk', () => Promise.resolve(desk)],
    ['on a supervisor’s phone', () => nursery.viewer('supervisor', 'phone')],
  ] as const)('is named with an interval %s', async (where, open) => {
    const on = await open();
    const { value, interval } = drift().bias;
    await turnsToPage(on, '/scouts');
    const line = on.page.locator('.drifts li').filter({ hasText: scouts.people[large]! });
    const text = (await line.innerText()).replace(/\s+/g, ' ');
    expect(text).toContain(
      `reads heads ${tenths(value)} % large (+${tenths(interval.low)} % to +${tenths(interval.high)} %)`,
    );
    expect(text).toContain('more than chance');
    await line.getByRole('img').first().waitFor();
    expect(await on.page.evaluate(() => document.documentElement.scrollWidth <= innerWidth)).toBe(true);
    await on.picture(`seen-reader-${name(where)}`);
    if (on !== desk) await on.ends();
  });

  test('reads so of himself on his own phone, in kind words', async () => {
    const { value, interval } = drift().bias;
    await turnsTo(phone, '/notes');
    const said = phone.page.locator('.reads');
    const text = (await said.innerText()).replace(/\s+/g, ' ');
    expect(text).toContain(`About ${tenths(value)} % larger than the others`);
    expect(text).toContain(`(+${tenths(interval.low)} % to +${tenths(interval.high)} %, over ${drift().walks} walks)`);
    expect(text).toContain('not an error');
    await phone.picture('seen-reader-own-phone');
  });
});

test('what the walks say is there out of range, too, with the date on which it was said', async () => {
  const [bed] = bedWith('patch_chlorosis');
  await phone.goesOutOfRange();
  await phone.isSwitchedOffAndOn(`/bed/${bed.id}`);
  await phone.page
    .locator('.says')
    .getByText(/Chlorosis on \d+ of/)
    .first()
    .waitFor();
  await phone.sees(/^Updated/);
  await phone.comesIntoRange();
});

/** The share of pots within a tenth of the mean, were the bed one lot. */
async function asOneLot(bed: BedBrief): Promise<number> {
  const { pots } = await viewOf<BedView>(desk, `beds/${bed.id}`);
  const heads = pots.flatMap(({ now, voided }) =>
    voided || now.head_a_mm === undefined ? [] : [(now.head_a_mm + (now.head_b_mm ?? now.head_a_mm)) / 2],
  );
  return uniformityOf(heads, 0.1, 0, 0.9).expected.value ?? 1;
}

async function opens(bed: BedBrief): Promise<void> {
  await turnsTo(phone, `/bed/${bed.id}`);
  await phone.page.locator('.says').waitFor();
}

/** A phone of somebody of the nursery, by a code that the supervisor asks for. */
async function phoneOf(person: string): Promise<Device> {
  const made = await desk.page.evaluate(
    async (ask) => {
      const headers = { 'content-type': 'application/json' };
      const answer = await fetch('/api/pairings', { method: 'POST', headers, body: JSON.stringify(ask) });
      return (await answer.json()) as Pairing;
    },
    { person, role: 'scout' },
  );
  const paired = await nursery.strangePhone();
  await paired.pairs(new URL(`/pair/${made.code}`, nursery.server.url).href);
  return paired;
}

function points(share: number): string {
  return String(Math.round(100 * share));
}

function name(where: string): string {
  return where
    .replace(/^(on|at|a)\b|’s|\ba\b/g, ' ')
    .trim()
    .replace(/\s+/g, '-');
}

test('a bed, a lot and the weekly sheet are one page each on A4 and on Letter, without what is only for tapping', async () => {
  const { lots } = await viewOf<LotsPage>(desk, 'lots');
  const bed = beds.find(({ spans, score }) => spans.length === 1 && score);
  for (const [path, ready] of [
    [`/beds/${bed?.id}`, '.report'],
    [`/lots/${lots[0]?.id}`, '.report'],
    ['/plan/week', '.week-sheet .actions button:enabled'],
  ] as const) {
    await desk.opens(path);
    await desk.page.locator(ready).waitFor();
    for (const format of ['A4', 'Letter']) {
      const pdf = (await desk.page.pdf({ format, preferCSSPageSize: true })).toString('latin1');
      // Each page is an object of its own in a PDF (ISO 32000-1, 7.7.3.3).
      expect(pdf.match(/\/Type\s*\/Page\b/g), `${path} ${format}`).toHaveLength(1);
    }
    await desk.page.emulateMedia({ media: 'print' });
    expect(await desk.page.locator('.supervisor :is(nav, .button, button):visible').count(), path).toBe(0);
    await desk.page.emulateMedia({ media: null });
  }
});

// 160 mm between wide margins are narrower than a phone's layout asks for (600 px of 1/96 in).
test('the ship weeks are a table on paper however wide its margins, without what is folded away', async () => {
  await desk.opens('/plan/weeks');
  await desk.page.locator('.shipweek').first().waitFor();
  const before = desk.page.viewportSize()!;
  await desk.page.setViewportSize({ width: 600, height: 900 });
  await desk.page.emulateMedia({ media: 'print' });
  expect(await desk.page.locator('.shipweeks .weekline.heads').isVisible()).toBe(true);
  const line = desk.page.locator('.shipweek .weekline').first();
  const columns = await line.evaluate((at) => getComputedStyle(at).gridTemplateColumns.split(' ').length);
  expect(columns).toBe(5);
  expect(await desk.page.locator('.shipweek > details:not([open]) > summary:visible').count()).toBe(0);
  await desk.page.emulateMedia({ media: null });
  await desk.page.setViewportSize(before);
});

test('in Spanish, whose words are longer, no page is wider than the window of a desk', async () => {
  const spanish = JSON.stringify({ language: 'es' });
  await desk.page.evaluate((chosen) => localStorage.setItem('bedwalk-settings', chosen), spanish);
  await shows(desk, '/beds');
  expect(await desk.page.evaluate(() => document.documentElement.lang)).toBe('es');
  const before = desk.page.viewportSize()!;
  for (const { name, path } of await supervisorPages(desk)) {
    // Those of the crops wait for records, which this desk is not given.
    if (path.startsWith('/crops')) continue;
    await turnsToPage(desk, path);
    for (const width of [1024, 1440]) {
      await desk.page.setViewportSize({ width, height: 900 });
      const over = () => desk.page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      await expect.poll(over, { message: `${name} at ${width} px is too wide by so many px` }).toBeLessThanOrEqual(0);
    }
  }
  await desk.page.setViewportSize(before);
  await desk.page.evaluate(() => localStorage.removeItem('bedwalk-settings'));
  await shows(desk, '/beds');
});

test('a computer in another time zone shows the nursery’s times and says so', async () => {
  const clock = await desk.page.context().newCDPSession(desk.page);
  await clock.send('Emulation.setTimezoneOverride', { timezoneId: 'Asia/Tokyo' });
  await turnsToPage(desk, '/plan/work');
  // Tokyo is 14 h ahead of New York in winter and 13 h in summer (IANA time zone database).
  await desk.sees(/Times are the nursery’s: 1[34] h earlier than on this device/);
  // Whoever runs this after midnight in New York sees one digit of the hour.
  await desk.sees(/[Aa]s of .*\d{1,2}:\d\d nursery time/);
  await clock.send('Emulation.setTimezoneOverride', { timezoneId: '' });
  await clock.detach();
});
