/** English for what is wrong with a note. The server's own sentences are English and exact; these alone say more. */
import type { Limit } from '../../../../schema/limits';
import type { Fault } from '../../../../schema/types';

/** A note as far as it can be read: one that is held may be anything. */
export interface Written {
  readonly kind?: unknown;
  readonly bed?: unknown;
  readonly body?: unknown;
}

/** What a sentence about a fault may speak of. */
export interface Told {
  readonly fault: Fault;
  /** The names that lead to the field, places in lists left out: ["now", "place", "row"]. */
  readonly path: readonly string[];
  /** What the note says there; undefined where the fault does not carry it. */
  readonly value: unknown;
  /** What the field may hold, for fields of the body of a kind that this build knows. */
  readonly limit: Limit | undefined;
}

export type SayFault = (told: Told) => string;

export function isObject(value: unknown): value is { readonly [field: string]: unknown } {
  return typeof value === 'object' && value !== null;
}

export const fault = {
  role: () =>
    'This is for a supervisor or the owner to write. It is kept, and counts once one of them merges it on the Phones page.',
  person: () =>
    'This note carries the name of someone this phone is not paired for. It is kept, and counts once a supervisor merges it on the Phones page, if that person wrote it.',
} satisfies { [code: string]: SayFault };
