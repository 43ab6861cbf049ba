/** What the sentences about a fault are made of, whatever the language: its numbers in the unit that people read. */
import type { Limit } from '../../../schema/limits';
import type { Fault, FaultCode, Unit, Want } from '../../../schema/types';
import { appWords } from '.';
import { number } from './format';
import { walkWords } from './rooms';

/** What a sentence about a fault may speak of. */
export interface FaultContext {
  readonly fault: Fault;
  /** The names that lead to the field, places in lists left out: ["now", "place", "row"]. */
  readonly path: readonly string[];
  /** What the note says there; undefined where the fault does not carry it. */
  readonly value: unknown;
  /** What the field may hold, for fields of the body of a kind that this build knows. */
  readonly limit: Limit | undefined;
}

export type DescribeFault = (context: FaultContext) => string;

/** A language has a sentence for every code: the list is closed. */
export type FaultSentences = { readonly [code in FaultCode]: DescribeFault };

export type Answers = { readonly [answer: string]: string };

/** How one language says the parts. */
export interface Phrases {
  /** A field by its name, or by its last two where the last alone would say something else. */
  readonly fields: { readonly [field: string]: string };
  readonly answers: { readonly [field: string]: Answers };
  readonly units: { readonly [unit in Unit]: string };
  /** What a value should be, and what to do when it is not. */
  readonly wanted: { readonly [want in Want]: readonly [is: string, remedy: string] };
  readonly anything: readonly [is: string, remedy: string];
  readonly quoted: (text: string) => string;
  readonly between: (least: string, most: string) => string;
  readonly least: (least: string) => string;
  readonly most: (most: string) => string;
  readonly yes: string;
  readonly no: string;
  readonly list: string;
  readonly object: string;
}

const MOST_QUOTED = 40;
/** From here on a number is shown as it was written, not digit by digit. */
const LONGEST = 1e15;
/** By what the whole numbers of a unit are divided for people. */
const scales: { readonly [unit in Unit]?: number } = { bp: 100, dc: 10, ph_c: 100 };

/** A number as it stands in a fault ("0.5", "1000000"), written as people do. */
function digits(value: number): string {
  const text = String(value);
  return Math.abs(value) < LONGEST ? number(value, text.split('.')[1]?.length ?? 0) : text;
}

const scaled = ({ fault }: FaultContext, value: number) => digits(value / ((fault.unit && scales[fault.unit]) || 1));

export function shorten(text: string): string {
  return text.length > MOST_QUOTED ? `${text.slice(0, MOST_QUOTED)}…` : text;
}

/** The bound that a fault carries, in the unit that people read; "" where it carries none. */
export function edge(context: FaultContext): string {
  const bound = context.fault.max ?? context.fault.min;
  return bound === undefined ? '' : scaled(context, bound);
}

export function partsOf(phrases: Phrases) {
  const { fields, answers, units, wanted } = phrases;

  const fieldName = (path: readonly string[]): string => {
    const last = path.at(-1) ?? '';
    return fields[path.slice(-2).join('.')] ?? fields[last] ?? phrases.quoted(last);
  };

  /** An answer to a question as its button says it; as written where no button has it. */
  const answerName = (path: readonly string[], answer: string): string => {
    const { common } = appWords.value;
    const shown: { readonly [field: string]: Answers } = {
      ...answers,
      scratch: common.scratch,
      chlorosis: common.chlorosisWhere,
      role: common.roles,
      why: { ...common.voidWhy, ...walkWords.value.skipWhy, ...answers['why'] },
    };
    return shown[path.at(-1) ?? '']?.[answer] ?? answer;
  };

  const sign = ({ fault }: FaultContext): string => {
    const unit = fault.unit && Object.hasOwn(units, fault.unit) ? units[fault.unit] : '';
    return unit && ` ${unit}`;
  };

  /** What the note says, short enough for a screen; "" where that is not known. */
  const given = (context: FaultContext, unit = ''): string => {
    const { value } = context;
    if (typeof value === 'number') return `${scaled(context, value)}${unit}`;
    if (typeof value === 'string') return phrases.quoted(shorten(value));
    if (typeof value === 'boolean') return phrases.quoted(value ? phrases.yes : phrases.no);
    if (Array.isArray(value)) return phrases.list;
    return typeof value === 'object' && value !== null ? phrases.object : '';
  };

  const bounds = (context: FaultContext): string => {
    const { min, max } = context.fault;
    const unit = sign(context);
    if (min !== undefined && max !== undefined)
      return `${phrases.between(scaled(context, min), scaled(context, max))}${unit}`;
    if (min === undefined && max === undefined) return phrases.anything[0];
    return `${(min === undefined ? phrases.most : phrases.least)(edge(context))}${unit}`;
  };

  return {
    answerName,
    sign,
    given,
    bounds,
    name: ({ path }: FaultContext) => fieldName(path),
    otherName: ({ fault }: FaultContext) => fieldName((fault.other ?? '').replaceAll(/\[[^\]]*\]/g, '').split('.')),
    want: ({ fault }: FaultContext) =>
      (fault.want && Object.hasOwn(wanted, fault.want) ? wanted[fault.want] : undefined) ?? phrases.anything,
  };
}
