import { afterEach, describe, expect, test, vi } from 'vitest';
import { speak, appWords } from '.';
import * as format from './format';
import { varietyOf } from './variety';

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
