/**
 * Everything that one wrote can be seen and put right later: an open card, a pot of an ended walk, a note on the spot. One phone
 * for all: each test walks a bed of its own, ends its walk, and judges only the notes that it wrote.
 */
import { afterAll, beforeAll, beforeEach, expect, test } from 'vitest';
import type { BedView, Count, Lot, Void } from '../../schema/types.ts';
import { Caller } from './caller.ts';
import type { Device, Nursery } from './harness.ts';
import { BED_1, BED_2, LOT_1, oneMoreBed, openSmallNursery } from './small.ts';
import { choosesLanguage, turnsTo, type Language } from './states.ts';
import { eightPots, kept, notesPot, opensBed, ownNotes, seesBeds, startsWalk, until, walkOf } from './walking.ts';

let nursery: Nursery;
let phone: Device;
let office: Caller;
/** How many notes the phone had written before the test. */
let before: number;

beforeAll(async () => {
  nursery = await openSmallNursery(['3', '4', '5'].flatMap((digit) => oneMoreBed(digit)));
  office = await Caller.pairs(nursery, 'supervisor');
  phone = await nursery.phone('scout');
  await seesBeds(phone);
  await phone.isReadyForTheField();
  await until(phone, (now) => now.position > 0 && now.position === now.head);
});
beforeEach(async () => {
  await phone.page.evaluate(() => localStorage.removeItem('bedwalk-settings'));
  await phone.opens('/');
  await seesBeds(phone);
  before = (await ownNotes(phone)).length;
});
afterAll(() => nursery.close());

const digits = async (typed: string) => {
  for (const digit of typed) await phone.page.getByRole('button', { name: digit, exact: true }).first().tap();
};
const speaks = (language: Language) => choosesLanguage(phone, language);
const newNotes = async () => (await ownNotes(phone)).slice(before);
const kinds = async () => (await newNotes()).map(({ kind }) => kind);
const bodyOf = async <B>(kind: string) => (await newNotes()).filter((each) => each.kind === kind).at(-1)?.body as B;
const field = (name: string | RegExp) =>
  phone.page.getByRole('textbox', { name }).or(phone.page.getByRole('combobox', { name })).first();
const row = (text: string | RegExp) => phone.page.locator('.notes .own > li').filter({ hasText: text }).first();

/** Begins to walk a bed: so many green pots. */
async function walks(bed: string, pots: number): Promise<string> {
  await opensBed(phone, bed);
  await startsWalk(phone);
  for (const pot of eightPots.slice(0, pots)) await notesPot(phone, pot);
  return walkOf(phone);
}

/** The same, and one pot more of which only head and buds were answered. */
async function walksWithAnOpenCard(bed: string, pots: number, head: string, buds: string): Promise<string> {
  const walk = await walks(bed, pots);
  await digits(head);
  await phone.page.locator('.traits button').nth(1).tap();
  await digits(buds);
  await until(phone, (now) => now.drafts === 1);
  return walk;
}

async function walksAndEnds(bed: string, pots: number): Promise<string> {
  const walk = await walks(bed, pots);
  await endsWalk();
  return walk;
}

async function endsWalk(): Promise<void> {
  await phone.taps('More');
  await phone.taps('End the walk');
  await phone.taps('End the walk');
  await seesBeds(phone);
}

test('a card that is open when a walk is to be ended is shown first, judged, and saved only when that is said', async () => {
  const walk = await walksWithAnOpenCard('Heron, H5', 6, '91', '402');
  await phone.taps('More');
  await phone.taps('End the walk');
  const open = phone.page.locator('.end .open');
  await open.getByText('Pot 7 is still open').waitFor();
  await open.getByText(/row \d+, .* from the (left|right), seen from the door/).waitFor();
  await open.getByText(/head: 91, buds: 402/).waitFor();
  const again = phone.page.locator('.end section').filter({ hasText: 'Check again' });
  await again.getByText(/91.*is far from|91.*did you mean/).waitFor();
  await again.getByText(/402.*is far from|402.*did you mean/).waitFor();
  await phone.picture('end-open-card');
  expect(await phone.accessibilityFaults()).toEqual([]);
  await speaks('es');
  await turnsTo(phone, `/walk/${walk}/end`);
  await phone.sees('La maceta 7 sigue abierta');
  await phone.picture('end-open-card-es');
  await speaks('en');
  await turnsTo(phone, `/walk/${walk}/end`);

  // Neither written nor lost by ending the walk: it is asked.
  await phone.taps('End the walk');
  await phone.sees(/^Save or discard the open pot first/);
  expect((await kinds()).filter((kind) => kind === 'observation')).toHaveLength(6);
  expect((await kept(phone)).drafts).toBe(1);
  await phone.keepsOffers();
  await phone.taps('Discard');
  await phone.sees('Discarded.');
  expect((await kept(phone)).drafts).toBe(0);
  await phone.page.locator('.toast').getByRole('button', { name: 'Undo' }).tap();
  await phone.sees('Pot 7 is still open');
  await phone.taps('Save as pot 7');
  await open.waitFor({ state: 'detached' });
  expect(await bodyOf('observation')).toMatchObject({ head_a_mm: 910, buds: 402 });
  await phone.taps('End the walk');
  await seesBeds(phone);
  expect((await kinds()).slice(-2)).toEqual(['observation', 'walk_end']);
});

test('a correction that is open when a walk is to be ended is asked for in the same way', async () => {
  await walksWithAnOpenCard('Heron, H3', 2, '3', '');
  // One tap takes back the digit, the next says that nothing is left; by then the button has another name.
  await phone.taps('Undo');
  await expect.poll(() => phone.page.locator('.traits b').first().textContent()).toBe('–');
  await phone.taps('Undo');
  await phone.sees(/^Nothing left to undo here/);
  await phone.taps('Correct pot 2');
  await phone.sees('Correcting pot 2');
  await phone.page.locator('.traits button').first().tap();
  await digits('33');
  await until(phone, (now) => now.drafts === 1);
  await phone.taps('More');
  await phone.taps('End the walk');
  await phone.sees('The correction of pot 2 is still open');
  await phone.taps('Save the correction');
  await phone.page.locator('.end .open').waitFor({ state: 'detached' });
  expect((await kinds()).at(-1)).toBe('correction');
  await phone.taps('End the walk');
  await seesBeds(phone);
});

test('a pot of an ended walk is found from its bed, corrected, and that leads back to the walk', async () => {
  const walk = await walksAndEnds('Heron, H4', 3);
  const bed = `/bed/${'4b'.repeat(16)}`;
  await turnsTo(phone, bed);
  await phone.picture('bed-to-pots');
  await phone.taps('See and correct its pots');
  await phone.sees(/^Ended /);
  await phone.page.locator('.pots [aria-expanded]').last().tap();
  await phone.page.getByRole('button', { name: 'Correct', exact: true }).last().tap();
  await phone.sees('Correcting pot 1');
  await digits('33');
  await phone.taps('Apply');
  await phone.page.getByRole('heading', { name: 'End of the walk' }).waitFor();
  expect(new URL(phone.page.url()).pathname).toBe(`/walk/${walk}/end`);
  await phone.sees(/^Ended /);
  expect((await kinds()).slice(-2)).toEqual(['walk_end', 'correction']);
  expect((await kept(phone)).drafts).toBe(0);
  await speaks('es');
  await turnsTo(phone, bed);
  await phone.sees('Ver y corregir sus macetas');
  await phone.picture('bed-to-pots-es');
});

test('from the notes a pot is opened, corrected and struck out with a reason, and taken back', async () => {
  await walksAndEnds('Heron, H2', 2);
  await turnsTo(phone, '/notes');
  await row(/row .*head: 30/)
    .getByRole('button', { name: 'Correct', exact: true })
    .tap();
  await phone.sees('Correcting pot 2');
  for (let digit = 0; digit < 2; digit++) await phone.page.getByRole('button', { name: 'Erase the last digit' }).tap();
  await digits('34');
  await phone.taps('Apply');
  await phone.page.getByRole('heading', { level: 1, name: 'Notes' }).waitFor();
  await row(/Pot corrected.*head: 34/).waitFor();
  await row(/row .*head: 31/)
    .getByRole('button', { name: 'Strike out' })
    .tap();
  await phone.taps('the wrong pot');
  await row(/row .*head: 31/)
    .getByText(/^Struck out by .*: the wrong pot$/)
    .waitFor();
  expect(await bodyOf<Void>('void')).toMatchObject({ why: 'wrong_pot' });
  expect((await viewAtTheServer()).pots.filter((pot) => pot.voided)).toHaveLength(1);
  await phone.picture('notes-struck');
  await row(/row .*head: 31/)
    .getByRole('button', { name: 'Restore' })
    .tap();
  await row(/row .*head: 31/)
    .getByRole('button', { name: 'Strike out' })
    .waitFor();
  expect((await viewAtTheServer()).pots.filter((pot) => pot.voided)).toHaveLength(0);
});

async function viewAtTheServer(): Promise<BedView> {
  await until(phone, (now) => now.waiting === 0);
  return office.view<BedView>(`beds/${BED_2}`);
}

test('what was noted on the spot says what it says, and is struck out from the notes days later', async () => {
  await turnsTo(phone, `/work/loss?lot=${LOT_1}&bed=${BED_1}`);
  await phone.page.getByRole('radio', { name: 'root rot' }).check({ force: true });
  await phone.taps('+5');
  await phone.taps('+1');
  await phone.taps(/^Save$/);
  await phone.sees(/−6 pots \(root rot\): noted/);
  await turnsTo(phone, `/work/reading?lot=${LOT_1}&bed=${BED_1}`);
  await field(/^pH/).fill('5.2');
  await phone.taps(/^Save$/);
  await phone.sees('Reading noted.');
  await turnsTo(phone, `/work/application?bed=${BED_1}`);
  await phone.page.getByRole('radio', { name: 'growth regulator' }).check({ force: true });
  await field(/^Active ingredient/).fill('daminozide');
  await field(/^Restricted-entry interval/).fill('24');
  await phone.taps('just now');
  await phone.taps(/^Save$/);
  await phone.sees(/^Saved. Entry restricted until/);
  await until(phone, (now) => now.waiting === 0);

  // Opened again: no toast is left to take anything back with.
  await phone.isSwitchedOffAndOn('/notes');
  await row(/−6 pots.*root rot/)
    .getByText(/AZ-101/)
    .waitFor();
  await row(/pH 5\.20?/).waitFor();
  await row(/daminozide/)
    .getByText(/24 hours/)
    .waitFor();
  await phone.picture('notes-said');
  expect(await phone.accessibilityFaults()).toEqual([]);
  await speaks('es');
  await turnsTo(phone, '/notes');
  await row(/−6 macetas.*raíz/).waitFor();
  await row(/daminozide/)
    .getByRole('button', { name: 'Tachar' })
    .tap();
  await phone.sees(/Las camas de esta nota contarán como abiertas/);
  await phone.picture('notes-strike-es');
  await phone.taps('Cancelar');
  await speaks('en');
  await turnsTo(phone, '/notes');

  await row(/daminozide/)
    .getByRole('button', { name: 'Strike out' })
    .tap();
  await phone.sees(/Its beds will count as open/);
  await phone.taps('the wrong bed');
  await row(/daminozide/)
    .getByText(/^Struck out by .*: the wrong bed$/)
    .waitFor();
  await row(/−6 pots/)
    .getByRole('button', { name: 'Strike out' })
    .tap();
  await phone.taps('a mistake');
  await row(/−6 pots/)
    .getByText(/^Struck out by/)
    .waitFor();
  expect(await bodyOf<Void>('void')).toMatchObject({ records: [`stock:${LOT_1}`], why: 'mistake' });
  await phone.picture('notes-work-struck');
  await phone.page.locator('.toast').getByRole('button', { name: 'Undo' }).tap();
  await row(/−6 pots/)
    .getByRole('button', { name: 'Strike out' })
    .waitFor();
  await turnsTo(phone, `/bed/${BED_1}`);
  await phone.page.getByRole('button', { name: 'Start walk' }).waitFor();
});

test('what one Save wrote is struck out together: no move is left half taken back', async () => {
  const [bed, lot] = ['5b'.repeat(16), '5d'.repeat(16)];
  await turnsTo(phone, `/work/move?lot=${lot}&bed=${bed}`);
  await phone.taps(/^All 600 pots/);
  await phone.page.getByRole('radio', { name: 'Heron, H2' }).check({ force: true });
  await field('From row').fill('1');
  await field('To row').fill('60');
  await phone.taps(/^Save$/);
  await phone.sees(/600 pots moved/);
  await turnsTo(phone, '/notes');
  await row(/600 pots.*Heron, H5.*Heron, H2/)
    .getByRole('button', { name: 'Strike out' })
    .tap();
  await phone.sees(/3 notes were saved together/);
  await phone.taps('a mistake');
  await row(/600 pots/)
    .getByText(/^Struck out by/)
    .waitFor();
  expect((await kinds()).filter((kind) => kind === 'void')).toHaveLength(3);
  await turnsTo(phone, `/lot/${lot}`);
  await phone.sees(/Heron, H5, rows 1 to 60/);
  await phone.sees('600 pots');
});

test('Undo after a new lot goes back to the form as it was filled, and it can be saved again', async () => {
  await turnsTo(phone, '/work/lot');
  await field('Tag code').fill('AZ-303');
  await phone.page.getByRole('radio', { name: 'azalea', exact: true }).check({ force: true });
  await field('Cultivar').fill('Marsh Lantern');
  await field('Pot size').fill('15');
  await phone.page.getByRole('radio', { name: 'on no bed' }).check({ force: true });
  for (const radio of await phone.page.getByRole('radio', { name: 'not known' }).all())
    await radio.check({ force: true });
  await phone.taps(/^Save$/);
  await phone.sees('Lot AZ-303 noted.');
  await phone.page.locator('.toast').getByRole('button', { name: 'Undo' }).tap();
  await phone.sees('Undone.');
  await phone.page.getByRole('heading', { name: 'New lot from a tag' }).waitFor();
  expect(await field('Tag code').inputValue()).toBe('AZ-303');
  expect(await field('Cultivar').inputValue()).toBe('Marsh Lantern');
  expect(await phone.page.getByText('Nothing here').count()).toBe(0);
  await phone.picture('undo-new-lot');
  await field('Tag code').fill('AZ-304');
  await phone.taps(/^Save$/);
  await phone.sees('Lot AZ-304 noted.');
  await phone.page.getByRole('heading', { name: /AZ-304/ }).waitFor();
  const [first, second] = (await newNotes()).filter(({ kind }) => kind === 'lot').map((each) => each.body as Lot);
  expect([first?.tag, second?.tag]).toEqual(['AZ-303', 'AZ-304']);
  // Ids of what was struck out are not used again, or the second save would be struck out with the first.
  expect(first?.of).not.toBe(second?.of);
});

test('Undo after a step-up goes back to its form too', async () => {
  await turnsTo(phone, `/work/step?lot=${LOT_1}&bed=${BED_1}`);
  await field('How many pots').fill('120');
  await field('New tag code').fill('AZ-401');
  await field('New pot size').fill('16.5');
  await phone.page.getByRole('radio', { name: 'on no bed' }).check({ force: true });
  await phone.taps(/^Save$/);
  await phone.sees(/120 pots stepped up to lot AZ-401/);
  await phone.page.locator('.toast').getByRole('button', { name: 'Undo' }).tap();
  await phone.page.getByRole('heading', { name: 'Step up' }).waitFor();
  expect(await field('How many pots').inputValue()).toBe('120');
  expect(await field('New tag code').inputValue()).toBe('AZ-401');
  expect(await bodyOf<Count>('count')).toBeUndefined();
});

test('what a walk announces lies over its sheet, can be tapped there, and goes when it was taken back or another pot is opened', async () => {
  await walks('Heron, H1', 2);
  const toast = phone.page.locator('.toast');
  const strikes = async () => {
    await phone.page.locator('dialog').getByRole('button', { name: 'Strike out' }).first().tap();
    await phone.taps('the wrong pot');
    await toast.getByText('Pot struck out.').waitFor();
  };
  await phone.taps('More');
  await phone.taps('Earlier pots');
  await phone.page.locator('.pots [aria-expanded]').first().tap();
  await strikes();
  await phone.picture('toast-over-sheet');
  // A tap on its button is the toast's; one on its words goes through to what it lies on.
  const isHit = (each: Element) => {
    const box = each.getBoundingClientRect();
    return document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2) === each;
  };
  await expect.poll(() => toast.getByRole('button').evaluate(isHit)).toBe(true);
  expect(await toast.locator('span').evaluate(isHit)).toBe(false);
  await phone.page.locator('dialog').getByRole('button', { name: 'Restore' }).tap();
  await toast.waitFor({ state: 'detached' });
  await strikes();
  await phone.page.locator('.pots [aria-expanded=false]').first().tap();
  await phone.page.locator('dialog').getByRole('button', { name: 'Correct', exact: true }).first().tap();
  await phone.sees(/^Correcting pot/);
  await toast.waitFor({ state: 'detached' });
  await phone.taps(/^Back to pot/);
  await phone.taps('More');
  await phone.taps('Skip this pot');
  await phone.taps('no pot there');
  await toast.getByText('Pot skipped.').waitFor();
  await phone.picture('toast-in-walk');
  // Said on the card's own line: nothing lies over the guide or over a choice.
  await phone.page.locator('.news', { hasText: 'Pot skipped.' }).waitFor();
  expect(await toast.evaluate((each) => getComputedStyle(each.parentElement!).clipPath)).toBe('inset(50%)');
  await endsWalk();
});

test('a phone whose access was taken back says so on Today, what is kept and what to do, out of range too', async () => {
  await office.revokes((await kept(phone)).device);
  await walks('Heron, H5', 1);
  await until(phone, (now) => now.waiting === 0);
  const says = async (...sentences: (string | RegExp)[]) => {
    const notice = phone.page.locator('.today .notice');
    for (const sentence of sentences) await notice.getByText(sentence).waitFor();
    expect(await phone.page.getByText(/All notes sent/).count()).toBe(0);
  };
  await phone.opens('/');
  await says(/access was revoked/, /stay on the phone and are still sent/, /Ask the supervisor for a code/);
  await phone.picture('today-revoked');
  expect(await phone.accessibilityFaults()).toEqual([]);
  await phone.goesOutOfRange();
  await phone.isSwitchedOffAndOn();
  await says(/access was revoked/);
  await speaks('es');
  await turnsTo(phone, '/');
  await says(/se le quitó el acceso/, /se quedan en el teléfono/, /Pida un código al encargado/);
  await phone.picture('today-revoked-es');
  await speaks('en');
  // Paired again it is served again, and nothing is said any more.
  await phone.comesIntoRange();
  await phone.opens(await nursery.server.pairingLink('scout'));
  await phone.taps('Use the code and pair again');
  await phone.page.waitForURL((url) => !url.pathname.startsWith('/pair'));
  await phone.opens('/');
  await phone.page.locator('.today .notice').waitFor({ state: 'detached' });
  await until(phone, (now) => now.waiting === 0);
});
