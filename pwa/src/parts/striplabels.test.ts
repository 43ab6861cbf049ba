/** The names under a bed's strip, as boxes: none may stand on another, whatever lots a bed has. */
import { array, assert, constantFrom, nat, property, record, string } from 'fast-check';
import { expect, test } from 'vitest';
import { labelsOf, type Label } from './striplabels';

const LETTER = 7.2;
const lot = (label: string, start: number, end: number) => ({ key: `${label} ${start}`, label, start, end });

/** Labels of one line of which one begins before the other ends. */
function overprints(labels: readonly Label[]): string[] {
  return labels.flatMap((one) =>
    labels
      .filter((other) => other !== one && other.line === one.line && other.x >= one.x)
      .filter((other) => other.x < one.x + one.text.length * LETTER)
      .map((other) => `${other.text} stands on ${one.text}`),
  );
}

test('a short lot that stands within a long one has its name on the second line, whole', () => {
  const lots = [lot('AZ-101 Ember Lace', 1, 357), lot('AZ-102 Mothwick', 60, 90)];
  const labels = labelsOf(lots, { entry: 'door', far: 'fan' }, 358, LETTER);
  expect(labels.map(({ text, line }) => [text, line])).toEqual([
    ['door · AZ-101 Ember Lace', 0],
    ['AZ-102 Mothwick', 1],
  ]);
});

test('the entry end is named where it is, not where the first lot begins', () => {
  const labels = labelsOf([lot('AZ-101 Ember Lace', 120, 357)], { entry: 'door', far: '' }, 358, LETTER);
  expect(labels.map(({ text, x }) => [text, x])).toEqual([
    ['door', 4],
    ['AZ-101 Ember Lace', 123],
  ]);
});

test('a name is cut at the end of its lot', () => {
  const lots = [lot('0412 Corvane', 1, 60), lot('0417 Ember Lace', 60, 357)];
  const [first] = labelsOf(lots, { entry: '', far: '' }, 358, LETTER);
  expect(first?.text).toBe('0412 C…');
});

test('no name stands on another or on the far end, however lots overlap', () => {
  const lots = array(record({ label: string({ minLength: 4, maxLength: 24 }), a: nat(356), b: nat(356) }), {
    minLength: 1,
    maxLength: 8,
  });
  assert(
    property(lots, constantFrom('', 'fan', 'cooling wall'), (all, far) => {
      const named = all.map(({ label, a, b }, i) => ({
        key: String(i),
        label,
        start: 1 + Math.min(a, b),
        end: 1 + Math.max(a, b),
      }));
      const labels = labelsOf(named, { entry: 'door', far }, 358, LETTER);
      expect(overprints(labels)).toEqual([]);
      const farFrom = far ? 358 - 3 - far.length * LETTER : 358;
      for (const { line, x, text } of labels) {
        expect(x + text.length * LETTER).toBeLessThanOrEqual(line === 0 ? farFrom : 358);
      }
    }),
  );
});
