import { expect, test } from 'vitest';
import { nearly } from './near';

const known = ['florist’s azalea', 'hydrangea', 'kalanchoe', 'rose'];

test.each([
  ['florist azalea', 'florist’s azalea'],
  ["Florist's Azalea", 'florist’s azalea'],
  ['florists azalea ', 'florist’s azalea'],
  ['hydrangia', 'hydrangea'],
  ['hydragnea', 'hydrangea'],
  ['hydrangeas', 'hydrangea'],
  ['Kalanchoë', 'kalanchoe'],
  ['ROSE', 'rose'],
])('%s may be meant as %s', (typed, name) => expect(nearly(typed, known)).toBe(name));

test.each(['hydrangea', 'rosa', 'azalea', 'hydrangia paniculata', '', ' ', '—'])(
  '"%s" is known as it is, or another crop',
  (typed) => expect(nearly(typed, known)).toBeUndefined(),
);
