/** Why a note was not merged, as a sentence. Both languages come with the screens that show it. */
import type { Fault, Kind } from '../../../schema/types';
import { limitOf } from '../../../schema/check';
import { kinds } from '../../../schema/limits';
import { language } from '.';
import { fault as english, type SayFault, type Told, type Written } from './en/fault';
import { fault as spanish } from './es/fault';

/**
 * In the person's own language where there are words for the code; else the server's sentence, which is English.
 * @param note the note that is held: whether it may go without the field, its kind says
 */
export function faultSaid(fault: Fault, note: Written = {}): string {
  const known: { [code: string]: SayFault | undefined } = language.value === 'es' ? spanish : english;
  const say = Object.hasOwn(known, fault.code) ? known[fault.code] : undefined;
  return say?.(told(fault, note)) ?? fault.message;
}

function told(fault: Fault, note: Written): Told {
  const [first, ...inside] = fault.field.replaceAll(/\[[^\]]*\]/g, '[]').split('.');
  const { kind } = note;
  const limit = first === 'body' && isKind(kind) ? limitOf(kind, inside.join('.')) : undefined;
  const path = [first ?? '', ...inside].map((name) => name.replace('[]', ''));
  return { fault, path: path.filter((name) => name !== 'body' || path.length === 1), value: fault.value, limit };
}

function isKind(kind: unknown): kind is Kind {
  return (kinds as readonly unknown[]).includes(kind);
}

/** True when nothing is wrong with a note but that somebody else may write it: a supervisor can let it in as it is. */
export function isForOthers(faults: readonly Fault[]): boolean {
  return faults.length > 0 && faults.every(({ code }) => code === 'role');
}
