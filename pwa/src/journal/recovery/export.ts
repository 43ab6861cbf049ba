/** The notes that the server does not have, as a file: the way out when nothing else is. */
import { openDB } from 'idb';
import { base } from '../store/base';
import { stash } from '../outbox/stash';
import type { EarlierRow } from '../store/entryState';
import { allUnder, pageOfPending } from '../store/pages';
import { PAGE } from '../store/pageSize';
import { BASE_NAME, type EntryRow, type Shape, type Writer } from '../store/shape';

/** Makes the file. The server's "bring in unsent notes" reads it, and so can anybody: one JSON object. */
export async function unsentFile(): Promise<File> {
  const open = await base();
  const writer = (await open.get('meta', 'writer')) as Writer | undefined;
  const { store } = open.transaction('entries');
  const texts: string[] = [];
  for (let after: readonly number[] | undefined = []; after;) {
    const page: EntryRow[] = await pageOfPending(store.index('pending'), after);
    texts.push(...page.map(textOf));
    after = page[page.length - 1]?.pending;
  }
  texts.push(...(await allUnder(store.index('state'), 'parked', (row) => row.id)).map(textOf));
  return fileOf(texts, writer?.device ?? '');
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
    for (let after: string | undefined = ''; after !== undefined;) {
      const keys: string[] = await open.getAllKeys('entries', IDBKeyRange.lowerBound(after, true), PAGE);
      for (const key of keys) {
        try {
          const row = await open.get('entries', key);
          if (row && isUnsent(row)) rows.push(row);
        } catch {
          unread++;
        }
      }
      after = keys[keys.length - 1];
    }
    open.close();
  } catch {
    // Nothing of it can be read; the stash lies elsewhere.
  }
  rows.sort((a, b) => a.entry.inc - b.entry.inc || a.entry.seq - b.entry.seq);
  const file = fileOf(rows.map(textOf), rows[0]?.entry.device ?? '');
  return { file, notes: rows.length + stash.value.length, unread };
}

/** Of a database in the shape of another build too. */
function isUnsent({ pending, state, parked }: EarlierRow): boolean {
  return pending !== undefined || state === 'queued' || state === 'parked' || parked === 1;
}

function textOf({ text, entry }: EntryRow): string {
  return text ?? JSON.stringify(entry);
}

function fileOf(entries: readonly string[], device: string): File {
  const head = JSON.stringify({ bedwalk: 'unsent notes', device, aside: stash.value });
  const text = `${head.slice(0, -1)},"entries":[\n${entries.join(',\n')}\n]}\n`;
  return new File([text], `bedwalk-unsent-${new Date().toISOString().slice(0, 10)}.json`, { type: 'application/json' });
}
