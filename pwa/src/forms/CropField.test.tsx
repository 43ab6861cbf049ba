import { cleanup, fireEvent, render, screen } from '@testing-library/preact';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { speak } from '../words';
import { CropField, knownCrops } from './CropField';

const registers = vi.hoisted(() => ({ lots: { value: new Map() }, profiles: { value: new Map() } }));
vi.mock('../journal/records/registers', () => registers);

const lot = (id: string, crop: string) => registers.lots.value.set(id, { id, crop });

beforeEach(() => {
  registers.lots.value = new Map();
  registers.profiles.value = new Map();
});
afterEach(async () => {
  cleanup();
  await speak('en');
});

test('lists each crop once, most used first, whatever its spelling', () => {
  lot('1', 'hydrangea');
  lot('2', 'azalea');
  lot('3', 'azalea');
  lot('4', 'Azálea');
  registers.profiles.value.set('p', { id: 'p', crop: 'camellia' });
  expect(knownCrops()).toEqual(['azalea', 'hydrangea', 'camellia']);
});

test.each([
  ['en', 'Another crop'],
  ['es', 'Otro cultivo'],
] as const)('a known crop is one tap, and another can be typed, in %s', async (language, other) => {
  await speak(language);
  lot('1', 'azalea');
  const typed: string[] = [];
  const at = (value: string) => (
    <CropField label="Crop" typed={value} answer={{}} tried={false} onType={(text) => typed.push(text)} />
  );
  const { rerender } = render(at(''));
  fireEvent.click(screen.getByRole('radio', { name: 'azalea' }));
  expect(typed).toEqual(['azalea']);
  expect(screen.queryByRole('textbox')).toBe(null);
  fireEvent.click(screen.getByRole('radio', { name: other }));
  rerender(at(''));
  fireEvent.input(screen.getByRole('textbox'), { target: { value: 'camellia' } });
  expect(typed).toEqual(['azalea', '', 'camellia']);
});

test('a nursery without a crop types its first, and a lot’s own spelling is shown as it is', () => {
  const { rerender } = render(<CropField label="Crop" typed="" answer={{}} tried={false} onType={() => undefined} />);
  expect(screen.getByRole('textbox', { name: 'Crop' })).toBeDefined();
  lot('1', 'azalea');
  rerender(<CropField label="Crop" typed="Azálea" answer={{}} tried={false} onType={() => undefined} />);
  expect(screen.getByRole<HTMLInputElement>('textbox').value).toBe('Azálea');
});
