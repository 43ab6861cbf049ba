/** A lot's way ahead in words. */
import type { CropPlan, PlanStep } from '../../../../../schema/types';
import { day, shipWeek } from '../../../words/format';
import { word } from '../../../words/entry';
import { supervisorWords } from '../../../words/supervisor';
import { nameOfCrop } from '../../../words/names';

/** What the plan comes to, a sentence each, the most pressing first. */
export function saidPlan(plan: CropPlan, crop: string, week: string, today: string): string[] {
  const words = supervisorWords.value.plan;
  if (plan.problem === 'no_stages') return [words.problem.no_stages(nameOfCrop(crop))];
  if (plan.problem === 'start_unknown') return [words.problem.start_unknown];
  if (plan.problem !== '') return [plan.problem === 'stock' ? words.problem.stock : words.problem.shipped];
  return [...saidLate(plan), saidReady(plan, today), ...saidInTime(plan, week), saidStanding(plan)];
}

/** That the next step is late, or will be at this pace; nothing where there is time. */
function saidLate(plan: CropPlan): string[] {
  const words = supervisorWords.value.plan;
  const next = nextOf(plan);
  if (!next || next.latest50 === '') return [];
  if (isLate(plan)) return [words.late(stepName(next), plan.late_days, day(next.latest50))];
  const slack = plan.slack_days ?? 0;
  return slack < 0 ? [words.slow(stepName(next), -slack, day(next.latest50))] : [];
}

export function nextOf(plan: CropPlan): PlanStep | undefined {
  return plan.steps[plan.next];
}

/** The latest day of the next step has passed, and nobody has noted the step. */
export function isLate(plan: CropPlan): boolean {
  return plan.late_days > 0;
}

/** Late for a step, or less likely than not to make its week, as the list of what needs a supervisor has it (server/view/attentionoffice.go). */
export function isBehind(plan: CropPlan): boolean {
  return isLate(plan) || (plan.chance !== undefined && plan.chance < 0.5);
}

export function saidReady(plan: CropPlan, today: string): string {
  const words = supervisorWords.value.plan;
  const ready = plan.steps.at(-1);
  if (!ready || ready.day50 === '') return words.readyUnknown;
  if (ready.day50 < today && plan.next < 0) return words.readyPast(day(ready.day50));
  if (ready.day90 === '') return words.readyOpen(day(ready.day50), day(ready.day10));
  return words.ready(day(ready.day50), day(ready.day10), day(ready.day90));
}

function saidInTime(plan: CropPlan, week: string): string[] {
  const words = supervisorWords.value.plan;
  if (plan.chance === undefined) return [];
  return [words.inTime(shipWeek(week), day(plan.by), words.chance(tenths(plan.chance)))];
}

/** A chance in whole tenths: 0 stands for under one in ten, 10 for over nine. */
export function tenths(chance: number): number {
  if (chance < 0.1) return 0;
  if (chance > 0.9) return 10;
  return Math.round(chance * 10);
}

function saidStanding(plan: CropPlan): string {
  const words = supervisorWords.value.plan;
  return plan.not_own === 0 ? words.allOwn : words.notOwn(plan.not_own, plan.to_come);
}

export function stepName(step: PlanStep): string {
  return word(supervisorWords.value.plan.step, step.step);
}
