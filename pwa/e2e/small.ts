/**
 * A nursery of two beds, for tests that are about one phone and not about a season: its records are on a phone in a
 * moment. They are written over the wire, as the owner's computer would.
 */
import type { Entry, EntryBody, Given, Kind, Me, Observation, PushAnswer } from '../../schema/types.ts';
import { canonical } from '../../sync/journal/journal.ts';
import { Caller } from './caller.ts';
import { openNursery, type Nursery } from './harness.ts';
import { Server, type Role } from './server.ts';

/** An id of one digit, or of two in turn. */
const id = (digits: string) => digits.repeat(32 / digits.length);
export const HOUSE = id('a');
export const BED_1 = id('b');
export const BED_2 = id('c');
export const LOT_1 = id('d');
const LOT_2 = id('e');
export const SPAN_1 = id('f');
const SPAN_2 = id('1');

const records: readonly Line[] = [
  ['site', { of: id('9'), name: 'Quillfen' }],
  ['house', { of: HOUSE, name: 'Heron', length_mm: 40_000, width_mm: 12_000, order: 1 }],
  ['bed', bed(BED_1, 'H1', 1)],
  ['bed', bed(BED_2, 'H2', 2)],
  ['lot', { of: LOT_1, tag: 'AZ-101', crop: 'azalea', cultivar: 'Ember Lace', pot_mm: 150 }],
  ['lot', { of: LOT_2, tag: 'AZ-102', crop: 'azalea', cultivar: 'Dusk Ferry', pot_mm: 150 }],
  ['span', { of: SPAN_1, lot: LOT_1, bed: BED_1, from_row: 1, to_row: 60 }, { lot: LOT_1, bed: BED_1 }],
  ['span', { of: SPAN_2, lot: LOT_2, bed: BED_2, from_row: 1, to_row: 60 }, { lot: LOT_2, bed: BED_2 }],
  ['count', { lot: LOT_1, span: SPAN_1, change: 600, reason: 'potted' }, { lot: LOT_1 }],
  ['count', { lot: LOT_2, span: SPAN_2, change: 600, reason: 'potted' }, { lot: LOT_2 }],
];

/** A bed of the same house with a lot of its own, by a digit that no other record's id is made of: 3 to 8. */
export function oneMoreBed(digit: string): Line[] {
  const [of, lot, span] = [id(`${digit}b`), id(`${digit}d`), id(`${digit}f`)];
  return [
    ['bed', bed(of, `H${digit}`, Number(digit))],
    ['lot', { of: lot, tag: `AZ-10${digit}`, crop: 'azalea', cultivar: 'Dusk Ferry', pot_mm: 150 }],
    ['span', { of: span, lot, bed: of, from_row: 1, to_row: 60 }, { lot, bed: of }],
    ['count', { lot, span, change: 600, reason: 'potted' }, { lot }],
  ];
}

/** @param more what is written besides, as by a season that the test does not tell */
export async function openSmallNursery(more: readonly Line[] = []): Promise<Nursery> {
  const nursery = await openNursery();
  await write(nursery.server, [...records, ...more]);
  return nursery;
}

/** A walk of the first bed that saw these pots. */
export function walkOfFirstBed(pots: readonly Partial<Observation>[]): Line[] {
  const where = { bed: BED_1 };
  const walk = id('2');
  return [
    ['walk', { walk, ...where, seed: 7, planned: pots.length }, where],
    ...pots.map((pot, i): Line => {
      const place = { row: 1 + 5 * i, across: 1 + (i % 10) };
      return ['observation', { walk, ...where, lot: LOT_1, place, planned: true, ...pot }, { ...where, lot: LOT_1 }];
    }),
    ['walk_end', { walk, ...where, why: 'planned' }, where],
  ];
}

/** The same nursery's server alone, for a browser that the caller brings. */
export async function startSmallServer(): Promise<Server> {
  const server = await Server.start({ demo: false });
  try {
    await write(server, records);
    return server;
  } catch (error) {
    await server.close();
    throw error;
  }
}

function bed(of: string, name: string, order: number): EntryBody['bed'] {
  const size = { length_mm: 20_000, width_mm: 1_500, rows: 60, across: 10 };
  return { of, house: HOUSE, name, ...size, entry_end: 'door', far_end: 'fan', aisles: 'both', order };
}

export type Line = [Kind, EntryBody[Kind], { lot?: string; bed?: string }?];

async function write(server: Server, lines: readonly Line[]): Promise<void> {
  const held = (await push(server, 'owner', lines)).filter(({ state }) => state !== 'merged');
  if (held.length > 0) throw new Error(`the small nursery was not taken whole: ${JSON.stringify(held)}`);
}

/** Sends notes as the first of a new device of that role. @returns what the server said of each */
export async function push(server: Server, role: Role, lines: readonly Line[]): Promise<Given[]> {
  const caller = await Caller.pairs({ server }, role);
  const { me } = caller;
  const entries = lines.map(([kind, body, where], index) => entryOf(me, index + 1, kind, body, where));
  const batch = { v: 1, device: me.device, inc: me.inc, epoch: me.epoch, from: 1, chain: '', ...clock(), pending: 0 };
  const head = JSON.stringify(batch);
  const body = `${head.slice(0, -1)},"entries":[${entries.map(canonical).join(',')}]}`;
  return (await caller.posts<PushAnswer>('/api/push', body)).given;
}

const SESSION = 'small000';

function clock() {
  return { session: SESSION, sent_wall: Date.now(), sent_mono: 1000 };
}

function entryOf(me: Me, seq: number, kind: Kind, body: EntryBody[Kind], where: Line[2] = {}): Entry {
  const of = (body as { of?: string }).of ?? '';
  const place = kind === 'bed' ? { bed: of } : kind === 'lot' ? { lot: of } : where;
  return {
    id: `${me.device}${seq.toString(16).padStart(16, '0')}`,
    device: me.device,
    inc: me.inc,
    seq,
    v: 1,
    kind,
    person: me.person,
    ...place,
    wall: Date.now(),
    session: SESSION,
    mono: seq,
    floor: me.server_now,
    body,
  };
}
