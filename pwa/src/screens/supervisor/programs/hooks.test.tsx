/** What an owner is asked before a webhook is removed or gets a new secret. */
import { cleanup, fireEvent, render, screen, waitFor, within } from '@testing-library/preact';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import type { Hook, Hooks as HookList } from '../../../../../schema/types';
import { json } from '../../../journal/answers.testing';
import { speak } from '../../../words';
import { me } from '../../../state';
import { Hooks } from './Hooks';
import Programs from './Programs';

const hook: Hook = {
  id: 'h1',
  name: 'Order system',
  url: 'https://office.example/bedwalk',
  events: ['walk.ended'],
  state: 'on',
  why: '',
  made_by_name: 'Orla Venn',
  made_at: 0,
  changed_at: 0,
  failing_since: 0,
  old_until: 0,
  waiting: 0,
  tries: [],
};

beforeEach(async () => {
  await speak('en');
  vi.stubGlobal('fetch', async (_: string, init?: RequestInit) => {
    if (init?.method === 'POST') throw new TypeError('no network');
    return json({ hooks: [hook], events: ['walk.ended'] } satisfies HookList);
  });
});

afterEach(() => {
  cleanup();
  vi.unstubAllGlobals();
});

describe('what cannot be done', () => {
  test.each([
    ['Remove: Order system', 'Remove it'],
    ['New secret: Order system', 'Make it'],
  ])('is said where it was confirmed: %s', async (opens, yes) => {
    render(<Hooks />);
    fireEvent.click(await screen.findByRole('button', { name: opens }));
    const dialog = within(await screen.findByRole('dialog'));
    fireEvent.click(dialog.getByRole('button', { name: yes }));
    expect((await dialog.findByRole('alert')).textContent).not.toBe('');
  });
});

test('what is done closes its question, however long the list takes to be read again', async () => {
  const remove = vi.fn();
  render(<Hooks />);
  fireEvent.click(await screen.findByRole('button', { name: 'Remove: Order system' }));
  vi.stubGlobal('fetch', async (_: string, init?: RequestInit) => {
    if (init?.method !== 'POST') return new Promise(() => {});
    remove();
    return json({});
  });
  const dialog = within(await screen.findByRole('dialog'));
  fireEvent.click(dialog.getByRole('button', { name: 'Remove it' }));
  await waitFor(() => expect(screen.queryByRole('dialog')).toBeNull());
  expect(remove).toHaveBeenCalledOnce();
});

test.each([
  ['supervisor', true],
  ['owner', false],
] as const)('a %s who looks for webhooks learns that an owner adds them: %s', async (role, isSaid) => {
  me.value = { role, site_name: 'Quillfen' } as NonNullable<typeof me.value>;
  vi.stubGlobal('fetch', async (path: string) =>
    json(path === '/api/keys' ? { keys: [], tables: ['beds'] } : { hooks: [], events: ['walk.ended'] }),
  );
  render(<Programs />);
  await screen.findByRole('heading', { name: 'Messages to other programs' });
  expect(screen.queryByText(/An owner adds them here\.$/) !== null).toBe(isSaid);
  me.value = undefined;
});
