/** A scout's walk out of range in the engines that are not Chromium: what it leaves on the phone, and at the server. */
import { existsSync } from 'node:fs';
import { expect, test } from 'vitest';
import type { Me } from '../../../schema/types.ts';
import type { Server } from '../server.ts';
import { startSmallServer } from '../small.ts';
import { eightPots, keptHere, type Kept, type PotSeen } from '../walking.ts';
import { sees, taps, waitsUntil, type Engine, type Make } from './engine.ts';
import { firefox } from './firefox.ts';
import { webkit } from './webkit.ts';

const mustRun = process.env['CI'] === 'true' && process.env['ENGINES'] === '1';

for (const make of [firefox, webkit]) {
  const missing = make.needs.filter((program) => !existsSync(program));
  if (missing.length > 0) {
    process.stderr.write(`\nNOT SHOWN in ${make.name}: ${missing.join(', ')} is missing; ${make.remedy}\n\n`);
  }
  // Left out where the browser is not installed, unless it must be.
  const run = missing.length > 0 && !mustRun ? test.skip : test;
  run(`${make.name}: eight pots noted out of range outlast the app's end and reach the server by themselves`, () =>
    walksOutOfRange(make, missing),
  );
}

const units = { length: 'cm', temperature: 'C', volume: 'l' };

async function walksOutOfRange(make: Make, missing: readonly string[]): Promise<void> {
  if (missing.length > 0) throw new Error(`${missing.join(', ')} is missing; ${make.remedy}`);
  const server = await startSmallServer();
  try {
    const phone = await make.start();
    try {
      await walks(phone, server);
      expect(phone.troubles).toEqual([]);
    } finally {
      await phone.close();
    }
  } finally {
    await server.close();
  }
}

async function walks(phone: Engine, server: Server): Promise<void> {
  await phone.opens(await server.pairingLink('scout'));
  await taps(phone, 'Pair');
  await isReadyForTheField(phone);
  // Heads in centimetres, which is what the walk types: which region an engine says it is in depends on the locales of the machine.
  await phone.asks(
    (settings) => localStorage.setItem('bedwalk-settings', settings),
    JSON.stringify({ language: 'en', units }),
  );

  await server.dies();
  await phone.isSwitchedOffAndOn(`${server.url}/`);
  expect(await phone.asks(() => navigator.serviceWorker.controller !== null, null)).toBe(true);
  await taps(phone, 'Heron, H1');
  await taps(phone, 'Start walk');
  for (const [index, pot] of eightPots.entries()) {
    await notesPot(phone, pot, index + 1);
    // The walk's opening, and one note a pot.
    expect((await phone.asks(keptHere, null)).waiting).toBe(index + 2);
  }

  await phone.isSwitchedOffAndOn(`${server.url}/`);
  await sees(phone, '8 pots noted, not ended');
  await taps(phone, 'Continue the walk');
  await sees(phone, 'pot 9 of about');
  expect((await phone.asks(keptHere, null)).waiting).toBe(eightPots.length + 1);

  await server.comesBack();
  // Nobody touches the phone: it tries again at growing intervals.
  await keeps(phone, 'nothing waiting, and the server agrees', agreed, 180_000);
  expect(await potsAtTheServer(server)).toEqual(
    eightPots.map(({ head, buds }) => `${Number(head) * 10} mm, ${buds} buds`).sort(),
  );
  await phone.opens(`${server.url}/notes`);
  await sees(phone, 'All notes sent.');
}

/** Waits until the phone has every record and every file of the app. */
async function isReadyForTheField(phone: Engine): Promise<void> {
  await waitsUntil(phone, 'the first screen after pairing', () =>
    phone.asks(() => location.pathname === '/' && document.querySelector('.lines a') !== null, null),
  );
  await keeps(phone, 'every record of the nursery', agreed);
  await phone.asks(async () => void (await navigator.serviceWorker.ready), null);
}

function agreed(now: Kept): boolean {
  return now.waiting === 0 && now.position > 0 && now.position === now.head && now.agreedTo === now.position;
}

function keeps(phone: Engine, what: string, wanted: (now: Kept) => boolean, ms?: number): Promise<void> {
  return waitsUntil(phone, what, async () => wanted(await phone.asks(keptHere, null)), ms);
}

async function notesPot(phone: Engine, { head, buds }: PotSeen, number: number): Promise<void> {
  await sees(phone, `pot ${number} of about`);
  for (const digit of head + buds) await taps(phone, digit);
  for (const name of ['Roots ›', '4: 80 %', '4: mostly alive', 'All green · next pot ›']) await taps(phone, name);
  await sees(phone, `pot ${number + 1} of about`);
}

/** What the owner's computer gets as a table, sorted: its times are in whole seconds. Read without any browser. */
async function potsAtTheServer(server: Server): Promise<string[]> {
  const code = (await server.pairingLink('owner')).split('/').at(-1);
  const headers = { 'content-type': 'application/json', origin: server.url };
  const body = JSON.stringify({ code, name: 'Office' });
  const paired = await fetch(`${server.url}/api/pair`, { method: 'POST', headers, body });
  expect(((await paired.json()) as Me).role).toBe('owner');
  const cookie = paired.headers
    .getSetCookie()
    .map((each) => each.split(';')[0])
    .join('; ');
  const table = await (await fetch(`${server.url}/api/out/observations.csv`, { headers: { cookie } })).text();
  const [names = [], ...rows] = table
    .trim()
    .split('\r\n')
    .map((line) => line.split(','));
  const cell = (row: string[], name: string) => row[names.indexOf(name)] ?? '';
  return rows.map((row) => `${cell(row, 'head_a_mm')} mm, ${cell(row, 'buds')} buds`).sort();
}
