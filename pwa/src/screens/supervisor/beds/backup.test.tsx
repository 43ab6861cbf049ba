/** "Back up now" in the list of what needs a supervisor. */
import 'fake-indexeddb/auto';
import { cleanup, fireEvent, render, screen, waitFor } from '@testing-library/preact';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import type { AttentionItem } from '../../../../../schema/types';
import { json } from '../../../journal/answers.testing';
import { speak } from '../../../words';
import { attentionView } from '../sample-attention.testing';
import { NeedsYou } from './NeedsYou';

const sent: string[] = [];
const item = {
  id: 'm1',
  code: 'backup',
  beds: [],
  found_at: 0,
  since: 0,
  count: 3,
  extent: 3,
  least: 3,
  can_settle: false,
} as AttentionItem;

beforeEach(async () => {
  await speak('en');
  sent.length = 0;
  vi.stubGlobal('fetch', async (path: string, init?: RequestInit) => {
    if (init?.method === 'POST') sent.push(path);
    return json(
      path === '/api/backup'
        ? { name: 'bedwalk-20261129.db', position: 3, bytes: 1000 }
        : { ...attentionView, items: [] },
    );
  });
});

afterEach(() => {
  cleanup();
  vi.unstubAllGlobals();
});

function lists(items: readonly AttentionItem[]): void {
  const view = { ...attentionView, items: [...items], away: [] };
  render(<NeedsYou view={view} items={items} beds={new Map()} all={false} toAll="/beds" onPutAway={() => undefined} />);
}

describe('a missing backup', () => {
  test('is made by one tap where the server knows a place for it', async () => {
    lists([{ ...item, can_back_up: true }]);
    expect(document.body.textContent).not.toContain('--backup-to');
    fireEvent.click(screen.getByRole('button', { name: 'Back up now' }));
    await waitFor(() => expect(sent).toEqual(['/api/backup']));
  });

  test('says how where the server knows no place', () => {
    lists([item]);
    expect(document.body.textContent).toContain('bedwalk serve --backup-to FOLDER');
    expect(screen.queryByRole('button', { name: 'Back up now' })).toBeNull();
  });

  test('is not asked for where the list says when the last one was made, and what it lacks', () => {
    lists([]);
    expect(document.body.textContent).toMatch(/The last backup was made .*\. 3 notes have come since\./);
    expect(screen.queryByRole('button', { name: 'Back up now' })).toBeNull();
  });
});
