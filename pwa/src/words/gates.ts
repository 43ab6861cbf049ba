/** A gate of a lot's stage in words: what must be seen, what was seen, and what follows. */
import type { CropPlan, PlanGate } from '../../../schema/types';
import { day, length, list, number, percent } from './format';
import { supervisorWords } from './supervisor';

/** What it asks, in which state it is, and what that rests on, a sentence each. */
export function saidGate(gate: PlanGate, plan: CropPlan): string[] {
  const words = supervisorWords.value.plan.gate;
  if (gate.line === 'buds_ready') return [gate.by_hand ? words.budsReady(day(gate.on)) : words.budsNot];
  const share = (gate.share_bp ?? 0) / 10_000;
  const said = [words.asks(percent(share), lineOf(gate)), stateOf(gate)];
  if (gate.looked > 0) {
    said.push(
      words.seen(gate.met, gate.looked, number(gate.pots_on_beds), percent(gate.low), percent(gate.high)),
      words.walk(day(gate.on), list(gate.scouts ?? [])),
    );
  }
  if (gate.state === 'not_yet' && plan.closed_until !== '') said.push(words.closedUntil(day(plan.closed_until)));
  return said;
}

function stateOf(gate: PlanGate): string {
  const words = supervisorWords.value.plan.gate;
  if (gate.state === 'unsure' && gate.unwalked) return words.unwalked;
  return words.state[gate.state as keyof typeof words.state];
}

function lineOf({ line, at_least: least = 0 }: PlanGate): string {
  const words = supervisorWords.value.plan.gate;
  if (line === 'buds_ready') return '';
  return words[line](line === 'head_mm' ? length(least) : number(least));
}

/** As a line of the plan has it. */
export function shortGate(gate: PlanGate): string {
  const words = supervisorWords.value.plan.gate;
  const state = words.short[gate.state as keyof typeof words.short];
  if (gate.line === 'buds_ready') return words.shortBuds(state);
  return gate.looked === 0 ? `${lineOf(gate)}: ${state}` : words.shortSeen(gate.met, gate.looked, state);
}
