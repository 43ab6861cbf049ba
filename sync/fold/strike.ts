import type { Authorship, Stamped, Unvoid, Void, Voided } from '../../schema/types';
import { keys } from './keys.ts';
import { readUnvoid, readVoid } from './read.ts';

export function author({ entry, stamp }: Stamped): Authorship {
  return { entry: entry.id, person: entry.person, device: entry.device, stamp };
}

/** The voids among a record's entries, in merge order, and what takes them back. */
export class Strikes {
  private readonly voids: { by: Stamped; body: Void }[] = [];
  private readonly undone: Unvoid[] = [];

  constructor(set: readonly Stamped[]) {
    for (const by of set) {
      if (by.entry.kind === 'void') {
        const body = readVoid(by.entry.body);
        if (body) this.voids.push({ by, body });
      } else if (by.entry.kind === 'unvoid') {
        const body = readUnvoid(by.entry.body);
        if (body) this.undone.push(body);
      }
    }
  }

  /**
   * The highest standing void of any of some entries. A void stands only when it names all records of its target: else
   * one lot would take back its leg of a move and the other would not, and pots would appear from nothing.
   */
  of(targets: readonly Stamped[]): Voided | undefined {
    for (let i = this.voids.length - 1; i >= 0; i--) {
      const { by, body } = this.voids[i] as { by: Stamped; body: Void };
      for (const { entry } of targets) {
        if (body.names !== entry.id) continue;
        const needed = keys(entry);
        if (covers(body.records, needed) && !this.takenBack(by.entry.id, needed)) {
          const voided: Voided = { by: author(by), why: body.why };
          if (body.words !== undefined) voided.words = body.words;
          return voided;
        }
      }
    }
    return undefined;
  }

  private takenBack(id: string, needed: string[]): boolean {
    return this.undone.some((undo) => undo.names === id && covers(undo.records, needed));
  }
}

function covers(records: string[], needed: string[]): boolean {
  return needed.every((key) => records.includes(key));
}
