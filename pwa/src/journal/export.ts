/** The notes that the server does not have, as a file: the way out when nothing else is. */
import { base } from './base';
import { aside } from './emergency';
import type { Writer } from './shape';

/** Makes the file. The server's "bring in unsent notes" reads it, and so can anybody: one JSON object. */
export async function unsentFile(): Promise<File> {
  const open = await base();
  const [pending, parked, writer] = await Promise.all([
    open.getAllFromIndex('entries', 'pending'),
    open.getAllFromIndex('entries', 'parked'),
    open.get('meta', 'writer') as Promise<Writer | undefined>,
  ]);
  const entries = [...pending, ...parked].map((row) => row.text ?? JSON.stringify(row.entry));
  const head = JSON.stringify({ bedwalk: 'unsent notes', device: writer?.device ?? '', aside: aside.value });
  const text = `${head.slice(0, -1)},"entries":[\n${entries.join(',\n')}\n]}\n`;
  return new File([text], `bedwalk-unsent-${new Date().toISOString().slice(0, 10)}.json`, { type: 'application/json' });
}
