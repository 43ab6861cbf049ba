/**
 * The phone's part of the bed measures, to be computed out of range of the server: plan, score, slips, stop rule, entry
 * intervals, and which grade a pot that was seen gets. The Go package beside it says what each number means, and names the sources; both read the same vectors.
 */
export { scoreBed } from './score.ts';
export { makePlan } from './plan.ts';
export { howMany } from './stop.ts';
export { slipOf } from './slips.ts';
export { closedUntil, judgedFrom, judgedFromFields } from './judged.ts';
export { gradePots } from './grade.ts';
