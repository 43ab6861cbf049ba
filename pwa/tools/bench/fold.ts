/**
 * What the phone's own fold makes of the notes: each is sorted to its records, and every record is folded once.
 *
 *     node bin/bench/fold.mjs NOTES (built by bench-sync.mjs)
 */
import type { Stamped } from '../../../schema/types.ts';
import { fold, keys } from '../../../sync/fold/fold.ts';
import { figure, readNotes, seconds } from './notes.mjs';

const notes = readNotes(process.argv[2] ?? '');
let records = 0;
const took = await seconds(() => (records = folded(notes)));
if (records === 0) throw new Error('the fold made no record');
figure('fold in TypeScript', 'notes/s', notes.length / took);

function folded(all: readonly Stamped[]): number {
  const byKey = new Map<string, Stamped[]>();
  for (const note of all) {
    for (const key of keys(note.entry)) {
      const group = byKey.get(key);
      if (group) group.push(note);
      else byKey.set(key, [note]);
    }
  }
  let made = 0;
  for (const [key, group] of byKey) if (fold(key, group)) made++;
  return made;
}
