import type { Entry } from '../../schema/types';
import { readMove, readUnvoid, textOf } from './read.ts';

export const registers = new Set([
  'site',
  'house',
  'bed',
  'lot',
  'span',
  'person',
  'profile',
  'booking',
  'round',
  'task',
  'matter',
  'cultivar',
]);
export const facts = new Set(['skip', 'event', 'application', 'reading', 'rooting', 'note', 'photo']);
/** A fact with a key of its own: a void says by its record keys that it strikes out what only supervisors write. */
export const traces = new Set(['trace']);

/** Names the records that an entry has a part in, each once: none for a kind or a body that this build cannot read. */
export function keys(entry: Entry): string[] {
  const { kind, body } = entry;
  if (registers.has(kind)) return key(kind, textOf(body, 'of'));
  if (facts.has(kind)) return key('fact', entry.id);
  if (traces.has(kind)) return key('trace', entry.id);
  switch (kind) {
    case 'observation':
      return key('pot', entry.id);
    case 'correction':
      return key('pot', textOf(body, 'pot'));
    case 'walk':
    case 'walk_end':
      return key('walk', textOf(body, 'walk'));
    case 'count':
    case 'recount':
      return key('stock', textOf(body, 'lot'));
    case 'move':
      return once((readMove(body)?.legs ?? []).flatMap((leg) => key('stock', leg.lot)));
    case 'void':
    case 'unvoid':
      return once(readUnvoid(body)?.records ?? []);
    default:
      return [];
  }
}

function key(prefix: string, id: string): string[] {
  return id === '' ? [] : [`${prefix}:${id}`];
}

function once(names: string[]): string[] {
  return [...new Set(names)].filter((name) => name !== '');
}
