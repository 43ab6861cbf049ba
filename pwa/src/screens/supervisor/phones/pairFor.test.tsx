/** A phone for somebody is paired from that person's own row: the form further down has the name and the role already. */
import { cleanup, fireEvent, render, screen } from '@testing-library/preact';
import 'fake-indexeddb/auto';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { go, route } from '../../../router';
import { me } from '../../../state';
import { speak } from '../../../words';
import { phonesView } from '../sample-people.testing';
import { People } from '../setup/People';
import { PairNew } from './PairNew';

vi.mock('../../../journal/records/registers', async (load) => ({
  ...(await load<object>()),
  people: {
    value: new Map([
      ['ivo', { id: 'ivo', name: 'Ivo Brack', role: 'scout' }],
      ['lia', { id: 'lia', name: 'Lia Sorn', role: 'supervisor' }],
      ['bo', { id: 'bo', name: 'Bo Hythe', role: 'owner' }],
      ['gone', { id: 'gone', name: 'Una Pell', role: 'scout', left: true }],
    ]),
  },
}));
const scrolled = vi.fn();

beforeEach(() => {
  Element.prototype.scrollIntoView = scrolled;
  scrolled.mockReset();
  me.value = { role: 'supervisor', person: 'lia', site_name: 'Quillfen' } as NonNullable<typeof me.value>;
  return speak('en');
});
afterEach(() => {
  cleanup();
  go('/', { instead: true });
});

test('each person who works here can be paired a phone from their row, an owner by an owner only', () => {
  render(<People />);
  const named = screen.getAllByRole('link', { name: /^Pair a phone for/ });
  expect(named.map((link) => link.getAttribute('aria-label'))).toEqual([
    'Pair a phone for Ivo Brack',
    'Pair a phone for Lia Sorn',
  ]);
  fireEvent.click(named[1]!);
  expect(`${route.value.path}?${route.value.query}`).toBe('/phones?pair=lia');
});

test.each([
  ['ivo', 'scout'],
  ['lia', 'supervisor'],
])('whoever comes from the row of %s finds name and role filled in, on the screen', (id, role) => {
  go(`/phones?pair=${id}`, { instead: true });
  render(<PairNew phones={phonesView.phones} />);
  expect(screen.getByLabelText<HTMLSelectElement>('Who').value).toBe(id);
  expect(screen.getByRole<HTMLInputElement>('radio', { name: new RegExp(`^${role}`) }).checked).toBe(true);
  expect(scrolled).toHaveBeenCalled();
});

test('an address that names nobody who can be paired here asks as for somebody new', () => {
  for (const id of ['bo2', 'gone']) {
    go(`/phones?pair=${id}`, { instead: true });
    render(<PairNew phones={[]} />);
    expect(screen.getByLabelText<HTMLSelectElement>('Who').value).toBe('');
    cleanup();
  }
});
