/** Who reads the list of what needs a supervisor must not send a second person where one is going, nor wait for one who has been there. */
import { cleanup, fireEvent, render, waitFor } from '@testing-library/preact';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { speak } from '../../../words';
import { attentionView } from '../sample-attention.testing';
import { describe } from './attentionWords';
import { NeedsYou } from './NeedsYou';
import { OnTheWay } from './OnTheWay';

const errand = (fields: Record<string, unknown>) => ({
  of: 't1',
  fields: Object.fromEntries(Object.entries(fields).map(([name, value]) => [name, { value }])),
});
const kept = vi.hoisted(() => ({ tasks: new Map<string, unknown>(), saved: [] as unknown[] }));
vi.mock('../../../journal/records/tasks', async (load) => ({
  ...(await load<object>()),
  readTasks: async () => kept.tasks,
}));
vi.mock('../../../forms/saving', async (load) => ({
  ...(await load<object>()),
  saveForm: async (_: string, notes: readonly unknown[]) => kept.saved.push(...notes),
}));
vi.mock('../../../journal/records/registers', async (load) => ({
  ...(await load<object>()),
  people: { value: new Map([['p1', { id: 'p1', name: 'Wren Halloran' }]]) },
}));

beforeEach(() => speak('en'));
afterEach(cleanup);

const item = attentionView.items.find((one) => one.finding && one.beds[0])!;
const bed = item.beds[0]!.bed;

test.each([
  [{ person: 'p1', beds: [bed], due_on: '2026-11-30' }, true],
  [{ person: 'p1', beds: [bed] }, true],
  [{ person: 'p1', beds: ['another'], due_on: '2026-11-30' }, false],
  [{ beds: [bed], due_on: '2026-11-30' }, false],
  [{ person: 'p1', beds: [bed], cancelled: true }, false],
  [{ person: 'p1', beds: [bed], done_on: '2026-11-29' }, false],
])('of %j the row says who is going: %s', async (fields, isSaid) => {
  kept.tasks = new Map([['t1', errand(fields)]]);
  const { container } = render(
    <NeedsYou
      view={attentionView}
      items={[item]}
      beds={new Map()}
      all={false}
      toAll="/beds"
      onPutAway={() => undefined}
    />,
  );
  const line = 'Wren Halloran goes to this bed';
  if (isSaid) await waitFor(() => expect(container.textContent).toContain(line));
  await new Promise((done) => setTimeout(done));
  expect(container.textContent?.includes(line)).toBe(isSaid);
});

test('whoever is on the way can be called back at any time, not only while the toast of the sending stands', async () => {
  kept.tasks = new Map([['t1', errand({ person: 'p1', beds: [bed] })]]);
  const { findByRole } = render(<OnTheWay bed={bed} />);
  fireEvent.click(await findByRole('button', { name: 'Call Wren Halloran back' }));
  await waitFor(() => expect(kept.saved).toHaveLength(1));
  expect(kept.saved[0]).toMatchObject({ kind: 'task', body: { of: 't1', cancelled: true } });
});

test('a lot that makes its week one time in fifty is said to miss it in other words than one that may', () => {
  const late = { ...item, code: 'late', tag: 'AZ-160', week: '2026-W51', ready: '2027-01-18', days: 0 };
  const said = (chance: number) => describe({ ...late, chance }, undefined);
  expect(said(0.02).head).toMatch(/will almost certainly miss week 51/);
  expect(said(0.46).head).toMatch(/will probably miss week 51/);
  expect(said(0.46).rest).toMatch(/Likely ready .*18/);
});
