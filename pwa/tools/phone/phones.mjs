/**
 * The simulator's phones: commands come as lines of JSON on the standard input, each gets one line back, and the answer says how the
 * phone stands when it has come to rest. The commands are those of sim.Command in sync/sim/app.go.
 */
import { createInterface } from 'node:readline';
import { bundle } from './bundle.mjs';
import { names } from './globals.mjs';
import { Phone } from './phone.mjs';
import { run } from './tasks.mjs';

/**
 * @typedef {object} Command
 * @property {string} do
 * @property {string} phone
 * @property {string} [to] whose disk is copied to
 * @property {number} [at] @property {number} [wall] @property {number} [mono] @property {number} [seed]
 * @property {number} [kill] the app dies after so many tasks
 * @property {never[]} [notes] @property {string} [reason] @property {string} [code]
 * @property {number} [ask] @property {import('./phone.mjs').Answer} [answer]
 * @property {boolean} [full] @property {boolean} [older] the app that starts is a version behind
 * @property {string} [house] @property {boolean} [shut] the house is closed again
 */

let make = await bundle('', false, names);
/** Reads packs for the checkers, who believe no phone: by modules without a fault. */
const reader = new Phone();
reader.start(make);
const unpack = /** @type {NonNullable<typeof reader.app>} */ (reader.app).unpacked;
/** The same of an app that is a version behind, from when the first phone has one. */
let makeOlder = /** @type {typeof make | undefined} */ (undefined);
let fault = '';
/** @type {Map<string, Phone>} */
let phones = new Map();
/** @type {string[]} */
let wrong = [];
process.on('unhandledRejection', (error) => wrong.push(String(error instanceof Error ? error.stack : error)));

/** @param {string} name */
function phone(name) {
  const known = phones.get(name) ?? new Phone();
  phones.set(name, known);
  return known;
}

/**
 * @param {Command} command
 * @returns {Promise<object>}
 */
async function obey(command) {
  const one = phone(command.phone);
  const { at = one.at, wall = one.wall, mono = one.mono, kill = 0 } = command;
  Object.assign(one, { at, wall, mono });
  switch (command.do) {
    case 'day':
      phones = new Map();
      return {};
    case 'plant':
      fault = command.reason ?? '';
      make = await bundle(fault, false, names);
      makeOlder = undefined;
      return {};
    case 'start':
      one.seed = command.seed ?? 0;
      if (command.older) makeOlder ??= await bundle(fault, true, names);
      one.start(command.older && makeOlder ? makeOlder : make);
      return stands(one, await one.does((app) => app.start(), kill));
    case 'end':
      one.end();
      return {};
    case 'save':
      return stands(one, await one.does((app) => app.save(command.notes ?? []), kill));
    case 'wake':
      return stands(one, await one.does((app) => app.woken(/** @type {never} */ (command.reason)), kill));
    case 'pair':
      return stands(one, await one.does((app) => app.pair(command.code ?? ''), kill));
    case 'house':
      return stands(one, await one.does((app) => app.house(command.house ?? '', command.shut !== true), kill));
    case 'time':
      return stands(one, await one.does(() => one.ring(), kill));
    case 'answer':
      return stands(one, await one.does(() => one.answer(command.ask ?? 0, command.answer), kill));
    case 'full':
      one.disk.fill(command.full === true);
      return {};
    case 'copy': {
      const made = one.disk.copy();
      await run();
      phone(command.to ?? '').disk = await made;
      return {};
    }
    case 'read':
      return { entries: one.disk.changes('entries', unpack), records: one.disk.changes('records', unpack) };
    default:
      throw new Error(`no command is called ${command.do}`);
  }
}

/**
 * @param {Phone} one
 * @param {{died: boolean, said: boolean, gave: unknown}} done
 */
function stands(one, { died, said, gave }) {
  const asks = one.asks;
  one.asks = [];
  const next = one.next();
  const carried = /** @type {{own: string[], opened: string[]} | undefined} */ (one.disk.meta('carried'));
  return {
    asks,
    died,
    said,
    gave,
    next: Number.isFinite(next) ? next : 0,
    open: one.open,
    ...one.app?.state(),
    pending: one.disk.count('queued'),
    parked: one.disk.count('parked'),
    writer: one.disk.meta('writer'),
    cursor: one.disk.meta('cursor'),
    doubt: one.disk.meta('unconfirmed') !== undefined,
    first: /** @type {{first?: string} | undefined} */ (one.disk.meta('cursor'))?.first !== undefined,
    sums: one.disk.meta('sums'),
    houses: [...(carried?.own ?? []), ...(carried?.opened ?? [])],
    gone: Object.fromEntries(/** @type {Map<string, object> | undefined} */ (one.disk.meta('gone')) ?? []),
    digest: one.disk.meta('digest'),
  };
}

process.stdout.write('{"ready":true}\n');
for await (const line of createInterface({ input: process.stdin })) {
  /** @type {object} */
  let answer;
  wrong = [];
  try {
    answer = await obey(JSON.parse(line));
  } catch (error) {
    wrong.push(String(error instanceof Error ? error.stack : error));
    answer = {};
  }
  process.stdout.write(`${JSON.stringify(wrong.length > 0 ? { ...answer, wrong } : answer)}\n`);
}
