/** What must be seen on a crop's pots before a stage ends: as it is typed, and what is wrong with it. One gate a stage is typed here. */
import type { Gate } from '../../../../../schema/types';
import { supervisorWords } from '../../../words/supervisor';
import { amount, wayOf, type Answer, type Measure } from '../../../forms/typed';
import type { StageName } from './stages';

export const gateLines = [
  'root_cover',
  'root_life',
  'head_mm',
  'buds',
  'buds_ready',
] as const satisfies readonly Gate['line'][];

export type GatePart = 'line' | 'at_least' | 'share_bp';

export interface ReadGate {
  answers: Record<'at_least' | 'share_bp', Answer<number>>;
  /** Undefined where the numbers make no gate, or nobody typed one. */
  gates?: Gate[];
}

/** What stands for no gate where '' says another thing: for one pot size, as for the crop. */
export const noGate = 'none';

/** Less is true of every pot, more of none: scales as a pot's card has them, head sizes in mm, buds. */
const LEAST: Record<Exclude<Gate['line'], 'buds_ready'>, readonly [least: number, most: number]> = {
  root_cover: [1, 5],
  root_life: [2, 5],
  head_mm: [5, 2000],
  buds: [1, 2000],
};
/** One pot of a hundred, and all of them, in hundredths of a percent. */
const SHARE = [100, 10_000] as const;

/** True for a gate that asks for a share of the pots, and for what on each. */
export function isOfNumbers(line: string): boolean {
  return !['', noGate, 'buds_ready'].includes(line);
}

/** Where one part of a stage's gate is kept while it is typed. */
export function gateKey(stage: StageName, part: GatePart): string {
  return `${stage}.gate.${part}`;
}

/** What stands in the fields of a stage's gate: what was typed, else the gate in force. */
export function typedGate(typed: ReadonlyMap<string, string>, stage: StageName, inForce: readonly Gate[]) {
  const [gate] = inForce;
  const line = typed.get(gateKey(stage, 'line')) ?? gate?.line ?? '';
  return (part: GatePart): string => {
    if (part === 'line') return line;
    const now = typed.get(gateKey(stage, part));
    if (now !== undefined) return now;
    // Numbers of a gate on another line would be wrong by themselves.
    if (!gate || gate.line !== line || gate[part] === undefined) return '';
    return wayOf(part === 'share_bp' ? 'percent' : measureOf(line)).show(gate[part]);
  };
}

function measureOf(line: string): Measure {
  return line === 'head_mm' ? 'length' : 'count';
}

/** Reads a stage's gate; nothing where nobody typed one. */
export function readGate(
  typed: ReadonlyMap<string, string>,
  stage: StageName,
  inForce: readonly Gate[],
): ReadGate | undefined {
  const parts = ['line', 'at_least', 'share_bp'] as const;
  if (!parts.some((part) => typed.has(gateKey(stage, part)))) return undefined;
  const at = typedGate(typed, stage, inForce);
  const line = gateLines.find((each) => each === at('line'));
  const none = { at_least: {}, share_bp: {} };
  if (!line) return { answers: none, gates: [] };
  if (line === 'buds_ready') return { answers: none, gates: [{ line }] };
  const read = (
    part: 'at_least' | 'share_bp',
    name: string,
    measure: Measure,
    within: readonly [min: number, max: number],
  ) => amount(at(part), { kind: 'profile', field: `${stage}.gates[].${part}`, name, measure, must: true, within });
  const words = supervisorWords.value.plan.gate;
  const answers = {
    at_least: read('at_least', words.atLeast, measureOf(line), LEAST[line]),
    share_bp: read('share_bp', words.share, 'percent', SHARE),
  };
  const { at_least: least, share_bp: share } = answers;
  if (least.value === undefined || share.value === undefined) return { answers };
  return { answers, gates: [{ line, at_least: least.value, share_bp: share.value }] };
}
