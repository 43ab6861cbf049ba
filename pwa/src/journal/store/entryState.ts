/**
 * What becomes of an entry on this phone, state by state, and every step from one to another. Nobody else sets a state, or the
 * fields that go with it: a row is put into the database as one of these functions returns it.
 */
import type { Entry, Fault, Stamp } from '../../../../schema/types';
import type { EntryRow } from './shape';

export const entryStates = [
  'queued', // own: in the outbox, not acknowledged by the server
  'merged', // in the server's journal
  'quarantined', // own: at the server, which keeps it out of the records until somebody decides
  'inReview', // own: at the server, which waits for a supervisor to look at what a revoked device sent
  'rejected', // own: at the server; somebody decided to leave it out for good
  'parked', // own: of a person who is not paired here now; sent when that person pairs this phone again
  'unconfirmed', // was merged; the server may have lost it and has not shown it since
  'returned', // another's: was lost, was given back, and is in quarantine there
] as const;
export type EntryState = (typeof entryStates)[number];

/** What happens to an entry: the state that it leads to, and those from which it can happen. */
const steps = {
  /** The server shows it in its journal, or acknowledges it as merged. */
  merge: { to: 'merged', from: entryStates },
  /** The server acknowledges it without merging it. Of what is in its journal it cannot say so any more. */
  quarantine: { to: 'quarantined', from: ['queued', 'parked', 'quarantined', 'inReview'] },
  review: { to: 'inReview', from: ['queued', 'parked', 'quarantined', 'inReview'] },
  reject: { to: 'rejected', from: ['queued', 'parked', 'quarantined', 'inReview'] },
  /** The server has lost it, or may have: it is sent again as it was. */
  requeue: { to: 'queued', from: ['merged', 'quarantined', 'inReview', 'rejected', 'unconfirmed'] },
  /** It gets another number and chain: after a fork, or under another pairing of this phone. Another's never does. */
  renumber: {
    to: 'queued',
    from: ['queued', 'parked', 'merged', 'quarantined', 'inReview', 'rejected', 'unconfirmed'],
  },
  /** Its writer is not the person who is paired here now. */
  park: { to: 'parked', from: ['queued', 'parked'] },
  /** The server's journal may be another than the one that was read. */
  doubt: { to: 'unconfirmed', from: ['merged'] },
  /** The server took it back from this phone and has not merged it. */
  giveBack: { to: 'returned', from: ['unconfirmed'] },
} as const satisfies Record<string, { to: EntryState; from: readonly EntryState[] }>;
export type Step = keyof typeof steps;
export const stepNames = Object.keys(steps) as Step[];

/** A merged row names no state: nearly all are merged, and each indexed field costs time at every save and pull. */
export function stateOf({ state }: Pick<EntryRow, 'state'>): EntryState {
  return state ?? 'merged';
}

export function can(row: Pick<EntryRow, 'state'>, step: Step): boolean {
  const from: readonly EntryState[] = steps[step].from;
  return from.includes(stateOf(row));
}

/** What an entry's stamp is until the server gives one: it sorts last, by incarnation and sequence. */
export function pendingStamp(entry: Entry): Stamp {
  return { at: entry.wall, quality: 'pending', from: entry.wall, to: entry.wall };
}

/** @throws Error for a step that cannot happen to a row in its state: a fault of this app; nothing is written then */
function after(row: EntryRow, step: Step): EntryRow {
  if (!can(row, step)) throw new Error(`an entry that is ${stateOf(row)} does not ${step}`);
  const { state: _state, pending: _pending, missing: _missing, ...rest } = row;
  const { to } = steps[step];
  return to === 'merged' ? rest : { ...rest, state: to };
}

/** A new entry of this phone, in the outbox. */
export function queued(row: Omit<EntryRow, 'stamp' | 'position' | 'state' | 'pending'>): EntryRow {
  const { entry } = row;
  return { ...row, stamp: pendingStamp(entry), position: 0, state: 'queued', pending: [entry.inc, entry.seq] };
}

/** Position is 0 where the server names none: the next pull shows it. */
export function merge(row: EntryRow, stamp: Stamp, position: number): EntryRow {
  const { faults: _faults, ...rest } = after(row, 'merge');
  return { ...rest, stamp, position };
}

/** As the server says what became of an entry that it has not merged; by the names of the wire. */
export function keepApart(row: EntryRow, said: string, faults: readonly Fault[] | undefined): EntryRow {
  const next = after(row, stepOf(said));
  return { ...next, position: 0, ...(faults && { faults: [...faults] }) };
}

/** The step that a state of the wire stands for; what a newer server may call it is a quarantine. */
export function stepOf(said: string): 'merge' | 'quarantine' | 'review' | 'reject' {
  if (said === 'merged') return 'merge';
  if (said === 'review') return 'review';
  return said === 'left' ? 'reject' : 'quarantine';
}

/** @param row with its entry as it was sent, whatever the server's copy of it says */
export function requeue(row: EntryRow): EntryRow {
  const { faults: _faults, ...rest } = after(row, 'requeue');
  return queued(rest);
}

/** @param fresh the same entry under its new number, with bytes and chain */
export function renumber(row: EntryRow, fresh: EntryRow): EntryRow {
  after(row, 'renumber');
  return fresh;
}

export function park(row: EntryRow): EntryRow {
  return after(row, 'park');
}

export function doubt(row: EntryRow): EntryRow {
  return { ...after(row, 'doubt'), position: 0 };
}

/** Another's that no pull has shown. Where it has no receipt, a supervisor decides about it: such notes go last. */
export function missing(row: EntryRow, since: number): EntryRow {
  return { ...row, missing: [since, row.receipt?.[0] ?? Number.MAX_SAFE_INTEGER] };
}

export function giveBack(row: EntryRow): EntryRow {
  return after(row, 'giveBack');
}

/** True for what the server has acknowledged, whatever it has made of it since. */
export function isSent(row: EntryRow): boolean {
  return !['queued', 'parked'].includes(stateOf(row));
}

/** True for what the server has and keeps out of its records, for now or for good. */
export function isApart(row: EntryRow): boolean {
  return ['quarantined', 'inReview', 'rejected'].includes(stateOf(row));
}

/** False for what the server keeps out of its records for good, or of another's until somebody has decided. */
export function counts(row: EntryRow): boolean {
  return !['rejected', 'returned'].includes(stateOf(row));
}

/** An entry as a build before this one kept it: eight fields said what became of it. */
export type EarlierRow = Omit<EntryRow, 'state'> & {
  state?: EntryState | 'held' | 'review' | 'left';
  parked?: 1;
  handed?: 1;
};

const earlierNames: Readonly<Record<string, EntryState>> = {
  held: 'quarantined',
  review: 'inReview',
  left: 'rejected',
};

/** @param inDoubt whether the server may have lost something when the row was kept */
export function fromEarlier({ parked, handed, state: was, ...rest }: EarlierRow, inDoubt: boolean): EntryRow {
  const named = was && (earlierNames[was] ?? (was as EntryState));
  const lost = inDoubt && rest.position === 0 ? 'unconfirmed' : undefined;
  const state = rest.pending ? 'queued' : parked ? 'parked' : handed ? 'returned' : (named ?? lost);
  return state === undefined || state === 'merged' ? rest : { ...rest, state };
}
