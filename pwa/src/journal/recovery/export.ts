/** The notes that the server does not have, as a file: the way out when nothing else is. */
import { openDB } from 'idb';
import { base } from '../store/base';
import { stash } from '../outbox/stash';
import type { EarlierRow } from '../store/entryState';
import { BASE_NAME, type EntryRow, type Shape, type Writer } from '../store/shape';

/** Makes the file. The server's "bring in unsent notes" reads it, and so can anybody: one JSON object. */
export async function unsentFile(): Promise<File> {
  const open = await base();
  const [pending, parked, writer] = await Promise.all([
    open.getAllFromIndex('entries', 'pending'),
    open.getAllFromIndex('entries', 'state', 'parked'),
    open.get('meta', 'writer') as Promise<Writer | undefined>,
  ]);
  return fileOf([...pending, ...parked], writer?.device ?? '');
}

export interface Salvaged {
  file: File;
  /** Notes in the file, those of the stash included. */
  notes: number;
  /** Notes that are in the database and could not be read. */
  unread: number;
}

/**
 * The same file from a database that is damaged, or has a newer build's shape: note by note, so that one that cannot be read takes
 * no other along.
 */
export async function salvage(): Promise<Salvaged> {
  const rows: EntryRow[] = [];
  let unread = 0;
  try {
    // Without a number: whatever its shape, nothing about it is changed.
    const open = await openDB<Shape>(BASE_NAME);
    const keys = await open.getAllKeys('entries');
    for (const key of keys) {
      try {
        const row = await open.get('entries', key);
        if (row && isUnsent(row)) rows.push(row);
      } catch {
        unread++;
      }
    }
    open.close();
  } catch {
    // Nothing of it can be read; the stash lies elsewhere.
  }
  rows.sort((a, b) => a.entry.inc - b.entry.inc || a.entry.seq - b.entry.seq);
  const file = fileOf(rows, rows[0]?.entry.device ?? '');
  return { file, notes: rows.length + stash.value.length, unread };
}

/** Of a database in the shape of another build too. */
function isUnsent({ pending, state, parked }: EarlierRow): boolean {
  return pending !== undefined || state === 'queued' || state === 'parked' || parked === 1;
}

function fileOf(rows: readonly EntryRow[], device: string): File {
  const entries = rows.map((row) => row.text ?? JSON.stringify(row.entry));
  const head = JSON.stringify({ bedwalk: 'unsent notes', device, aside: stash.value });
  const text = `${head.slice(0, -1)},"entries":[\n${entries.join(',\n')}\n]}\n`;
  return new File([text], `bedwalk-unsent-${new Date().toISOString().slice(0, 10)}.json`, { type: 'application/json' });
}
