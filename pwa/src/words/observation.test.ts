import { afterEach, expect, test } from 'vitest';
import { units } from '.';
import { answer, answerWhole, summary, typedLength } from './observation';

const metric = { length: 'cm', temperature: 'C', volume: 'L' } as const;
const pot = { walk: 'w', bed: 'b', lot: 'l' };

afterEach(() => void (units.value = metric));

test('a quarter inch stays one, though what is kept is whole millimetres', () => {
  units.value = { ...metric, length: 'in' };
  expect([305, 311, 318, 324, 300].map(typedLength)).toEqual(['12', '12.25', '12.5', '12.75', '11.8']);
});

test('a head of which only the second diameter was taken does not look like one of the first', () => {
  expect(answer({ ...pot, head_b_mm: 310 }, 'head')).toBe('– × 31');
  expect(answer({ ...pot, head_a_mm: 300, head_b_mm: 310 }, 'head')).toBe('30 × 31');
  expect(answer({ ...pot, head_a_mm: 300 }, 'head')).toBe('30');
  expect(answer(pot, 'head')).toBeUndefined();
});

test('bare tips and the scratch stand in the whole answer and in the list of pots', () => {
  const now = { ...pot, buds: 42, tips_bare: 6, root_cover: 3, scratch: 'soft' as const };
  expect(answerWhole(now, 'buds')).toBe('42 · 6 bare');
  expect(answerWhole(now, 'roots')).toBe('3 · – · soft');
  expect(answer(now, 'buds')).toBe('42');
  expect(summary(now)).toMatch(/42 · 6 bare.*3 · – · soft/);
  expect(answerWhole({ ...pot, tips_bare: 6 }, 'buds')).toBe('– · 6 bare');
});

test('how pale the leaves are stands in a word in the whole answer, and by its number where a tab has no room', () => {
  const now = { ...pot, chlorosis: 'young' as const, severity: 2 };
  expect(answerWhole(now, 'leaves')).toBe('young, medium');
  expect(answer(now, 'leaves')).toBe('young 2');
});
