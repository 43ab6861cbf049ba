import { expect, test, vi } from 'vitest';
import { knownBeds } from './place';

vi.mock('../journal/records/registers', async (load) => ({
  ...(await load<object>()),
  beds: { value: new Map(['H10', 'H2', 'H1', 'H3'].map((name) => [name, { id: name, name }])) },
}));

test('a picker of beds begins with those that a form is about, and has the others by name', () => {
  const ids = (first?: string[]) => knownBeds(first).map(({ id }) => id);
  expect(ids()).toEqual(['H1', 'H2', 'H3', 'H10']);
  expect(ids(['H10', 'H3'])).toEqual(['H3', 'H10', 'H1', 'H2']);
  // A form that was opened for no bed.
  expect(ids([''])).toEqual(['H1', 'H2', 'H3', 'H10']);
});
