/** The page asks for what is still being computed until it has all of it. */
import { cleanup, render, screen } from '@testing-library/preact';
import 'fake-indexeddb/auto';
import { afterEach, expect, test, vi } from 'vitest';
import type { RightView } from '../../../../../schema/types';
import { json } from '../../../journal/answers.testing';
import { me } from '../../../state';
import { Right } from './Right';

afterEach(cleanup);

test('two answers with as much left to compute do not end the asking', async () => {
  const lot = {
    lot: 'd'.repeat(32),
    tag: 'AZ-1',
    crop: 'azalea',
    cultivar: 'Mothwick',
    pot_mm: 130,
    left_on: '2026-05-01',
    shipped: 10,
  };
  const view: RightView = {
    today: '2026-11-25',
    since: '2023-11-26',
    lots: [{ ...lot, said: [] }],
    waiting: 3,
    scores: [],
    tenths: [],
    least: 10,
    made_at: 1,
  };
  const left = [3, 3, 0];
  let asked = 0;
  vi.stubGlobal('fetch', () => Promise.resolve(json({ ...view, made_at: asked, waiting: left[asked++] ?? 0 })));
  me.value = { role: 'supervisor', person: 'a'.repeat(32), site_name: 'Quillfen' } as typeof me.value;
  render(<Right />);
  await screen.findByText(/3 answers of earlier days/);
  await vi.waitFor(() => expect(screen.queryByText(/answers of earlier days/)).toBeNull(), 20_000);
  expect(asked).toBeGreaterThanOrEqual(3);
});
