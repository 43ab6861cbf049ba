/** A lot's way ahead as the server's views have it, for tests of the pages. */
import type { CropPlan, PlanStep } from '../../../../schema/types';

/** A lot that is late for the cooler. */
export function cropPlan(changes: Partial<CropPlan> = {}): CropPlan {
  const step = (name: string, more: Partial<PlanStep>): PlanStep => ({
    step: name,
    stage: '',
    from: '',
    standing: '',
    source: '',
    done: false,
    on: '',
    day10: '',
    day50: '',
    day90: '',
    latest50: '',
    latest90: '',
    pinned: '',
    free: '',
    ...more,
  });
  return {
    problem: '',
    by: '2027-02-01',
    chance: 0.07,
    steps: [
      step('regulator', { done: true, on: '2026-09-07', by_bed: true }),
      step('into_cooler', {
        stage: 'bud_set',
        days: [63, 75, 88],
        standing: 'published',
        source: 'a study',
        day10: '2026-11-26',
        day50: '2026-12-01',
        day90: '2026-12-14',
        latest50: '2026-11-16',
        latest90: '2026-11-02',
      }),
      step('ready', {
        stage: 'cold',
        days: [42, 42, 42],
        standing: 'own',
        from: 'cultivar',
        day10: '2027-02-05',
        day50: '2027-02-21',
        day90: '2027-03-19',
      }),
    ],
    next: 1,
    slack_days: -15,
    late_days: 9,
    ready95: '',
    closed_until: '',
    not_own: 1,
    to_come: 2,
    ...changes,
  };
}
