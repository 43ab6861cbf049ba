/**
 * Plants are conserved by the forms that make new lots of them: several liners to a pot, and cuttings of stock plants. And a product is noted of
 * the lots that it was put on.
 */
import { cleanup, fireEvent, render, screen, waitFor } from '@testing-library/preact';
import 'fake-indexeddb/auto';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { Leg } from '../../../../schema/types';
import type { Intent } from '../../journal/store/shape';
import { go } from '../../router';
import { speak } from '../../words';
import { Applied } from './forms/Applied';
import { Cuttings } from './forms/Cuttings';
import { StepUp } from './forms/StepUp';

const { save } = vi.hoisted(() => ({ save: vi.fn() }));
vi.mock('../../journal/outbox/write', async (actual) => ({ ...(await actual<object>()), save }));
vi.mock('../../journal/inbox/arriving', async (actual) => ({
  ...(await actual<object>()),
  firstReading: { value: undefined },
}));
vi.mock('../../journal/records/registers', async (actual) => ({
  ...(await actual<object>()),
  lots: {
    value: new Map([
      ['l1', { id: 'l1', tag: 'AZ-118', crop: 'azalea', cultivar: 'Fen Lantern', struck_on: '2026-01-10' }],
      ['l3', { id: 'l3', tag: 'AZ-301', cultivar: 'Fen Lantern' }],
      ['l4', { id: 'l4', tag: 'AZ-302', cultivar: 'Fen Lantern' }],
      ['l2', { id: 'l2', tag: 'AZ-040', crop: 'azalea', cultivar: 'Fen Lantern', stock: true }],
    ]),
  },
  beds: { value: new Map([['b1', { id: 'b1', name: 'E1', rows: 20 }]]) },
  spans: {
    value: new Map([
      ['s1', { id: 's1', lot: 'l3', bed: 'b1', from_row: 1, to_row: 10 }],
      ['s2', { id: 's2', lot: 'l4', bed: 'b1', from_row: 11, to_row: 20 }],
    ]),
  },
  stock: {
    value: new Map([
      ['l1', { pots: 600, by_span: { '': 600 }, lines: [] }],
      ['l2', { pots: 40, by_span: { '': 40 }, lines: [] }],
    ]),
  },
}));

beforeEach(async () => {
  await speak('en');
  save.mockReset().mockImplementation(async (notes: Intent[]) => notes.map((each) => ({ entry: { ...each } })));
});
afterEach(() => {
  cleanup();
  go('/', { instead: true });
});

const type = (label: string, text: string) =>
  fireEvent.input(screen.getByLabelText(label, { selector: 'input' }), { target: { value: text } });

async function saved(): Promise<Intent[]> {
  fireEvent.click(screen.getByText('Save'));
  await waitFor(() => expect(save).toHaveBeenCalledTimes(1));
  return save.mock.calls[0]?.[0] as Intent[];
}

const bodyOf = (notes: Intent[], kind: string) => notes.find((note) => note.kind === kind)?.body as object;

async function stepUp(pots: string, each: string): Promise<void> {
  go('/work/step?lot=l1');
  render(<StepUp place={{ lot: 'l1', bed: '' }} />);
  await screen.findByText('Save');
  type('How many pots', pots);
  type('Plants in each new pot', each);
  type('New tag code', 'AZ-119');
  type('New pot size', '13');
  fireEvent.click(screen.getAllByLabelText(/no bed/i).at(-1) as HTMLElement);
}

test('600 liners, three to a pot, are 200 pots of three: plants are conserved, pots are not', async () => {
  await stepUp('600', '3');
  await screen.findByText('600 plants make 200 pots of 3.');
  const notes = await saved();
  const { legs } = bodyOf(notes, 'move') as { legs: Leg[] };
  expect(legs.map(({ change, plants_each: each }) => [change, each])).toEqual([
    [-600, undefined],
    [200, 3],
  ]);
  expect(bodyOf(notes, 'lot')).toMatchObject({ parent: 'l1', plants_each: 3 });
});

test('one liner to a pot is written as before there were several', async () => {
  await stepUp('200', '1');
  const notes = await saved();
  expect(JSON.stringify(notes)).not.toContain('plants_each');
  expect(bodyOf(notes, 'move')).toMatchObject({ legs: [{ change: -200 }, { change: 200 }] });
});

test('of four liners, three to a pot, one is left over: the form says so, with what would leave none, and saves nothing', async () => {
  await stepUp('4', '3');
  fireEvent.click(screen.getByText('Save'));
  const said = await screen.findAllByText(
    /4 plants, 3 to a pot: 1 left over. Enter 3 or 6 pots, or another number of plants in a pot./,
  );
  expect(said.length).toBeGreaterThan(0);
  expect(save).not.toHaveBeenCalled();
});

test('cuttings leave the plants that they came from on record, and are counted in by what was stuck', async () => {
  go('/work/cuttings?lot=l2');
  render(<Cuttings place={{ lot: 'l2', bed: '' }} />);
  await screen.findByText('Save');
  type('Cuttings taken', '620');
  type('Of these thrown out, not stuck', '620');
  await screen.findByText(/Thrown out: all 620 that were taken/);
  type('Of these thrown out, not stuck', '20');
  await screen.findByText('600 cuttings stuck as the new lot.');
  type('New tag code', 'AZ-120');
  fireEvent.click(screen.getAllByLabelText(/no bed/i).at(-1) as HTMLElement);
  const notes = await saved();
  expect(notes.map(({ kind }) => kind)).toEqual(['lot', 'event', 'count']);
  const made = (bodyOf(notes, 'lot') as { of: string }).of;
  expect(bodyOf(notes, 'lot')).toMatchObject({ mother: 'l2', crop: 'azalea', cultivar: 'Fen Lantern' });
  expect(bodyOf(notes, 'event')).toMatchObject({ lot: 'l2', what: 'cuttings_taken', cuttings: 620, to: made });
  expect(bodyOf(notes, 'count')).toEqual({ lot: made, change: 600, reason: 'struck' });
});

async function spray(lot: string): Promise<void> {
  go(`/work/application?bed=b1&lot=${lot}`);
  render(<Applied place={{ lot, bed: 'b1' }} />);
  await screen.findByText('Save');
  fireEvent.click(screen.getByLabelText('growth regulator'));
  type('Active ingredient, as on the label', 'daminozide');
  type('Restricted-entry interval (REI) on the label, in hours', '24');
  fireEvent.input(screen.getByLabelText('Time'), { target: { value: '00:00' } });
}

test('a product is put on every lot of its beds until a mark is cleared, and on none it is not saved', async () => {
  await spray('');
  const mark = (name: string) => screen.getByLabelText<HTMLInputElement>(name);
  expect([mark('AZ-301 Fen Lantern').checked, mark('AZ-302 Fen Lantern').checked]).toEqual([true, true]);
  fireEvent.click(mark('AZ-302 Fen Lantern'));
  fireEvent.click(mark('AZ-301 Fen Lantern'));
  await screen.findByText(/No lot is marked/);
  fireEvent.click(screen.getByText('Save'));
  expect(save).not.toHaveBeenCalled();
  fireEvent.click(mark('AZ-301 Fen Lantern'));
  fireEvent.input(screen.getByLabelText(/When did it begin/), { target: { value: '22:30' } });
  await screen.findByText(/counts as the evening before/);
  const body = bodyOf(await saved(), 'application') as { ended_at: number; started_at: number };
  expect(body).toMatchObject({ beds: ['b1'], lots: ['l3'] });
  expect(body.ended_at - body.started_at).toBe(90 * 60_000);
});

test('opened for one lot, the others of its beds are not marked', async () => {
  await spray('l4');
  const marks = screen
    .getAllByLabelText<HTMLInputElement>(/Fen Lantern/)
    .filter(({ type: kind }) => kind === 'checkbox');
  expect(marks.map(({ checked }) => checked)).toEqual([false, true]);
  expect(bodyOf(await saved(), 'application')).toMatchObject({ lot: 'l4', lots: ['l4'] });
});
