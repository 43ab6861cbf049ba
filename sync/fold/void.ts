import type { Authorship, Stamped, Unvoid, Void, Voided } from '../../schema/types';
import { keys } from './keys.ts';
import { readUnvoid, readVoid } from './read.ts';

export function author({ entry, stamp }: Stamped): Authorship {
  return { entry: entry.id, person: entry.person, device: entry.device, stamp };
}

/** One void; at is its place in merge order among the entries. */
interface PlacedVoid {
  at: number;
  by: Stamped;
  body: Void;
}

/**
 * The voids among a record's entries, by what they name, and the entries that undo them. They are looked up by name because a
 * record may hold hundreds of lines and of voids: comparing each with each would grow with the square.
 */
export class Voids {
  private readonly voids = new Map<string, PlacedVoid[]>();
  private readonly undone = new Map<string, Unvoid[]>();

  constructor(set: readonly Stamped[]) {
    set.forEach((by, at) => {
      if (by.entry.kind === 'void') {
        const body = readVoid(by.entry.body);
        if (body) add(this.voids, body.names, { at, by, body });
      } else if (by.entry.kind === 'unvoid') {
        const body = readUnvoid(by.entry.body);
        if (body) add(this.undone, body.names, body);
      }
    });
  }

  /**
   * The highest valid void of any of some entries. A void is valid only when it names all records of its target: else
   * one lot would undo its leg of a move and the other would not, and pots would appear from nothing.
   */
  of(targets: readonly Stamped[]): Voided | undefined {
    let highest: PlacedVoid | undefined;
    for (const { entry } of targets) {
      const named = this.voids.get(entry.id);
      if (!named) continue;
      const needed = keys(entry);
      const stands = named.findLast(
        ({ by, body }) => covers(body.records, needed) && !this.takenBack(by.entry.id, needed),
      );
      if (stands && stands.at > (highest?.at ?? -1)) highest = stands;
    }
    if (!highest) return undefined;
    const { by, body } = highest;
    const voided: Voided = { by: author(by), why: body.why };
    if (body.words !== undefined) voided.words = body.words;
    return voided;
  }

  private takenBack(id: string, needed: string[]): boolean {
    return (this.undone.get(id) ?? []).some((undo) => covers(undo.records, needed));
  }
}

function add<T>(map: Map<string, T[]>, name: string, item: T): void {
  const items = map.get(name);
  if (items) items.push(item);
  else map.set(name, [item]);
}

function covers(records: string[], needed: string[]): boolean {
  return needed.every((key) => records.includes(key));
}
