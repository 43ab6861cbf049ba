/**
 * The limits of one field, asked as somebody types: the phone's hint, from the constants that the server's own rules
 * are generated from. The server's word is final; it also checks what lies between fields (schema/cross.go).
 */
import { limits, type Limit } from './limits';
import type { Kind } from './types';

/** What is wrong with a value: the same codes as the server's faults, and the limit that it breaks. */
export interface Breach {
  code: 'missing' | 'wrong_type' | 'out_of_range' | 'zero' | 'not_one_of' | 'too_short' | 'too_long';
  limit: Limit;
}

const byKind: Record<Kind, Record<string, Limit>> = limits;

/** The limit of a field ("head_a_mm", "place.row", "legs[].change"), undefined where none is set. */
export function limitOf(kind: Kind, field: string): Limit | undefined {
  return byKind[kind][field];
}

/**
 * What is wrong with a value of a field, undefined when nothing is. A field left out (undefined) is wrong only where
 * it must be there. Lengths are counted in characters as the server counts them, not in UTF-16 units.
 */
export function checkField(kind: Kind, field: string, value: unknown): Breach | undefined {
  const limit = limitOf(kind, field);
  if (limit === undefined) return undefined;
  const code = value === undefined ? (limit.required ? 'missing' : undefined) : breach(limit, value);
  return code && { code, limit };
}

function breach(limit: Limit, value: unknown): Breach['code'] | undefined {
  if (typeof value === 'number') return numberBreach(limit, value);
  if (typeof value === 'string' && limit.oneof) return limit.oneof.includes(value) ? undefined : 'not_one_of';
  if (typeof value === 'string')
    return value === '' && limit.notZero ? 'missing' : sizeBreach(limit, [...value].length);
  return Array.isArray(value) ? sizeBreach(limit, value.length) : undefined;
}

function numberBreach(limit: Limit, value: number): Breach['code'] | undefined {
  if (!Number.isSafeInteger(value)) return 'wrong_type';
  if (value === 0 && limit.notZero) return 'zero';
  const { min = -Infinity, max = Infinity } = limit;
  return value < min || value > max ? 'out_of_range' : undefined;
}

function sizeBreach(limit: Limit, size: number): Breach['code'] | undefined {
  if (limit.minLength !== undefined && size < limit.minLength) return 'too_short';
  return limit.maxLength !== undefined && size > limit.maxLength ? 'too_long' : undefined;
}
