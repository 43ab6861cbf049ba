import { afterEach, describe, expect, test, vi } from 'vitest';
import { speak, appWords } from '.';
import * as format from './format';
import { unitsOfDevice, varietyOf } from './variety';

afterEach(async () => {
  vi.restoreAllMocks();
  await speak('en');
});

const device = (...tags: string[]) => vi.spyOn(navigator, 'languages', 'get').mockReturnValue(tags);

test.each([
  ['es', ['es-ES', 'es'], 'es-ES'],
  ['es', ['en-US', 'es-MX'], 'es-MX'],
  ['es', ['es', 'es-CO'], 'es-CO'],
  ['es', ['es-419'], 'es-419'],
  ['es', ['en-US', 'en'], 'es-US'],
  ['es', ['ca-ES'], 'es-ES'],
  ['es', ['en-Latn-US'], 'es-US'],
  ['es', ['en-GB'], 'es-MX'],
  ['es', ['es'], 'es-MX'],
  ['es', ['en-u-ca-gregory'], 'es-MX'],
  ['es', [], 'es-MX'],
  ['en', ['en-GB', 'en'], 'en-GB'],
  ['en', ['es-US', 'es'], 'en-US'],
  ['en', ['es-MX'], 'en'],
] as const)('%s on a device that says %j is written as %s', (language, tags, variety) => {
  expect(varietyOf(language, tags)).toBe(variety);
});

// That Mexico and the United States write a decimal point in Spanish, and Spain a comma: Unicode CLDR, by way of Intl.
describe('Spanish', () => {
  test('on a phone in English writes a decimal point, and a comma between thousands', async () => {
    device('en-US', 'en');
    await speak('es');
    expect(format.number(41.73, 2)).toBe('41.73');
    expect(format.number(10_787)).toBe('10,787');
    expect(appWords.value.common.pots(10_787)).toBe('10,787 macetas');
  });

  test('on a phone from Spain writes a comma, in fixed sentences too', async () => {
    device('es-ES');
    await speak('es');
    expect(format.number(41.73, 2)).toBe('41,73');
    const { work } = await import('./es/work');
    expect(work.hint.ph()).toContain('de 4,5 a 5,5');
    expect(work.mix.problems.density()).toContain('0,5');
  });
});

// Unicode CLDR, by way of Intl, writes both: "Nov 28" and "2:12 PM" in en-US, "28 Nov" and "14:12" in en-IE.
describe('the region decides spelling, dates and times together', () => {
  const now = new Date(2026, 10, 28, 18).getTime();
  const then = new Date(2026, 10, 27, 14, 12).getTime();

  test.each([
    ['en-US', 'color', 'liters', /^Nov 27, 2:12\sPM$/],
    ['en', 'color', 'liters', /^Nov 27, 2:12\sPM$/],
    ['en-IE', 'colour', 'litres', /^27 Nov, 14:12$/],
    ['en-GB', 'colour', 'litres', /^27 Nov, 14:12$/],
  ])('%s', async (tag, color, liters, written) => {
    device(tag);
    vi.resetModules();
    const [{ walk }, { setup }] = [await import('./en/walk'), await import('./en/setup')];
    expect(walk.budStates.colour).toBe(`showing ${color}`);
    expect(setup.settings.volumes.L).toBe(liters);
    expect(format.dateTime(then, now)).toMatch(written);
  });

  test('a year that is not this one is written', () => {
    device('en-US');
    expect(format.dateTime(new Date(2025, 10, 27, 14, 12).getTime(), now)).toMatch(/^Nov 27, 2025, 2:12\sPM$/);
  });
});

describe('who has chosen no units has those of the region', () => {
  test.each([
    [['en-US'], 'in', 'F', 'gal'],
    [['es-US', 'en-GB'], 'in', 'F', 'gal'],
    [['es', 'es-PR'], 'in', 'F', 'gal'],
    [['en-Latn-US'], 'in', 'F', 'gal'],
    [['es-MX', 'en-US'], 'cm', 'C', 'L'],
    [['en-GB'], 'cm', 'C', 'L'],
    [['en'], 'cm', 'C', 'L'],
    [[], 'cm', 'C', 'L'],
  ] as const)('%s', (tags, length, temperature, volume) => {
    expect(unitsOfDevice(tags)).toEqual({ length, temperature, volume });
  });
});
