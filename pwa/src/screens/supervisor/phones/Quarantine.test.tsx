/** By whom the notes that wait came, and why they wait. */
import { cleanup, render } from '@testing-library/preact';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { speak } from '../../../words';
import { phonesView } from '../sample-people.testing';
import * as sample from '../sample.testing';
import { Quarantine } from './Quarantine';

// The names of beds do not matter here.
beforeEach(() => vi.stubGlobal('fetch', () => new Promise(() => undefined)));
afterEach(async () => {
  cleanup();
  vi.unstubAllGlobals();
  await speak('en');
});

const [, review] = phonesView.quarantined;
const group = { up_to: 300, since: sample.now };
const groups = [
  { ...group, device: 'backd1', device_name: 'phone 1', way: 'returned', count: 2 },
  { ...group, device: 'file1', device_name: '', way: 'file', count: 3 },
];

function waits(code: 'no_receipt' | 'revoked'): string {
  const notes = [{ ...review!, faults: [{ field: 'entry', code, message: '' }] }];
  return render(<Quarantine notes={notes} byDevice={groups} />).container.textContent ?? '';
}

test.each([
  ['en', 'Returned by phone 1, notes held: 2', 'From a file, notes held: 3', 'Another phone returned it:'],
  [
    'es',
    'Devueltas por phone 1, notas retenidas: 2',
    'De un archivo, notas retenidas: 3',
    'La devolvió otro teléfono:',
  ],
] as const)('in %s the phone is named that returned notes of others', async (language, ...said) => {
  await speak(language);
  const text = waits('no_receipt');
  for (const words of said) expect(text).toContain(words);
});

test('only of a revoked device’s note it is said that it came from one', () => {
  expect(waits('revoked')).toContain('It came from a revoked device.');
  cleanup();
  expect(waits('no_receipt')).not.toContain('revoked device');
});
