import { afterEach, describe, expect, test } from 'vitest';
import { choose } from '../../../state';
import { units } from '../../../words';
import { lengthOf } from './Measure';

const metric = { length: 'cm', temperature: 'C', volume: 'L' } as const;

afterEach(() => {
  units.value = metric;
  choose({ caliper: 'mm' });
});

describe('a head size', () => {
  test.each([
    ['31', 'thumb', 310],
    ['31.5', 'thumb', 315],
    ['95', 'thumb', 950],
    ['312', 'thumb', 312],
    ['31', 'keyboard', 310],
    ['95', 'keyboard', 95],
    ['312.46', 'keyboard', 312],
    ['48.21', 'keyboard', 48],
    ['', 'thumb', undefined],
    ['3000', 'keyboard', undefined],
  ] as const)('of %s by %s, in centimetres with a caliper in millimetres, is %s mm', (text, by, mm) => {
    expect(lengthOf(text, by)).toBe(mm);
  });

  // There is no key for a point beside those for quarters: what was meant for 7.5 in must not become 75 mm without a word. As 75 in it is asked about.
  test.each([
    ['75', 1905],
    ['7', 178],
    ['99', undefined],
    ['191', 191],
  ] as const)('of %s by a thumb, in inches, is %s mm', (text, mm) => {
    units.value = { ...metric, length: 'in' };
    expect(lengthOf(text, 'thumb')).toBe(mm);
  });

  test.each([
    ['12.2950', 'cm', 312],
    ['12.2950', 'in', 312],
    ['12.5', 'in', 318],
  ] as const)('of %s by a caliper in inches, on a screen in %s, is %i mm', (text, length, mm) => {
    units.value = { ...metric, length };
    choose({ caliper: 'in' });
    expect(lengthOf(text, 'keyboard')).toBe(mm);
  });
});
