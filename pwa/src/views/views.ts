/**
 * The server's views on this device: shown at once from the last visit, dated, fetched again on every nudge, and still
 * there when the server is not. Views are computed at the server and never written here; they live in a database of
 * their own beside the journal, which may be thrown away at any time.
 */
import { effect, signal, type Signal } from '@preact/signals';
import { openDB, type IDBPDatabase } from 'idb';
import { useEffect } from 'preact/hooks';
import { firstReading } from '../journal/inbox/arriving';
import { LONGEST_PATIENCE_MS } from '../journal/patience';
import { ask, Refusal, type Why } from '../journal/wire';
import type { BedsView } from '../../../schema/types';
import { me, nudge } from '../state';
import { withChanges } from './beds';

export interface Loaded<View> {
  view?: View;
  /** When the server gave it, ms since 1970. */
  at: number;
  /** True when it is this visit's answer, not one kept from before. */
  fresh: boolean;
  /** True when the first answer has been waited for longer than anyone likes to look at nothing. */
  slow: boolean;
  /** The share of this device's records that are here, 0 to 1, while it is reading them for the first time. */
  arriving?: number;
  /** Why there is nothing newer, or nothing at all. */
  trouble?: Refusal;
}

interface Holder {
  loaded: Signal<Loaded<unknown>>;
  running: boolean;
  again: boolean;
}

interface Kept {
  at: number;
  view: unknown;
}

const SLOW_MS = 2_000;
const STORE = 'views';
const holders = new Map<string, Holder>();
let opening: Promise<IDBPDatabase> | undefined;

const NOT_ASKED: Loaded<never> = { at: 0, fresh: false, slow: false };

/**
 * One view, by its path below /api/views/; the component is drawn again whenever the server has something newer. Nothing is asked for
 * without a path, where what is shown does not need the view.
 */
export function useView<View>(path: string | undefined): Loaded<View> {
  const holder = path === undefined ? undefined : hold(path);
  useEffect(() => {
    if (path === undefined) return undefined;
    const fetchAgain = () => void refresh(path);
    const stop = effect(() => {
      // Read for its sake alone: whatever the nudge says, the server has moved on.
      void nudge.value;
      fetchAgain();
    });
    addEventListener('online', fetchAgain);
    return () => {
      stop();
      removeEventListener('online', fetchAgain);
    };
  }, [path]);
  return (holder?.loaded.value ?? NOT_ASKED) as Loaded<View>;
}

/** A view whose age matters little (names of beds): shown as an earlier visit kept it, and fetched once in this one. */
export function useOnce<View>(path: string): View | undefined {
  const holder = hold(path);
  useEffect(() => {
    void showKept(path, holder).then(() => (holder.loaded.peek().fresh ? undefined : refresh(path)));
  }, [path]);
  return holder.loaded.value.view as View | undefined;
}

/** As the server refuses a scout's phone what is the supervisor's. */
const notAllowed = new Refusal('refused', {
  type: '',
  title: 'Forbidden',
  status: 403,
  code: 'not_allowed',
  detail: '',
  remedy: '',
});

/**
 * What this device holds, as the data of a page: always as of now, and not for scouts. Nothing while the records are
 * arriving for the first time: what is missing then is not absent.
 */
export function held<View>(view: View): Loaded<View> {
  const none = { at: 0, fresh: false, slow: false };
  if (me.value?.role === 'scout') return { ...none, trouble: notAllowed };
  const arriving = firstReading.value;
  return arriving === undefined ? { view, at: Date.now(), fresh: true, slow: false } : { ...none, arriving };
}

/** Fetches a view again; a call while one is under way is remembered and answered by one more fetch. */
export async function refresh(path: string): Promise<void> {
  const holder = hold(path);
  if (holder.running) {
    holder.again = true;
    return;
  }
  holder.running = true;
  const timer = setTimeout(() => set(holder, { slow: true }), SLOW_MS);
  try {
    await showKept(path, holder);
    do {
      holder.again = false;
      await fetchOnce(path, holder);
    } while (holder.again);
  } finally {
    clearTimeout(timer);
    holder.running = false;
  }
}

/** What may be otherwise the next time, and says nothing against what is kept. */
const passing: readonly Why[] = ['offline', 'slow', 'portal', 'busy'];

async function fetchOnce(path: string, holder: Holder): Promise<void> {
  try {
    const view = await newest(path, holder.loaded.peek().view);
    const at = Date.now();
    holder.loaded.value = { view, at, fresh: true, slow: false };
    await keep(path, { at, view });
  } catch (trouble) {
    if (!(trouble instanceof Refusal)) throw trouble;
    // What one may no longer see is not shown from an earlier visit either.
    if (passing.includes(trouble.why)) set(holder, { trouble, fresh: false, slow: false });
    else holder.loaded.value = { at: 0, fresh: false, slow: false, trouble };
  }
}

/** The list of beds is the largest view, and the one that is open all day: of it the server sends what changed. */
const BEDS = 'beds';

async function newest(path: string, held: unknown): Promise<unknown> {
  const version = path === BEDS && held ? (held as BedsView).version : undefined;
  const view = await ask(`/api/views/${path}${version ? `?since=${encodeURIComponent(version)}` : ''}`);
  // The server has content for every view; a portal may say "no content" to anything.
  if (view === undefined) throw new Refusal('portal');
  if (path !== BEDS || !(view as BedsView).since) return view;
  return withChanges(held as BedsView, view as BedsView) ?? newest(path, undefined);
}

/**
 * Sends something that the journal does not carry (pairing, revoking, deciding on quarantined notes).
 * @throws Refusal
 */
export async function send<Answer>(path: string, body?: unknown): Promise<Answer> {
  return (await ask(path, body === undefined ? { method: 'POST' } : posted(JSON.stringify(body)))) as Answer;
}

/**
 * Sends a file of JSON as it is, byte for byte.
 * @throws Refusal
 */
export async function sendFile<Answer>(path: string, file: Blob): Promise<Answer> {
  return (await ask(path, posted(file), LONGEST_PATIENCE_MS)) as Answer;
}

function posted(body: string | Blob): RequestInit {
  return { method: 'POST', headers: { 'Content-Type': 'application/json' }, body };
}

export const FIELD_BRIEFING = 'field-briefing';
export const WORK = 'work';

/** The server computes the whole nursery for each answer; whoever looks at a bed asks at once, apart from this. */
const EVERY_MS = 10 * 60_000;

/**
 * Keeps the field briefing and the work list fresh, so that they are there when a bed or the list is opened out of range. Called once,
 * well after the start.
 */
export function keepBriefing(): void {
  let asked = 0;
  const refreshIfDue = () => {
    if (!me.peek() || !navigator.onLine || Date.now() - asked < EVERY_MS) return;
    asked = Date.now();
    void refresh(FIELD_BRIEFING);
    void refresh(WORK);
  };
  effect(() => {
    // Read for its sake alone: the server has moved on.
    void nudge.value;
    refreshIfDue();
  });
  addEventListener('online', refreshIfDue);
}

function hold(path: string): Holder {
  let holder = holders.get(path);
  if (!holder) {
    holder = { loaded: signal<Loaded<unknown>>({ at: 0, fresh: false, slow: false }), running: false, again: false };
    holders.set(path, holder);
  }
  return holder;
}

function set(holder: Holder, changes: Partial<Loaded<unknown>>): void {
  holder.loaded.value = { ...holder.loaded.peek(), ...changes };
}

async function showKept(path: string, holder: Holder): Promise<void> {
  if (holder.loaded.peek().view) return;
  try {
    const kept = (await (await database()).get(STORE, path)) as Kept | undefined;
    if (kept) set(holder, { view: kept.view, at: kept.at });
  } catch {
    // Without the kept copy the page waits for the server, as on a first visit.
    opening = undefined;
  }
}

/** Keeps the newest view of a page. Earlier walks of a bed are not kept: they would grow without end. */
async function keep(path: string, kept: Kept): Promise<void> {
  if (path.includes('?')) return;
  try {
    await (await database()).put(STORE, kept, path);
  } catch {
    opening = undefined;
  }
}

function database(): Promise<IDBPDatabase> {
  opening ??= openDB('bedwalk-views', 1, { upgrade: (fresh) => void fresh.createObjectStore(STORE) });
  return opening;
}
