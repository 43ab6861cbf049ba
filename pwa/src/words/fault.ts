/** Why a note was not merged, as a sentence. */
import type { Fault } from '../../../schema/types';
import { t } from '.';

/** In the person's own language where there are words for the code; else the server's, which are English. */
export function faultSaid({ code, message }: Fault): string {
  const known: { [code: string]: string | undefined } = t.value.common.fault;
  return (Object.hasOwn(known, code) ? known[code] : undefined) ?? message;
}

/** True when nothing is wrong with a note but that somebody else may write it: a supervisor can let it in as it is. */
export function isForOthers(faults: readonly Fault[]): boolean {
  return faults.length > 0 && faults.every(({ code }) => code === 'role');
}
