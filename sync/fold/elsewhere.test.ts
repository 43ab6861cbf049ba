import { expect, test } from 'vitest';
import type { Record as Folded } from '../../schema/types';
import { vectorFiles } from '../vectors.testing';
import { elsewhere } from './elsewhere';
import { housesOf } from './ownHouses';

interface Input {
  spans: Folded[];
  beds: Folded[];
  houses: string[];
  since: number;
  person: Folded;
}

const answers: Record<string, (input: Input) => unknown> = {
  elsewhere: ({ spans, beds, houses, since }) => ({ lots: [...elsewhere(spans, beds, new Set(houses), since)].sort() }),
  own: ({ person }) => ({ houses: housesOf(person) }),
};

const vectors = vectorFiles('houses-');

test('there are vectors of both', () => {
  expect(vectors.map(([name]) => name).sort()).toEqual(Object.keys(answers).sort());
});

for (const [file, all] of vectors) {
  test.each(all.map(({ name, ...rest }) => [name, rest] as const))(`${file}: %s`, (_, { input, want }) => {
    expect(answers[file]?.(input as Input)).toEqual(want);
  });
}
