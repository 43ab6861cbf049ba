import type { Observation, Pot, Record, Stamped } from '../../schema/types';
import { readCorrection, readObservation } from './read.ts';
import { author, Voids } from './void.ts';

/** One way in which a pot was written down: the observation, or a correction. */
interface Version {
  by: Stamped;
  now: Observation;
  replaces: string[];
}

/**
 * Keeps the highest version that no other replaces, and beside it those that were made without knowing of it. A void
 * of any version voids the pot, since it says that the pot is wrong, and not which of its values.
 */
export function foldPot(key: string, id: string, set: readonly Stamped[]): Record | undefined {
  const versions = versionsOf(id, set);
  const lowest = versions[0];
  if (!lowest) return undefined;
  const live = unreplaced(versions);
  const shown = live.at(-1) as Version;
  const first = versions.find(({ by }) => by.entry.id === id) ?? lowest;
  const pot: Pot = { now: shown.now, first: author(first.by), by: author(shown.by), versions: versions.length };
  if (live.length > 1) {
    pot.others = live
      .slice(0, -1)
      .toReversed()
      .map(({ now, by }) => ({ now, by: author(by) }));
  }
  if (set.length > versions.length) {
    const voided = new Voids(set).of(versions.map(({ by }) => by));
    if (voided) pot.voided = voided;
  }
  const record: Record = { key, pot };
  if (pot.now.lot !== '') record.lot = pot.now.lot;
  if (pot.now.bed !== '') record.bed = pot.now.bed;
  return record;
}

function versionsOf(id: string, set: readonly Stamped[]): Version[] {
  const versions: Version[] = [];
  for (const by of set) {
    const { kind, body } = by.entry;
    if (kind === 'observation' && by.entry.id === id) {
      const now = readObservation(body);
      if (now) versions.push({ by, now, replaces: [] });
    } else if (kind === 'correction') {
      const read = readCorrection(body);
      if (read?.pot === id) versions.push({ by, now: read.now, replaces: [...(read.settles ?? []), read.replaces] });
    }
  }
  return versions;
}

function unreplaced(versions: Version[]): Version[] {
  if (versions.length === 1) return versions;
  const replaced = new Set<string>();
  for (const { by, replaces } of versions) {
    for (const id of replaces) if (id !== by.entry.id) replaced.add(id);
  }
  const live = versions.filter(({ by }) => !replaced.has(by.entry.id));
  // Only a faulty phone could make corrections that all replace each other; the highest is as good as any.
  return live.length > 0 ? live : versions.slice(-1);
}
