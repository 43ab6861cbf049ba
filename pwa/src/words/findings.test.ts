/** Sentences about what sync/bed found must hold for the pots that their numbers count. */
import { expect, test } from 'vitest';
import { findings as english } from './en/findings';
import { findings as spanish } from './es/findings';

const about = { lot: 'AZ-121', entryEnd: 'door', farEnd: 'fan', size: String };

// sync/bed counts x of n over the whole bed, and names a lot where that one alone of several shows the flag.
test.each(['rot', 'chlorosis', 'disease'] as const)('%s of one lot is not said to be among that lot’s pots', (code) => {
  const finding = { code, lot: 'l2', attention: true, numbers: { x: 1, n: 20, low: 0.01, high: 0.19 } };
  expect(english[code](finding, about)).toMatch(/ 1 of 20 pots( \(.*\))?, only in lot AZ-121\./);
  expect(spanish[code](finding, about)).toMatch(/ 1 de 20 macetas( \(.*\))?, solo en el lote AZ-121\./);
  expect(english[code](finding, { ...about, lot: '' })).not.toContain('lot');
});

// A bed may be walked from both sides: then none of them is away from an aisle.
test('what differs across a bed names its side as the crew calls it', () => {
  const finding = {
    code: 'flag_across',
    trait: 'rot',
    attention: true,
    end: 'far',
    numbers: { n: 30, there: 0.2, other: 0.05 },
  };
  const named = { ...about, nearSide: 'path side', farSide: 'wall side' };
  expect(english.flag_across(finding, named)).toContain('toward the wall side');
  expect(english.flag_across({ ...finding, end: 'near' }, about)).toContain('toward the near side');
  expect(spanish.flag_across(finding, { ...named, farSide: 'lado de la pared' })).toContain(
    'hacia el lado de la pared',
  );
  expect(spanish.flag_across({ ...finding, end: 'near' }, about)).toContain('hacia el lado cercano');
});
