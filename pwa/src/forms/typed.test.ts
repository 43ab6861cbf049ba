import { readFileSync } from 'node:fs';
import { afterEach, describe, expect, test, vi } from 'vitest';
import { speak, units } from '../words';
import { dayTyped, NOT_KNOWN, yesterday } from './days';
import { momentOf } from '../words/zone';
import { amount, plainNumber, potsTyped, TAG, tagTyped, withSign, wordsTyped, type Measure } from './typed';

afterEach(async () => {
  vi.restoreAllMocks();
  units.value = { length: 'cm', temperature: 'C', volume: 'L' };
  await speak('en');
});

const pot = (text: string) =>
  amount(text, { kind: 'lot', field: 'pot_mm', name: 'Pot size', measure: 'length', must: true });
const reading = (text: string, field: string, measure: Measure) =>
  amount(text, { kind: 'reading', field, name: 'It', measure });

describe('a typed number becomes the whole number that is written down', () => {
  // Worked by hand: 1 in = 25.4 mm; C = (F - 32) / 1.8.
  test.each<[string, string, Measure, number]>([
    ['5.24', 'ph_c', 'ph', 524],
    ['5,2', 'ph_c', 'ph', 520],
    ['5.245', 'ph_c', 'ph', 525],
    ['1.15', 'ec_us_cm', 'ec_ms', 1150],
    ['1150', 'ec_us_cm', 'ec_us', 1150],
    ['19.5', 'medium_dc', 'temperature', 195],
    ['-3', 'temp_dc', 'temperature', -30],
    ['74.5', 'humid_bp', 'humidity', 7450],
    ['320', 'light_umol', 'light', 320],
  ])('%s as %s by %s is %i', (text, field, measure, kept) => {
    expect(reading(text, field, measure)).toEqual({ value: kept });
  });

  test('a pot of 6.5 in is 165 mm, and 68 °F are 20.0 °C', () => {
    units.value = { length: 'in', temperature: 'F', volume: 'gal' };
    expect(pot('6.5')).toEqual({ value: 165 });
    expect(reading('68', 'medium_dc', 'temperature')).toEqual({ value: 200 });
  });
});

describe('what is typed beyond a limit is named with its limit and what to do', () => {
  test('a pot of 65 cm', () => {
    expect(pot('65').problem).toBe('Pot size: 65 is not between 3 and 60\u202fcm. Check the number and its unit.');
  });

  test('the same in Spanish, and in inches', async () => {
    await speak('es');
    units.value = { length: 'in', temperature: 'F', volume: 'gal' };
    expect(pot('65').problem).toContain('65 no está entre 1');
    expect(pot('65').problem).toContain('pulg');
  });

  test('pH 52 and 100 °C', () => {
    expect(reading('52', 'ph_c', 'ph').problem).toContain('between 0 and 14');
    expect(reading('100', 'temp_dc', 'temperature').problem).toContain('between -40 and 70');
  });

  test('letters, two marks, half a pot, no pot', () => {
    expect(pot('twelve').problem).toContain('only digits');
    expect(pot('1.2.3').problem).toContain('only digits');
    expect(potsTyped('3.5', 'Pots').problem).toContain('enter a whole number');
    expect(potsTyped('0', 'Pots').problem).toContain('above 0');
    expect(potsTyped('', 'Pots').problem).toContain('missing');
    expect(potsTyped('99999999999', 'Pots').problem).toContain('1,000,000');
  });

  test('an odd value inside the limits is taken as it is', () => {
    expect(reading('9.1', 'ph_c', 'ph')).toEqual({ value: 910 });
    expect(pot('3')).toEqual({ value: 30 });
  });

  test('nothing typed where nothing must be is no value, and no 0', () => {
    expect(reading(' ', 'ph_c', 'ph')).toEqual({});
    expect(potsTyped('', 'Pots', false)).toEqual({});
    expect(wordsTyped('  ', 'note', 'words', 'Words')).toEqual({});
  });
});

describe('a thousands mark is never taken for a decimal mark', () => {
  test('where a point is the decimal mark', () => {
    expect(plainNumber('1,200', 'Strength').problem).toBe('Strength: 1,200 can be read two ways. Enter 1200 or 1.200.');
    expect(reading('1,150', 'ec_us_cm', 'ec_us').problem).toContain('Enter 1150 or 1.150');
    expect(reading('1.150', 'ec_us_cm', 'ec_ms')).toEqual({ value: 1150 });
  });

  test('where a comma is', async () => {
    vi.spyOn(navigator, 'languages', 'get').mockReturnValue(['es-ES']);
    await speak('es');
    expect(plainNumber('1.200', 'Concentración').problem).toContain('Escriba 1200, o 1,200');
    expect(plainNumber('1,200', 'Concentración')).toEqual({ value: 1.2 });
  });

  test.each(['1,2', '12,25', '0,125', '1,2000', '1234,567'])('%s has no other meaning and is read', (typed) => {
    expect(plainNumber(typed, 'It').value).toBe(Number(typed.replace(',', '.')));
  });

  test.each(['1,200', '1.200'])('%s pots are asked for without it, not without what follows', (typed) => {
    expect(potsTyped(typed, 'Pots').problem).toBe('Pots: no thousands separator, please. Enter 1200.');
  });
});

test('what is walked along is in metres, or in feet of 304.8 mm', () => {
  const bed = (text: string) => amount(text, { kind: 'bed', field: 'length_mm', name: 'Length', measure: 'ground' });
  expect(bed('29.58')).toEqual({ value: 29_580 });
  expect(bed('1,9')).toEqual({ value: 1900 });
  expect(withSign(29_580, 'ground')).toBe('29.58\u202fm');
  expect(withSign(20_000, 'ground')).toBe('20\u202fm');
  expect(bed('2958').problem).toMatch(/^Length/);
  units.value = { length: 'in', temperature: 'F', volume: 'gal' };
  expect(bed('100')).toEqual({ value: 30_480 });
  expect(bed('97.25')).toEqual({ value: 29_642 });
  expect(withSign(30_480, 'ground')).toBe('100\u202fft');
});

test('a value is written back as it would be typed', () => {
  expect(withSign(524, 'ph')).toBe('5.24');
  expect(withSign(520, 'ph')).toBe('5.2');
  expect(withSign(1150, 'ec_ms')).toBe('1.15\u202fmS/cm');
  expect(withSign(165, 'length')).toBe('16.5\u202fcm');
  expect(withSign(160, 'length')).toBe('16\u202fcm');
});

describe('tags', () => {
  test('the phone and the server take the same tags', () => {
    const schema = readFileSync('schema/definitions.json', 'utf8');
    expect(schema).toContain(JSON.stringify(TAG.source.replaceAll('\\/', '/')));
  });

  test.each([
    ['0412', '0412'],
    ['  AZ  101 ', 'AZ 101'],
    ['a_1/2-3.x', 'a_1/2-3.x'],
  ])('"%s" is kept as "%s"', (typed, kept) => expect(tagTyped(typed, 'Tag')).toEqual({ value: kept }));

  test.each(['', '   ', '-1', 'ñ1', 'x'.repeat(25)])('"%s" is refused with a reason', (typed) => {
    expect(tagTyped(typed, 'Tag').problem).toMatch(/^Tag/);
  });
});

describe('days', () => {
  const now = new Date(2026, 10, 25, 15).getTime();

  test('a day that nobody knows is left out, never guessed', () => {
    expect(dayTyped(NOT_KNOWN, 'Stuck on', now, true)).toEqual({});
    expect(dayTyped('', 'Stuck on', now, true).problem).toContain('not known');
    expect(dayTyped(NOT_KNOWN, 'Day', now).problem).toContain('missing');
  });

  test('a day to come or of long ago is asked about, and taken', () => {
    expect(dayTyped('2026-11-25', 'Day', now)).toEqual({ value: '2026-11-25' });
    expect(dayTyped('2026-11-26', 'Day', now)).toMatchObject({ value: '2026-11-26', hint: expect.any(String) });
    expect(dayTyped('2020-01-01', 'Day', now)).toMatchObject({ value: '2020-01-01', hint: expect.any(String) });
  });

  test('30 February is no day', () => expect(dayTyped('2026-02-30', 'Day', now).problem).toContain('no such day'));

  test('yesterday of the first of a month is the last of the one before', () => {
    expect(yesterday(new Date(2026, 2, 1, 0, 30).getTime())).toBe('2026-02-28');
  });

  test('a day and a time make a moment on this device', () => {
    expect(momentOf('2026-11-25', '17:20')).toBe(new Date(2026, 10, 25, 17, 20).getTime());
    expect(momentOf('2026-11-25', '')).toBeUndefined();
  });
});
