import 'fake-indexeddb/auto';
import { cleanup, fireEvent, render, screen } from '@testing-library/preact';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { StageTook } from '../../../../../schema/types';
import { speak } from '../../../words';
import { stagesOfCultivar } from './stages';
import { stageEdit } from './stageedit';
import { Took } from './Took';

const took: StageTook = {
  stage: 'bud_set',
  lots: [61, 66, 64, 70, 68].map((days, i) => ({ lot: String(i), tag: `T${i}`, days, ended: '2026-05-11' })),
  before: [63, 75, 88],
  from: 'start',
  standing: 'published',
  worth_lots: 4,
  use: [61, 70, 79],
};

beforeEach(() => speak('en'));
afterEach(cleanup);

test('What own lots took goes into the fields when somebody takes it, all three numbers at once, and never by itself', () => {
  const put = vi.fn();
  render(<Took took={took} stage="bud_set" edit={stageEdit(stagesOfCultivar('azalea'), new Map(), {}, put)} />);
  expect(screen.getByText('Its last 5 lots took 61, 66, 64, 70, and 68 days.')).toBeTruthy();
  expect(screen.getByText(/63, 75 and 88 days \(published\), which count as 4 lots/)).toBeTruthy();
  expect(put).not.toHaveBeenCalled();
  fireEvent.click(screen.getByRole('button', { name: 'Use 61, 70 and 79 days' }));
  expect(put.mock.calls).toEqual([
    ['bud_set', { 'bud_set.shortest_days': '61', 'bud_set.likely_days': '70', 'bud_set.longest_days': '79' }],
  ]);
});

test('What is in the fields already is not offered again', () => {
  const own = { bud_set: { shortest_days: 61, likely_days: 70, longest_days: 79 } };
  render(<Took took={took} stage="bud_set" edit={stageEdit(stagesOfCultivar('azalea'), new Map(), own, vi.fn())} />);
  expect(screen.queryByRole('button')).toBeNull();
});
