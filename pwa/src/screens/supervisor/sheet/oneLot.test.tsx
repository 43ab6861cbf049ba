/** "From a spreadsheet, or one by one", the first steps say: where a sheet is brought in, one lot can be added too. */
import { cleanup, fireEvent, render, screen } from '@testing-library/preact';
import 'fake-indexeddb/auto';
import { afterEach, expect, test, vi } from 'vitest';
import { addressOf } from '../../../forms/place';
import { me } from '../../../state';
import { speak } from '../../../words';
import SheetIn from './SheetIn';

// As on a device that has all records.
vi.mock('../../../views/views', async (load) => ({
  ...(await load<object>()),
  held: (view: unknown) => ({ view, at: 1, fresh: true, slow: false }),
}));

afterEach(() => {
  cleanup();
  me.value = undefined;
});

test.each([
  ['en', 'Or add one lot', /paste them here/],
  ['es', 'O agregar un solo lote', /pégu?e/i],
] as const)('in %s one lot is added without a sheet, until a sheet is on the screen', async (language, name, paste) => {
  await speak(language);
  me.value = { role: 'owner', site_name: 'Quillfen' } as NonNullable<typeof me.value>;
  render(<SheetIn />);
  const link = await screen.findByRole('link', { name });
  expect(link.getAttribute('href')).toBe(addressOf('lot', {}));
  const cells = screen.getByLabelText(paste);
  fireEvent.input(cells, { target: { value: 'house,bed\nHeron,H1' } });
  expect(screen.queryByRole('link', { name })).toBeNull();
  fireEvent.input(cells, { target: { value: '' } });
});
