/** With the keyboard alone, whoever brings something settled back is not left nowhere. */
import 'fake-indexeddb/auto';
import { cleanup, render, screen, waitFor } from '@testing-library/preact';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { speak } from '../../../words';
import { attentionView } from '../sample-attention.testing';
import { NeedsYou } from './NeedsYou';

vi.mock('./putAway', async (load) => ({ ...(await load<object>()), bringBack: async () => true }));

beforeEach(() => speak('en'));
afterEach(cleanup);

test('what is brought back leaves the focus on the next row, and the last one on the title of the page', async () => {
  const away = ['a', 'b', 'c'].map((id) => ({ ...attentionView.items[0]!, id, can_settle: true }));
  const view = { ...attentionView, items: [], away };
  render(
    <main>
      <h1 tabIndex={-1}>Beds</h1>
      <NeedsYou view={view} items={[]} beds={new Map()} all={false} toAll="/beds" onPutAway={() => undefined} />
    </main>,
  );
  screen.getByRole('button', { name: 'show' }).click();
  const rows = () => screen.queryAllByRole('button', { name: 'Bring back' });
  await waitFor(() => expect(rows()).toHaveLength(3));
  const [, second, third] = rows();
  second!.focus();
  second!.click();
  await waitFor(() => expect(rows()).toHaveLength(2));
  await waitFor(() => expect(document.activeElement).toBe(third));
  third!.click();
  await waitFor(() => expect(rows()).toHaveLength(1));
  await waitFor(() => expect(document.activeElement).toBe(rows()[0]));
  rows()[0]!.click();
  await waitFor(() => expect(rows()).toHaveLength(0));
  await waitFor(() => expect(document.activeElement?.textContent).toBe('Beds'));
});
