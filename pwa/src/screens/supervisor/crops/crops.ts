/** Which crops there are, from the records on this device. */
import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js';
import type { Grade, Profile } from '../../../../../schema/types';
import { cropKey } from '../../../../../sync/bed/crop';
import { cultivarOf, profileOf } from '../../../journal/records/input';
import { cultivars, lots, people, profiles, recordOf, type Plain } from '../../../journal/records/registers';
import { queue } from '../../../state';
import { appWords } from '../../../words';
import { supervisorWords } from '../../../words/supervisor';
import { stageNames } from './stages';

export interface Crop {
  name: string;
  lots: number;
  /** Pot sizes of its lots and of its grades, smallest first, mm. */
  sizes: number[];
  profile?: Plain<Profile>;
  /** Fields of its profile in which people differ. */
  differ: number;
}

/** Every crop that a lot or a profile names, by name: once, however it is spelled. */
export function knownCrops(): Crop[] {
  const all = [...profiles.value.values(), ...lots.value.values()];
  const names = new Map(all.flatMap(({ crop }) => (crop ? [[cropKey(crop), crop] as const] : [])));
  return [...names.values()].map(cropOf).sort((a, b) => a.name.localeCompare(b.name));
}

/** A crop by any of its spellings, under the one that its profile has, or else the one most of its lots have. */
export function cropOf(spelled: string): Crop {
  const key = cropKey(spelled);
  const own = [...lots.value.values()].filter((lot) => lot.crop !== undefined && cropKey(lot.crop) === key);
  const profile = profileOf(spelled);
  const name = profile?.crop ?? mostOften(own.map((lot) => lot.crop ?? '')) ?? spelled;
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

/** The first in the alphabet of those that are there most often. */
function mostOften(names: readonly string[]): string | undefined {
  const count = (name: string) => names.filter((each) => each === name).length;
  return [...new Set(names)].sort((a, b) => count(b) - count(a) || a.localeCompare(b))[0];
}

/**
 * The id of a crop's profile that nobody has begun yet. It is made from the crop's name and not by chance, so that two
 * people who begin it apart write one profile, in which they can see and settle where they differ.
 */
export function newProfileId(crop: string): string {
  return bytesToHex(sha256(utf8ToBytes(`profile ${cropKey(crop)}`)).subarray(0, 16));
}

export interface Cultivar {
  name: string;
  lots: number;
  /** How much is set for it, stages and what roots, and in how many of its fields people differ. */
  own: number;
  differ: number;
}

/** Every cultivar of a crop that a lot or a record names, by name: once, however it is spelled. */
export function cultivarsOf(crop: string): Cultivar[] {
  const key = cropKey(crop);
  const ofLots = [...lots.value.values()].filter((lot) => cropKey(lot.crop ?? '') === key);
  const named = [
    ...ofLots.map((lot) => lot.cultivar ?? ''),
    ...[...cultivars.value.values()]
      .filter((each) => cropKey(each.of_crop ?? '') === key)
      .map((each) => each.name ?? ''),
  ].filter((name) => name.trim() !== '');
  return [...new Set(named.map(cropKey))]
    .map((one) => {
      const spelled = mostOften(named.filter((name) => cropKey(name) === one)) ?? one;
      const set = cultivarOf(crop, spelled);
      const fields = recordOf('cultivar', set?.id ?? '')?.register?.fields ?? {};
      return {
        name: spelled,
        lots: ofLots.filter((lot) => cropKey(lot.cultivar ?? '') === one).length,
        own: ([...stageNames, 'root_share_bp'] as const).filter((name) => set?.[name] !== undefined).length,
        differ: Object.values(fields).filter((field) => (field.others?.length ?? 0) > 0).length,
      };
    })
    .sort((a, b) => a.name.localeCompare(b.name));
}

/** The id of a cultivar's record that nobody has begun yet: the same for all who begin it apart, as with profiles. */
export function newCultivarId(crop: string, name: string): string {
  return bytesToHex(sha256(utf8ToBytes(`cultivar ${cropKey(crop)}\n${cropKey(name)}`)).subarray(0, 16));
}

/** The address of a cultivar's own page. */
export function addressOfCultivar(crop: string, name: string): string {
  return `${addressOfCrop(crop)}/${encodeURIComponent(name)}`;
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
  const words = supervisorWords.value.crops.state;
  return queue.value.pending > 0 ? words.pending(queue.value.pending) : words.sent;
}

export function personName(person: string): string {
  return people.value.get(person)?.name ?? appWords.value.common.unknown;
}
