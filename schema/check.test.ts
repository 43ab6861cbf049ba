import { describe, expect, it } from 'vitest';
import { checkField, limitOf } from './check';
import { kinds } from './kinds';
import { limits } from './limits';

describe('checkField', () => {
  it.each([
    ['observation', 'head_a_mm', 5, undefined],
    ['observation', 'head_a_mm', 2000, undefined],
    ['observation', 'head_a_mm', 4, 'out_of_range'],
    ['observation', 'head_a_mm', 4000, 'out_of_range'],
    ['observation', 'head_a_mm', 28.5, 'wrong_type'],
    ['observation', 'head_a_mm', undefined, undefined],
    ['observation', 'chlorosis', 'young', undefined],
    ['observation', 'chlorosis', 'purple', 'not_one_of'],
    ['observation', 'place.row', 0, 'out_of_range'],
    ['observation', 'lot', undefined, 'missing'],
    ['count', 'change', 0, 'zero'],
    ['move', 'legs', [], 'too_short'],
    ['note', 'words', '', 'missing'],
    ['note', 'words', '🌱'.repeat(4000), undefined],
    ['note', 'words', 'x'.repeat(4001), 'too_long'],
    ['note', 'no_such_field', 7, undefined],
  ] as const)('says of %s.%s = %o: %s', (kind, field, value, code) => {
    expect(checkField(kind, field, value)?.code).toBe(code);
  });

  it('names the limit that was broken', () => {
    expect(checkField('observation', 'head_a_mm', 4000)?.limit).toMatchObject({ min: 5, max: 2000 });
  });
});

it('has limits for every kind', () => {
  expect(Object.keys(limits)).toEqual([...kinds]);
  expect(limitOf('span', 'to_row')).toMatchObject({ min: 1, max: 2000 });
});
