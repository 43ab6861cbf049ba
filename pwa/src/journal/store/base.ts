/**
 * The one IndexedDB database, and the one way into it: `within` runs a piece of work in one transaction with strict
 * durability and settles after `complete`. Browsers drop connections of apps in the background; a dropped one is
 * opened again once and the work repeated, since retrying on the old handle can never succeed.
 */
import { signal } from '@preact/signals-core';
import { openDB, type IDBPDatabase, type IDBPTransaction } from 'idb';
import { allBetween, pageAfter } from './pages';
import { nextTask } from './pause';
import { fromEarlier, type EarlierRow } from './entryState';
import { BASE_NAME, BASE_VERSION, isInProgress, decodeRow, type Meta, type Shape, type Store } from './shape';

export type Base = IDBPDatabase<Shape>;
export type Work<Mode extends 'readonly' | 'readwrite' = 'readwrite'> = IDBPTransaction<Shape, Store[], Mode>;
/** A transaction in which nothing is written; one that writes reads as well. */
export type Reading = Work<'readonly' | 'readwrite'>;
type Change = IDBPTransaction<Shape, Store[], 'versionchange'>;

/**
 * What this tab has to do with others that are of another build. Blocked: an older one keeps the database in its old shape, so
 * that this one cannot start. Outdated: a newer one needs the database, and this one lets go of it.
 */
export const tab = signal<'alone' | 'blocked' | 'outdated'>('alone');

let opening: Promise<Base> | undefined;
/** True once this tab has let go for a newer build. */
let closedForUpgrade = false;
const running = new Set<Promise<unknown>>();

export function base(): Promise<Base> {
  // Nothing in an outdated page waits for an answer any more: the person reloads it. The sync worker, a thread of its own, must learn
  // that it failed, or it would keep other tabs from carrying.
  if (closedForUpgrade && typeof document !== 'undefined') return new Promise(() => undefined);
  if (!opening) {
    const fresh = openDB<Shape>(BASE_NAME, BASE_VERSION, {
      upgrade: build,
      blocked: () => (tab.value = 'blocked'),
      blocking: (_now, to) => void closeForUpgrade(to),
      terminated: () => drop(fresh),
    });
    fresh.then(
      () => (tab.value = tab.value === 'blocked' ? 'alone' : tab.value),
      () => drop(fresh),
    );
    opening = fresh;
  }
  return opening;
}

/**
 * Another tab wants to change the shape of the database, or (to is null) to remove it: an open handle here would stop it.
 * What is being saved is saved first, and the taps that wait behind it.
 */
async function closeForUpgrade(to: number | null): Promise<void> {
  // Reported before anything else, so that the screen takes no more taps.
  if (to !== null) tab.value = 'outdated';
  do {
    await Promise.allSettled(running);
    // The next tap's save begins when the one before it has ended.
    await nextTask();
  } while (running.size > 0);
  closedForUpgrade = to !== null;
  await close();
}

/** Closes the handle; the next use opens another. */
export async function close(): Promise<void> {
  const open = opening;
  opening = undefined;
  if (open) (await open).close();
}

function drop(which: Promise<Base>): void {
  if (opening === which) opening = undefined;
}

/**
 * Runs work in one transaction.
 * @throws DOMException QuotaExceededError when the phone is full, or what the second try threw
 */
export async function within<T, Mode extends 'readonly' | 'readwrite'>(
  mode: Mode,
  of: Store[],
  work: (transaction: Work<Mode>) => Promise<T>,
): Promise<T> {
  const now = twice(mode, of, work);
  running.add(now);
  try {
    return await now;
  } finally {
    running.delete(now);
  }
}

async function twice<T, Mode extends 'readonly' | 'readwrite'>(
  mode: Mode,
  of: Store[],
  work: (transaction: Work<Mode>) => Promise<T>,
): Promise<T> {
  try {
    return await attempt(mode, of, work);
  } catch (error) {
    if (error instanceof ScriptNeeded) {
      await error.fetch();
      return within(mode, of, work);
    }
    if (!isLostConnection(error)) throw error;
    opening = undefined;
    return attempt(mode, of, work);
  }
}

async function attempt<T, Mode extends 'readonly' | 'readwrite'>(
  mode: Mode,
  of: Store[],
  work: (transaction: Work<Mode>) => Promise<T>,
): Promise<T> {
  const open = await base();
  const transaction = open.transaction(withPacks(of), mode, { durability: 'strict' });
  // Without a listener of its own a failed transaction would count as an uncaught error.
  transaction.done.catch(() => undefined);
  try {
    const result = await work(transaction);
    if (mode === 'readwrite') end(transaction);
    await transaction.done;
    return result;
  } catch (error) {
    try {
      transaction.abort();
    } catch {
      // Already over: it aborted by itself, and its reason is in transaction.error.
    }
    throw transaction.error ?? error;
  }
}

/** Entries and their records lie in rows and in packs: who reads the ones may need the others. */
function withPacks(of: readonly Store[]): Store[] {
  return of.includes('entries') || of.includes('records') ? [...of, 'packs', 'packed'] : [...of];
}

/** Commits now. By itself a transaction ends only when the last answer was heard: one more turn of a busy thread. */
function end(transaction: { commit: () => void }): void {
  try {
    transaction.commit();
  } catch {
    // Over by itself, or aborted by the work: done says what became of it.
  }
}

/** For what nobody waits for: a write, of which its transaction hears when it fails, or a page that was asked for too early. */
export function unheard(answer: Promise<unknown>): void {
  answer.catch(() => undefined);
}

/** Thrown in a transaction by work that needs a script first: a transaction does not wait for one. */
export class ScriptNeeded extends Error {
  readonly fetch: () => Promise<unknown>;

  constructor(fetch: () => Promise<unknown>) {
    super('a script is needed first');
    this.fetch = fetch;
  }
}

/** True for what browsers throw when there is no room. */
export function isFull(error: unknown): boolean {
  return error instanceof DOMException && error.name === 'QuotaExceededError';
}

/** True for what browsers throw when the database went away under an open handle. */
export function isLostConnection(error: unknown): boolean {
  return error instanceof DOMException && (error.name === 'InvalidStateError' || error.name === 'UnknownError');
}

async function build(open: Base, from: number, _to: unknown, change: Change): Promise<void> {
  if (from < 1) buildFirst(open);
  if (from < 3) await markInProgress(change, from);
  if (from === 1 || from === 2) await nameStates(change);
  if (from < 4) await orderMissing(change, from);
  // The notes of a lot are found together, to be let go.
  if (from < 5) change.objectStore('entries').createIndex('lot', 'entry.lot');
  if (!open.objectStoreNames.contains('packs')) buildPacks(open);
}

function buildPacks(open: Base): void {
  const packs = open.createObjectStore('packs', { keyPath: 'name' });
  packs.createIndex('walks', 'walks', { multiEntry: true });
  packs.createIndex('lots', 'lots', { multiEntry: true });
  open.createObjectStore('packed');
}

/** Finds the walks that are not over; those of the version before have to be marked once. */
async function markInProgress(change: Change, from: number): Promise<void> {
  const records = change.objectStore('records');
  if (from === 2) records.deleteIndex('going' as 'inProgress');
  records.createIndex('inProgress', 'inProgress');
  if (from < 1) return;
  const walks = await allBetween(records, 'walk:', 'walk:\uffff', (row) => row.key);
  for (const row of walks) {
    const walk = decodeRow(row)?.record;
    if (walk && isInProgress(walk)) unheard(records.put({ ...row, inProgress: 1 }));
  }
}

/** Before build 3 eight fields said what had become of an entry. */
async function nameStates(change: Change): Promise<void> {
  const [entries, meta] = [change.objectStore('entries'), change.objectStore('meta')];
  entries.deleteIndex('parked' as 'state');
  const [inDoubt, digest] = (await Promise.all(['doubt', 'told'].map((key) => meta.get(key)))) as unknown as [
    { handed: string[] } | undefined,
    Meta['digest'] | undefined,
  ];
  if (digest) unheard(meta.put(digest, 'digest'));
  if (inDoubt) unheard(meta.put({ returned: inDoubt.handed }, 'unconfirmed'));
  for (const key of ['doubt', 'told']) unheard(meta.delete(key));
  for (let after: string | undefined = ''; after !== undefined;) {
    const page = (await pageAfter(entries, after)) as EarlierRow[];
    for (const row of page) {
      const named = fromEarlier(row, inDoubt !== undefined);
      if (named.state !== row.state || row.parked || row.handed) unheard(entries.put(named));
    }
    after = page[page.length - 1]?.id;
  }
}

/** Build 3 kept in one list since when others' notes are missing. They are looked for again, and waited for as long again. */
async function orderMissing(change: Change, from: number): Promise<void> {
  change.objectStore('entries').createIndex('missing', 'missing');
  if (from < 1) return;
  const meta = change.objectStore('meta');
  const unconfirmed = (await meta.get('unconfirmed')) as Meta['unconfirmed'] | undefined;
  if (unconfirmed) unheard(meta.put({ returned: unconfirmed.returned, scan: { after: '' } }, 'unconfirmed'));
}

function buildFirst(open: Base): void {
  const entries = open.createObjectStore('entries', { keyPath: 'id' });
  entries.createIndex('keys', 'keys', { multiEntry: true });
  entries.createIndex('pending', 'pending');
  entries.createIndex('own', 'own');
  entries.createIndex('state', 'state');
  const records = open.createObjectStore('records', { keyPath: 'key' });
  records.createIndex('walk', 'walk');
  records.createIndex('fact', 'fact');
  records.createIndex('factBed', 'factBed');
  records.createIndex('factLot', 'factLot');
  open.createObjectStore('meta');
  open.createObjectStore('drafts', { keyPath: 'walk' });
  open.createObjectStore('briefs', { keyPath: 'bed' });
}
