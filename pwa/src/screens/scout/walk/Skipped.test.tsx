/** Pots that were skipped stand in the list of the walk, each with the way back to it. */
import 'fake-indexeddb/auto';
import { cleanup, fireEvent, render, screen } from '@testing-library/preact';
import { afterEach, expect, test, vi } from 'vitest';
import { Toasts } from '../../../parts/Toast';
import type { Course, SkippedPlace } from './course';
import { Skipped } from './Skipped';

afterEach(cleanup);

const skips: SkippedPlace[] = [
  { id: 's1', place: { row: 41, across: 3 }, why: 'missing' },
  { id: 's2', place: { row: 46, across: 1 }, why: 'wet' },
];
const course = (skipped: SkippedPlace[]) => ({ skipped }) as unknown as Course;

test('each skipped pot has its row, why it was skipped, and a way back', () => {
  const back = vi.fn(async () => undefined);
  render(<Skipped course={course(skips)} onBack={back} />);
  expect(screen.getAllByRole('listitem').map((each) => each.textContent)).toEqual([
    'row 41 no pot thereCheck it now',
    'row 46 just wateredCheck it now',
  ]);
  fireEvent.click(screen.getAllByRole('button')[1]!);
  expect(back).toHaveBeenCalledWith(skips[1]);
});

test('a walk that takes no more pots lists them without a way back, and one without skips lists none', () => {
  render(<Skipped course={course(skips)} onBack={undefined} />);
  expect(screen.queryByRole('button')).toBeNull();
  cleanup();
  expect(render(<Skipped course={course([])} onBack={undefined} />).container.textContent).toBe('');
});

test('one that could not be taken back says so', async () => {
  const fails = () => Promise.reject(Object.assign(new Error('full'), { code: 'full' }));
  render(
    <>
      <Skipped course={course(skips)} onBack={fails} />
      <Toasts />
    </>,
  );
  fireEvent.click(screen.getAllByRole('button')[0]!);
  await vi.waitFor(() => expect(screen.getByRole('status').textContent).toMatch(/full/));
});
