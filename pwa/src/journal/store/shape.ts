/**
 * What the phone keeps, store by store. The shape is frozen: a later build may add stores and indexes under a higher
 * number, and never drops or renames one, since a store may hold the only copy of somebody's notes.
 */
import type { DBSchema } from 'idb';
import type { EntryState } from './entryState';
import type { PackBody } from './packs/columns';
import type {
  Entry,
  EntryBody,
  Fault,
  Kind,
  LotSummary as SummaryOfLot,
  Me,
  Observation,
  Record as Folded,
  Stamp,
} from '../../../../schema/types';

export const BASE_NAME = 'bedwalk';
/** Raised with foldVersion too: a tab of an older build, which keeps later kinds unread, has to let go of the database. */
export const BASE_VERSION = 9;

/** One entry, own or pulled. Acknowledged entries stay: after a restored backup the phone is what the server lost. */
export interface EntryRow {
  id: string;
  entry: Entry;
  stamp: Stamp;
  /** Place in the server's journal, 0 while the server has not given one. */
  position: number;
  /**
   * Only on what was pulled: the position at which the server gave it, and the server's receipt for that. An earlier build kept
   * none: what such a row has is handed back without, and waits for a supervisor.
   */
  receipt?: [number, string];
  /** Record keys that the entry has a part in. */
  keys: string[];
  /** Only for entries written here: the canonical bytes as they are sent, and the chain hash after them. */
  text?: string;
  chain?: string;
  /** Only for entries written here: device, incarnation, sequence. */
  own?: [string, number, number];
  /** What has become of it, where that is not merged; set by entryState.ts alone, with the two fields below. */
  state?: Exclude<EntryState, 'merged'>;
  /** Only while queued: incarnation and sequence, the order of sending. */
  pending?: [number, number];
  /** Why the server did not merge it. */
  faults?: Fault[];
  /** Only on another's that is unconfirmed: since when it is missing (server's clock, ms) and where it stood, the order of giving back. */
  missing?: [number, number];
}

/** What is known of a pack without reading its notes. Like its body it never changes: another head takes its place. */
export interface PackHead {
  /** That of the body and random digits, so that it names the same notes for ever. */
  name: string;
  body: string;
  /** Those of the notes that are in. */
  walks: string[];
  lots: string[];
  /** The sums of the notes that are in, by lot. */
  sums: Map<string, LotSum>;
  /** The first 32 bits of each note's id. */
  ids: Uint32Array;
  /** How many notes are in, and the lowest and highest of their positions. */
  count: number;
  first: number;
  last: number;
  /** The places of those that are out: rows of their own, or let go. */
  out: number[];
  /** Set while the journal is read again, until it has shown these notes: of such a pack all are in the state of this name. */
  unconfirmed?: true;
}

/** A record folded from its entries, with what it is looked up by. */
export interface RecordRow {
  key: string;
  /** The key's prefix, or a fact's own kind. */
  kind: string;
  bed?: string;
  record: Folded;
  /** The record's part in the hash over all records. */
  hash?: string;
  /** Looked up by: the walk of a pot or skip; a fact's kind, alone and with its bed or lot. */
  walk?: string;
  fact?: string;
  factBed?: [string, string];
  factLot?: [string, string];
  /** Only on a walk that is not over: of a season's walks a start needs no others. */
  inProgress?: 1;
}

/** What a record that cannot be folded from its entries is looked up by, in place of a fact's kind. */
export const DAMAGED = 'damaged';

/**
 * A record row as it lies in the database: the record as its canonical text. A browser that is handed an object copies
 * it twice to find its keys, part by part, which took most of the first pull.
 */
export type KeptRow = Omit<RecordRow, 'record'> & { text: string };

/** The row with its record; one kept by the first build has the record itself. Undefined where the text is damaged. */
export function decodeRow({ text, ...row }: KeptRow | (RecordRow & { text?: undefined })): RecordRow | undefined {
  if ('record' in row) return row;
  try {
    const record = JSON.parse(text ?? '') as Folded | null;
    return record?.key === row.key ? { ...row, record } : undefined;
  } catch {
    return undefined;
  }
}

/** True for a walk that is not over, as far as this phone knows. */
export function isInProgress({ walk }: Folded): boolean {
  return walk?.open !== undefined && walk.end === undefined && walk.voided === undefined;
}

/** Who writes here, and where its sequence and chain stand. Read and moved only inside the transaction of a save. */
export interface Writer {
  device: string;
  inc: number;
  person: string;
  seq: number;
  chain: string;
  /** The newest server time seen, ms since 1970. */
  floor: number;
  /** Devices that this phone was before it was paired again. */
  earlier?: string[];
}

export interface Cursor {
  epoch: string;
  position: number;
  /** The hash and the receipt of the entry at this position: the server's own proof that its journal once reached so far. */
  proof?: string;
  head: number;
  backedUpTo: number;
  /** True once everything up to some head was read. Absent in what an earlier build kept. */
  whole?: boolean;
  /** Server time when this device began to read, ms since 1970. Absent in what an earlier build kept. */
  began?: number;
  /**
   * While the first pull leaves out the notes of closed lots: what names that pull to the server. It stays until what was left out has
   * been counted in.
   */
  first?: string;
}

/** True once a device has read all records. A cursor of an earlier build does not say: at the head it has. */
export function isRead(cursor: Cursor | undefined): boolean {
  return cursor !== undefined && (cursor.whole ?? cursor.position >= cursor.head);
}

export interface LotSum {
  count: number;
  sum: string;
}

/** Of a lot's notes those that have passed this phone and are not kept here: they stay in the lot's sum. */
export interface Gone extends LotSum {
  /** The sum of the hashes of the records that were made of them. */
  records: string;
  /** The highest position of a note that has a part in these sums. */
  last: number;
}

/** Named at random each time that something was lost. */
export interface PartialWalks {
  name: string;
  walks: ReadonlySet<string> | 'all';
  /** The last own note then. Of a walk that was begun here after it nothing was lost. Absent in what an earlier build kept. */
  own?: [device: string, inc: number, seq: number];
  /** Set where the whole journal has been read again from its beginning since. */
  isReread?: true;
}

/** The houses of which this phone has the notes. */
export interface Carried {
  /** Given by the supervisor; never empty. */
  own: readonly string[];
  /** Opened on this phone besides, until they are closed or the supervisor gives others. */
  opened: readonly string[];
}

export function housesIn(carried: Carried | undefined): string[] {
  return carried ? [...carried.own, ...carried.opened] : [];
}

/** What a person can see of a lot whose notes are not here: the server's word at a time (ms since 1970). Nothing is computed from it. */
export interface LotSummary extends SummaryOfLot {
  asOf: number;
}

/** A pot card that is being filled in: every tap is kept here until "next pot" makes one entry of it. */
export interface Draft {
  walk: string;
  bed: string;
  /** The id that the entry will have, so that a repeated save cannot note a pot twice. */
  id: string;
  /** Set when an earlier pot is being corrected. */
  pot?: string;
  replaces?: string;
  /** The trait whose question is on the screen. */
  trait: string;
  now: Observation;
  /** The states before each tap, oldest first, for Undo. */
  before: Observation[];
  /** Digits typed that make no number that can be, as 9999 buds: shown, and not taken. */
  typed?: string;
}

/** A note before it is saved. Its id is fixed, so saving it again after a failure cannot note a thing twice. */
export interface Intent<K extends Kind = Kind> {
  id: string;
  kind: K;
  body: EntryBody[K];
  lot?: string;
  bed?: string;
  /** The device's clocks at the tap, for a note that could not be saved then. */
  tap?: Tap;
}

/** When something was tapped, in ms by the device's two clocks. */
export type Tap = Pick<Entry, 'wall' | 'session' | 'mono'>;

/** What Today says about a bed, kept so that a start does not score every bed. */
export interface Brief {
  bed: string;
  walk: string;
  lastWalkAt: number;
  uniformity: number;
  low: number;
  high: number;
  known: boolean;
  few: boolean;
  seen: number;
  limitingTrait: string;
  /**
   * Set where the walk was left before it had seen what it asked for: about how many pots in all that was, 0 where no number stands for it.
   * Null where it had; absent in what an earlier build kept.
   */
  unfinished?: { about: number } | null;
  /** A walk newer than `walk` that was not ended. */
  inProgress?: { walk: string; at: number; seen: number; planned: number };
  /** When the newest walk began, of which there need be no pot yet. Absent in what an earlier build kept. */
  newestAt?: number;
  /** True once the newest walk was over when this was computed. */
  ended?: boolean;
  /** What says when the bed is due; null while none of its walks was whole. Not so in what an earlier build kept. */
  whole?: WholeWalk | null;
}

/** A bed's newest whole walk, with the verdicts of the sequential tests. */
export interface WholeWalk {
  at: number;
  chlorosis: string;
  roots: string;
}

export interface KnownMe extends Me {
  /** By this device's clock, when the server said its own time; ms since 1970. Absent in what an earlier build kept. */
  heard?: number;
}

/** What is still to be done of recoveries that go page by page: "after" is where the last page ended. */
export interface Recovery {
  requeue?: Requeue[];
  rewind?: Rewind;
  reread?: { after: string };
  /** On the way through what an older build kept unread, by the foldVersion that reads it. */
  unread?: { fold: number; after: string };
}

/** Own notes to be sent again: those after an incarnation and sequence; of one incarnation, or only what is not merged, where it says so. */
export interface Requeue {
  device: string;
  after: readonly number[];
  inc?: number;
  apart?: boolean;
}

/** On the way back to where the server's journal parts from the one that was read. */
export interface Rewind {
  epoch: string;
  forkedAt: number;
  /** The cursor's next position; the sums of the lots up to it so far, and the proof of the entry at it. */
  position: number;
  sums: Record<string, LotSum>;
  proof?: string | undefined;
  after: string;
}

export interface Meta {
  writer: Writer;
  cursor: Cursor;
  me: KnownMe;
  sums: Record<string, LotSum>;
  /** When a batch last arrived, and the highest place in the journal that it was given. */
  sent: { at: number; position: number };
  /** The sum of all records' hashes. */
  recordSum: string;
  /** Older: the server makes records of kinds of which this build makes none, so that they were not compared. */
  digest: { equal: boolean; position: number; at: number; older?: true };
  /** The foldVersion by which the entries have their keys; absent in what the first release kept, which is 0. */
  fold: number;
  /**
   * Only while the server may have lost something: at the head it is looked for what no pull has shown. Scan is how far that looking
   * has come, and when it began by the server's clock (ms); returned is what was given back at the last head.
   */
  unconfirmed: { scan?: { after: string; since?: number }; returned: string[] };
  /** Only while a recovery is under way. */
  recovery: Recovery;
  persisted: { granted: boolean };
  /** Walks of which a lost pack had pots, until all notes are here again; all of them where nobody can say which. */
  partial: PartialWalks;
  /** By lot. Absent where nothing was let go. */
  gone: Map<string, Gone>;
  /**
   * Records whose first note was let go and of which a later note has come: the position of the first such note. What it changes is
   * asked of the server; until then the sum of all records is not known.
   */
  owed: Map<string, number>;
  /** How many notes lots had of which some were let go, before the journal was read again; since when, by the server's clock in ms. */
  counted: { since: number; lots: Map<string, number> };
  /** Lots that stay on this phone whatever becomes of them, each until when by the server's clock in ms; Infinity: until unpinned. */
  kept: Map<string, number>;
  /** Absent on a phone that keeps the notes of every house. */
  carried: Carried;
  /** Under "summary:" and the lot. */
  summary: LotSummary;
  /** A form half filled, under "form:" and its name and place. */
  form: { filled: Readonly<Record<string, string>> };
}

export interface Shape extends DBSchema {
  entries: {
    key: string;
    value: EntryRow;
    indexes: {
      keys: string;
      pending: [number, number];
      own: [string, number, number];
      state: string;
      missing: [number, number];
      lot: string;
    };
  };
  records: {
    key: string;
    value: KeptRow;
    indexes: { walk: string; fact: string; factBed: [string, string]; factLot: [string, string]; inProgress: number };
  };
  meta: { key: string; value: Meta[keyof Meta] };
  drafts: { key: string; value: Draft };
  briefs: { key: string; value: Brief };
  packs: { key: string; value: PackHead; indexes: { walks: string; lots: string } };
  packed: { key: string; value: PackBody };
}

export const stores = ['entries', 'records', 'meta', 'drafts', 'briefs', 'packs', 'packed'] as const;
export type Store = (typeof stores)[number];
