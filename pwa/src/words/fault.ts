/** Why a note was not merged, as a sentence. Both languages come with the screens that show it. */
import type { Fault, Kind } from '../../../schema/types';
import { limitOf } from '../../../schema/check';
import { kinds } from '../../../schema/kinds';
import { language } from '.';
import { fault as english } from './en/fault';
import { fault as spanish } from './es/fault';
import type { DescribeFault, FaultContext } from './faultparts';

/**
 * A sentence in the person's own language, made from what the fault carries. The server's own sentence (English) stands
 * in where a newer server has a code that this build does not know.
 * @param kind the kind of the note, which says whether it may go without the field
 */
export function describeFault(fault: Fault, { kind }: { readonly kind?: unknown } = {}): string {
  const known: { [code: string]: DescribeFault | undefined } = language.value === 'es' ? spanish : english;
  const describe = Object.hasOwn(known, fault.code) ? known[fault.code] : undefined;
  return describe?.(contextOf(fault, kind)) ?? fault.message;
}

function contextOf(fault: Fault, kind: unknown): FaultContext {
  const [first, ...inside] = fault.field.replaceAll(/\[[^\]]*\]/g, '[]').split('.');
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
