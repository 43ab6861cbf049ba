/**
 * Forms while they are being filled in, in the journal's own database and not in sessionStorage: a phone that ends the
 * app in the background empties sessionStorage, and only here can one transaction save the note and clear the form.
 */
import { within, type Work } from '../store/base';
import type { Meta } from '../store/shape';

/** What stands in the fields of a form, as it was typed. */
export type Filled = Readonly<Record<string, string>>;

const PREFIX = 'form:';
const newest = new Map<string, Filled | undefined>();
let writing: Promise<void> | undefined;

export async function formOf(key: string): Promise<Filled | undefined> {
  if (newest.has(key)) return newest.get(key);
  return within('readonly', ['meta'], async (work) => {
    const kept = (await work.objectStore('meta').get(PREFIX + key)) as Meta['form'] | undefined;
    return kept?.filled;
  });
}

/** Names of the forms that are half filled: at most one of each kind and place that somebody has opened here. */
export async function halfFilled(): Promise<string[]> {
  return within('readonly', ['meta'], async (work) => {
    const keys = await work.objectStore('meta').getAllKeys(IDBKeyRange.bound(PREFIX, `${PREFIX}\uffff`));
    return keys.map((key) => key.slice(PREFIX.length));
  });
}

/** Keeps the fields as they are now; while one write runs, only the newest state waits behind it. */
export function keepForm(key: string, filled: Filled | undefined): Promise<void> {
  newest.set(key, filled);
  writing ??= drain().finally(() => (writing = undefined));
  return writing;
}

/** Clears a form inside the transaction that saves what it says. */
export async function clearForm(work: Work, key: string): Promise<void> {
  newest.delete(key);
  await work.objectStore('meta').delete(PREFIX + key);
}

async function drain(): Promise<void> {
  for (let next = first(); next; next = first()) {
    const [key, filled] = next;
    await within('readwrite', ['meta'], async (work) => {
      const meta = work.objectStore('meta');
      // A save that came before has cleared the form, which is known only when its turn is over: what it saved must not stand there again.
      await meta.getKey(PREFIX + key);
      if (!newest.has(key)) return;
      if (filled) await meta.put({ filled }, PREFIX + key);
      else await meta.delete(PREFIX + key);
    });
    // What was typed meanwhile stays in the map, to be written by the next turn.
    if (newest.get(key) === filled) newest.delete(key);
  }
}

function first(): [string, Filled | undefined] | undefined {
  for (const entry of newest) return entry;
  return undefined;
}
