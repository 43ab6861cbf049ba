/** A pot that says which leaves are pale and not how much cannot be graded: no way of closing it passes over that. */
import { cleanup, render } from '@testing-library/preact';
import 'fake-indexeddb/auto';
import { afterEach, beforeEach, expect, test } from 'vitest';
import type { PotRow } from '../../../journal/records/read';
import type { Draft } from '../../../journal/store/shape';
import { unsay } from '../../../parts/Toast';
import { speak } from '../../../words';
import { answerWith, card, open } from '../card/card';
import type { Course } from './course';
import { turnsBackTo } from './halfNoted';
import { OpenCard } from './OpenCard';

const [walk, bed, lot] = ['1'.repeat(32), '2'.repeat(32), '3'.repeat(32)];
const by = { entry: 'e1', person: 'p', device: 'd', stamp: { at: 1, quality: 'exact' as const, from: 1, to: 1 } };
const earlier: PotRow = { id: 'p1', now: { walk, bed, lot, buds: 40 }, first: by, by, versions: 1 };

beforeEach(() => open(walk, bed, { row: 3, across: 2 }, true));
afterEach(async () => {
  cleanup();
  unsay();
  await speak('en');
});

test('turning back to an earlier pot asks first how pale the leaves of the open one are, and only once', async () => {
  answerWith({ chlorosis: 'old' });
  await turnsBackTo(earlier, true);
  expect(card.value).toMatchObject({ trait: 'leaves', askedDegree: true });
  expect(card.value?.pot).toBeUndefined();
});

test.each([
  ['en', 'how pale the leaves are'],
  ['es', 'qué tan pálidas están las hojas'],
] as const)('the end of the walk says in %s that the open pot cannot be graded', async (language, words) => {
  await speak(language);
  const course = { walk: { id: walk, bed, at: Date.now() }, standing: [] } as unknown as Course;
  const said = (changes: object) => {
    const half = { ...card.value!, now: { walk, bed, lot, ...changes } } as Draft;
    return render(<OpenCard course={course} half={half} asked={0} onDone={() => undefined} />).container.textContent;
  };
  expect(said({ chlorosis: 'old' })).toContain(words);
  cleanup();
  expect(said({ chlorosis: 'old', severity: 2 })).not.toContain(words);
});
