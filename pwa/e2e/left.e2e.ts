/** A walk that was begun and never ended: from two weeks on it is shown as that, with its pots, and can only be ended. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { BedView, Note } from '../../schema/types.ts';
import { Caller } from './caller.ts';
import type { Device, Nursery } from './harness.ts';
import { BED_1, openSmallNursery } from './small.ts';
import { turnsTo } from './states.ts';
import {
  DAY_MS,
  hasEverything,
  kept,
  later,
  notesPot,
  opensBed,
  ownNotes,
  seesBeds,
  startsWalk,
  until,
  walkOf,
} from './walking.ts';

let nursery: Nursery;
let phone: Device;
let walk: string;

/** A phone with a walk of two pots, sent, and a third that is half noted: a head of 29. */
async function leavesAWalk(): Promise<void> {
  nursery = await openSmallNursery();
  phone = await nursery.phone('scout');
  await seesBeds(phone);
  await phone.isReadyForTheField();
  await opensBed(phone, 'Heron, H1');
  await startsWalk(phone);
  for (const buds of ['42', '43']) await notesPot(phone, { head: '31', buds });
  await answersAHead();
  await hasEverything(phone);
  // Out of range, since the server would set the phone's clock right.
  await phone.goesOutOfRange();
  walk = walkOf(phone);
}

async function answersAHead(): Promise<void> {
  for (const digit of ['2', '9']) await phone.page.getByRole('button', { name: digit, exact: true }).first().tap();
  await until(phone, (now) => now.drafts === 1);
}

describe('looked at and ended', () => {
  beforeAll(leavesAWalk);
  afterAll(() => nursery.close());

  test('three weeks later it is shown as that in Spanish too', async () => {
    await phone.page.evaluate(() => localStorage.setItem('bedwalk-settings', '{"language":"es"}'));
    await phone.page.context().addInitScript(later, 21 * DAY_MS);
    await phone.opens('/');
    await phone.sees(/^Heron, H1: abierto desde el .*, 2 macetas anotadas\./);
    await phone.picture('walk-left-open-es');
    await phone.taps('Revisar y cerrar');
    await phone.sees(/^Una maceta quedó a medio llenar: /);
    await phone.picture('walk-left-open-end-es');
    await phone.page.evaluate(() => localStorage.setItem('bedwalk-settings', '{"language":"en"}'));
  });

  test('three weeks later it is shown with its pots, is ended and not continued, and what was half noted is kept as a comment', async () => {
    await phone.opens('/');
    await phone.sees(/^Heron, H1: open since .*, 2 pots noted\. The walk is too old to continue/);
    expect(await phone.page.getByRole('button', { name: 'Continue the walk' }).count()).toBe(0);
    expect(await phone.accessibilityFaults()).toEqual([]);
    await phone.picture('walk-left-open');
    // Neither by its own address, nor by way of its bed.
    await turnsTo(phone, `/walk/${walk}`);
    await phone.page.getByRole('heading', { name: 'End of the walk' }).waitFor();
    expect(new URL(phone.page.url()).pathname).toBe(`/walk/${walk}/end`);
    await turnsTo(phone, `/bed/${BED_1}`);
    await phone.page.getByRole('button', { name: 'Start walk' }).waitFor();

    await turnsTo(phone, '/');
    await phone.taps('Check and close it');
    await phone.sees(/^Started .* and never ended\./);
    await phone.sees(/^One pot is half filled in: head: 29\./);
    expect(await phone.page.getByRole('button', { name: /^Check more pots/ }).count()).toBe(0);
    await phone.picture('walk-left-open-end');
    await phone.taps('Keep as a comment');
    await phone.page.locator('.end .open').waitFor({ state: 'detached' });
    await phone.taps('End the walk');
    await seesBeds(phone);
    expect(await phone.page.getByText(/: open since/).count()).toBe(0);
    expect((await kept(phone)).drafts).toBe(0);
    const notes = await ownNotes(phone);
    expect(notes.map(({ kind }) => kind)).toEqual(['walk', 'observation', 'observation', 'note', 'walk_end']);
    expect((notes[3]?.body as Note | undefined)?.words).toMatch(
      /^Half filled in on the walk of .*, row \d+, .*: head: 29$/,
    );

    await phone.comesIntoRange();
    await until(phone, (now) => now.waiting === 0);
    const office = await Caller.pairs(nursery, 'supervisor');
    expect((await office.view<BedView>(`beds/${BED_1}`)).pots).toHaveLength(2);
  });
});

describe('of which a pot is corrected', () => {
  beforeAll(leavesAWalk);
  afterAll(() => nursery.close());

  test('a pot that is corrected from the end of a walk does not push out the one that is half noted', async () => {
    await phone.taps('More');
    await phone.taps('End the walk');
    await phone.page.locator('.pots [aria-expanded]').first().tap();
    await phone.taps('Correct');
    await phone.sees('Correcting pot 2');
    for (const digit of ['3', '3']) await phone.page.getByRole('button', { name: digit, exact: true }).first().tap();
    await phone.taps('Apply');
    await phone.sees(/^pot 4 of/);
    const notes = await ownNotes(phone);
    expect(notes.slice(3).map(({ kind }) => kind)).toEqual(['observation', 'correction']);
  });

  test('a pot of it can still be corrected; after that it is ended, and no next pot is asked for', async () => {
    await answersAHead();
    await phone.page.context().addInitScript(later, 21 * DAY_MS);
    await phone.opens(`/walk/${walk}/end`);
    await phone.page.locator('.pots [aria-expanded]').first().tap();
    await phone.taps('Correct');
    await phone.sees('Correcting pot 3');
    for (const digit of ['3', '3']) await phone.page.getByRole('button', { name: digit, exact: true }).first().tap();
    await phone.taps('Apply');
    await phone.page.getByRole('heading', { name: 'End of the walk' }).waitFor();
    const notes = await ownNotes(phone);
    expect(notes.slice(5).map(({ kind }) => kind)).toEqual(['note', 'correction']);
  });
});
