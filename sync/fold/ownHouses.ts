/**
 * The houses that the supervisor gave a person, and when a lot left a stretch of bed; the twin of Houses in elsewhere.go. Apart from its other
 * half, which is needed seldom.
 */
import type { Field, Record as Folded } from '../../schema/types';

/** A person's own houses: those of every value that stands. None where there is no value, or one of them names no house. */
export function housesOf(person: Folded | undefined): string[] {
  const values = valuesOf(person?.register?.fields['houses']);
  const lists = values.map((value) => (isIds(value) ? value : []));
  return lists.some((ids) => ids.length === 0) ? [] : lists.flat();
}

function isIds(value: unknown): value is string[] {
  return Array.isArray(value) && value.every((id) => typeof id === 'string');
}

/** Every value that stands for a field, the shown one first. */
export function valuesOf(field: Field | undefined): unknown[] {
  return field ? [field.value, ...(field.others ?? []).map(({ value }) => value)] : [];
}

/** By when a stretch of bed had ended, ms since 1970, where one undisputed write says so; else Infinity. */
export function endedAt(span: Folded | undefined): number {
  const ended = span?.register?.fields['ended'];
  return ended?.value === true && ended.live.length === 1 ? ended.by.stamp.to : Infinity;
}
