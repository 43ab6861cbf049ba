/** Notifies every screen, in this tab and the others, of the records that have just changed. Called only after a commit. */
import type { RecordRow } from './shape';

/** A record as it is now; without its content where it is one of very many that no screen holds. */
export type ChangedRow = Omit<RecordRow, 'record'> & Partial<Pick<RecordRow, 'record'>>;

export interface Changed {
  rows: readonly ChangedRow[];
  /** Keys that no longer have a record. */
  gone: string[];
  /** True when the outbox, or what is known of the server, may have changed. */
  queue: boolean;
  /** True when notes may have been let go, or have come back. */
  away?: boolean;
  /** True when other walks may be here in part, or whole again. */
  partial?: boolean;
  /** How many of the rows stood in the database with a text that could not be read. */
  repaired?: number;
}

type Listener = (changed: Changed) => void;

/**
 * More rows than this are a page of the journal. Its pots and facts go to other threads without their content: nobody
 * shows them all, and copying them would hold the screen up while a season is pulled.
 */
const MOST_WHOLE = 40;

const listeners = new Set<Listener>();
const channel = typeof BroadcastChannel === 'undefined' ? undefined : new BroadcastChannel('bedwalk');

channel?.addEventListener('message', (event: MessageEvent<Changed>) => emit(event.data));

/** Calls the listener with every change, of this tab and of others, until the returned function is called. */
export function subscribe(listen: Listener): () => void {
  listeners.add(listen);
  return () => listeners.delete(listen);
}

export function publish(changed: Partial<Changed>): void {
  const full = { rows: [], gone: [], queue: false, ...changed };
  emit(full);
  channel?.postMessage(full.rows.length > MOST_WHOLE ? { ...full, rows: full.rows.map(inShort) } : full);
}

function inShort(row: ChangedRow): ChangedRow {
  if (row.kind !== 'pot' && (row.fact === undefined || row.kind === 'application')) return row;
  const { record: _record, hash: _hash, ...rest } = row;
  return rest;
}

function emit(changed: Changed): void {
  for (const listen of listeners) listen(changed);
}
