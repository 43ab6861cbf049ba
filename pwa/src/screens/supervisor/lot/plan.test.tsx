import { cleanup, render } from '@testing-library/preact';
import 'fake-indexeddb/auto';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import type { CropPlan } from '../../../../../schema/types';
import { speak } from '../../../words';
import { cropPlan } from '../sample-plan.testing';
import { PlanOfLot } from './PlanOfLot';
import { saidPlan, tenths } from './planWords';

beforeEach(() => speak('en'));
afterEach(cleanup);

const TODAY = '2026-11-25';

function said(changes: Partial<CropPlan> = {}): string {
  return saidPlan(cropPlan(changes), 'azalea', '2027-W05', TODAY).join(' ');
}

describe('a lot’s way ahead in words', () => {
  test('begins with a step that is late, and says by when it had to be', () => {
    expect(said()).toMatch(/^Late: the latest day for “into the cooler” was 9 days ago, .*16.*\. Likely ready .*21/);
    expect(said()).toContain('fewer than 1 in 10 make it');
    expect(said()).toContain('1 of the 2 stage lengths still to come is not your own.');
  });

  test('warns of a step that will likely come too late, while its latest day is still ahead', () => {
    expect(said({ late_days: 0, slack_days: -3 })).toMatch(/^“into the cooler” will likely come 3 days after/);
    expect(said({ late_days: 0, slack_days: 3 })).toMatch(/^Likely ready/);
  });

  test('has no dates where nobody noted a day, and says what to do', () => {
    const problem = { problem: 'start_unknown', steps: [], next: -1 };
    expect(said(problem)).toBe(
      'No day is known for any step of this lot. When was it stuck or potted? Enter the day under “What is known” on its page.',
    );
    expect(said({ problem: 'no_stages', steps: [], next: -1 })).toContain('No stage lengths are known for azalea');
  });

  test('tells of a lot in its last stage that it may be ready already', () => {
    const steps = cropPlan().steps.map((step) => (step.step === 'ready' ? { ...step, day50: '2026-11-01' } : step));
    expect(said({ steps, next: -1, late_days: 0 })).toMatch(/^By these lengths it was likely ready on/);
  });

  test('writes a chance in tenths, and never as certain', () => {
    expect([0, 0.04, 0.1, 0.46, 0.9, 0.96, 1].map(tenths)).toEqual([0, 0, 1, 5, 9, 10, 10]);
  });
});

test('the steps show what was done, what is likely, the latest day and what it rests on', () => {
  const { container } = render(<PlanOfLot plan={cropPlan()} crop="azalea" week="2027-W05" today={TODAY} />);
  const rows = [...container.querySelectorAll('tbody tr')].map((row) => row.textContent ?? '');
  expect(rows[0]).toContain('known from its bed');
  expect(rows[1]).toContain('Not noted yet, so counted as not done.');
  expect(rows[1]).toContain('bud set: 63 to 88 days, middle 75; published: a study');
  expect(rows[2]).toContain('your own, for this cultivar');
  expect(container.querySelector('tr.late')?.textContent).toContain('into the cooler');
});
