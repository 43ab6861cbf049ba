/** Which crops there are, from the records on this device. */
import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js';
import type { Grade, Profile } from '../../../../schema/types';
import { profileOf } from '../../journal/input';
import { lots, people, profiles, recordOf, type Plain } from '../../journal/things';
import { queue } from '../../state';
import { t } from '../../words';
import { d } from '../../words/desk';

export interface Crop {
  name: string;
  lots: number;
  /** Pot sizes of its lots and of its grades, smallest first, mm. */
  sizes: number[];
  profile?: Plain<Profile>;
  /** Fields of its profile in which people differ. */
  differ: number;
}

/** Every crop that a lot or a profile names, by name. */
export function knownCrops(): Crop[] {
  const all = [...lots.value.values(), ...profiles.value.values()];
  const names = new Set(all.flatMap(({ crop }) => (crop ? [crop] : [])));
  return [...names].sort((a, b) => a.localeCompare(b)).map(cropOf);
}

export function cropOf(name: string): Crop {
  const own = [...lots.value.values()].filter((lot) => lot.crop === name);
  const profile = profileOf(name);
  const sizes = new Set([
    ...own.flatMap((lot) => lot.pot_mm ?? []),
    ...(profile?.grades ?? []).map((grade) => grade.pot_mm),
  ]);
  const fields = Object.values(recordOf('profile', profile?.id ?? '')?.register?.fields ?? {});
  return {
    name,
    lots: own.length,
    sizes: [...sizes].sort((a, b) => a - b),
    ...(profile ? { profile } : {}),
    differ: fields.filter((field) => (field.others?.length ?? 0) > 0).length,
  };
}

/**
 * The id of a crop's profile that nobody has begun yet. It is made from the crop's name and not by chance, so that two
 * people who begin it apart write one profile, in which they can see and settle where they differ.
 */
export function newProfileId(crop: string): string {
  return bytesToHex(sha256(utf8ToBytes(`profile ${crop}`)).subarray(0, 16));
}

/** Another crop of the list that differs from this one by capitals or spaces alone. */
export function alike(crop: string, all: readonly Crop[]): string | undefined {
  const plain = (name: string) => name.toLowerCase().replace(/\s+/g, '');
  return all.find((other) => other.name !== crop && plain(other.name) === plain(crop))?.name;
}

/** The grades of one pot size, in their order. */
export function gradesOf(grades: readonly Grade[], potMM: number): Grade[] {
  return grades.filter((grade) => grade.pot_mm === potMM);
}

/** The address of a crop's own page. */
export function addressOfCrop(name: string): string {
  return `/crops/${encodeURIComponent(name)}`;
}

/** The crop that an address names; one that was mistyped is taken as it stands. */
export function cropIn(id: string): string {
  try {
    return decodeURIComponent(id);
  } catch {
    return id;
  }
}

/** Whether what is written here has reached the server. */
export function stateOfNotes(): string {
  const words = d.value.crops.state;
  return queue.value.waiting > 0 ? words.waiting(queue.value.waiting) : words.sent;
}

export function personName(person: string): string {
  return people.value.get(person)?.name ?? t.value.common.unknown;
}
