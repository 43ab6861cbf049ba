/** A lot of cuttings on its page: how many pots it makes, by what was written of its crop and counted of itself, and its line of days. */
import { cleanup, fireEvent, render, screen, within } from '@testing-library/preact';
import 'fake-indexeddb/auto';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { LotView, PlanStep, Profile, Share, SizedStage, StageYield } from '../../../../../schema/types';
import { writtenDiffer } from '../../../../../sync/crop/yields';
import { speak } from '../../../words';
import { cultivarsOf } from '../crops/crops';
import { readYields, throughStages } from '../crops/yields';
import * as sample from '../sample.testing';
import { Expected } from './Expected';
import { LifeLine } from './LifeLine';

const { profiles, cultivars } = vi.hoisted(() => ({ profiles: { value: new Map() }, cultivars: { value: new Map() } }));
vi.mock('../../../journal/records/registers', async (actual) => ({ ...(await actual<object>()), profiles, cultivars }));

// The shares of pots-expected-through-steps in fixtures/checks/plan/rooting.json; nobody wrote what growing out loses.
const yields: StageYield[] = [
  { stage: 'root', share_bp: 9000 },
  { stage: 'liner', share_bp: 9600 },
  { stage: 'small_pot', share_bp: 9700, plants_each: 3 },
  { stage: 'finished_pot', share_bp: 9500 },
];
const names = ['root', 'liner', 'small_pot', 'finished_pot', 'grow_out'];

beforeEach(async () => {
  await speak('en');
  const azalea: Partial<Profile> & { id: string } = { id: 'p', of: 'p', crop: 'azalea', yields };
  profiles.value = new Map([['p', azalea]]);
  cultivars.value = new Map([['c', { id: 'c', of_crop: 'azalea', name: 'Mothwick', root_share_bp: 9300 }]]);
});
afterEach(() => {
  cleanup();
  vi.restoreAllMocks();
});

function lotOf(done: number, changes: Partial<LotView> = {}): LotView {
  const steps = names.map((stage, i) => ({ ...sample.lotView.plan.steps[0], stage, done: i < done }) as PlanStep);
  return {
    ...sample.lotView,
    plan: { ...sample.lotView.plan, problem: '', steps },
    lot: { ...sample.lotView.lot, crop: 'azalea', cultivar: 'Mothwick', pots: 3600, plants_each: 1 },
    ...changes,
  };
}

const left = () =>
  screen
    .queryAllByRole('row')
    .slice(1)
    .map((row) => row.children[3]?.textContent);

test('cuttings are followed through the stages, three liners to a pot, by the share of their cultivar', () => {
  render(<Expected view={lotOf(0)} />);
  expect(left()).toEqual(['3,348', '3,214', '1,039', '987', '987']);
  const [, low = '', high = ''] =
    /make about 987 pots that are ready: (\d+) to ([\d,]+) in nine lots of ten/.exec(document.body.textContent) ?? [];
  expect(Number(low)).toBeLessThan(960);
  expect(Number(high.replace(',', ''))).toBeGreaterThan(1010);
  screen.getByText(/counted as if none were lost: growing out\./);
});

test('a count of their rooting goes before what was written', () => {
  const share: Share = { x: 60, n: 80, value: 0.75, known: true, interval: { low: 0.6, high: 0.8, known: true } };
  const { rooting } = sample.lotView;
  const counted = { trays: [], season: { lots: 1, share }, cultivar: { lots: 1, share }, ...rooting };
  render(
    <Expected
      view={lotOf(0, {
        rooting: { on: '2026-11-02', year: 2026, stuck: 3600, expected: 0, low: 0, high: 0, ...counted, share },
      })}
    />,
  );
  expect(left()[0]).toBe('2,700');
  screen.getByText(/Rooting: as counted in this lot, on 80 cuttings\./);
});

test('a cultivar of which only the share that roots is set does not follow its crop in everything', () => {
  expect(cultivarsOf('azalea')).toMatchObject([{ name: 'Mothwick', own: 1 }]);
});

test('what a pot size has of its own is counted when the lot is to go into such pots', () => {
  const sizes: SizedStage[] = [
    { stage: 'small_pot', pot_mm: 90, plants_each: 1 },
    { stage: 'small_pot', pot_mm: 130, share_bp: 5000 },
    { stage: 'finished_pot', pot_mm: 165, pots_m2_c: 1600 },
  ];
  profiles.value = new Map([['p', { id: 'p', of: 'p', crop: 'azalea', yields, sizes }]]);
  render(<Expected view={lotOf(0)} />);
  const size = screen.getByRole('combobox', { name: 'If they go into pots of' });
  expect(within(size).getAllByRole('option')).toHaveLength(3);
  expect(left()[2]).toBe('1,039');
  fireEvent.change(size, { target: { value: '90' } });
  expect(left()[2]).toBe('3,118');
  fireEvent.change(size, { target: { value: '130' } });
  expect(left()[2]).toBe('536');
});

test('nothing is said of a lot in its last pots, nor where nobody wrote a share', () => {
  const { container, rerender } = render(<Expected view={lotOf(3)} />);
  expect(container.textContent).toBe('');
  profiles.value = new Map();
  cultivars.value = new Map();
  rerender(<Expected view={lotOf(0)} />);
  expect(container.textContent).toBe('');
});

test('plants that stand in their pots already are not put together again', () => {
  expect(throughStages(['small_pot', 'finished_pot'], yields, undefined, 'small_pot')).toEqual([
    { stage: 'small_pot', share: 0.97, differ: writtenDiffer(0.97), isWritten: true, plantsEach: undefined },
    { stage: 'finished_pot', share: 0.95, differ: writtenDiffer(0.95), isWritten: true, plantsEach: undefined },
  ]);
});

test('what is typed is read stage by stage, and what the crop has of other stages is kept', () => {
  const typed = new Map([
    ['yields.root.share_bp', '85'],
    ['yields.small_pot.plants_each', '2'],
    ['yields.liner.share_bp', ''],
  ]);
  const read = readYields(typed, yields, ['root', 'liner', 'small_pot']);
  expect(read.isChanged).toBe(true);
  expect(read.yields).toEqual([
    { stage: 'root', share_bp: 8500 },
    { stage: 'small_pot', share_bp: 9700, plants_each: 2 },
    { stage: 'finished_pot', share_bp: 9500 },
  ]);
  expect(readYields(new Map(), yields, ['root', 'liner', 'small_pot', 'finished_pot']).isChanged).toBe(false);
  const wrong = readYields(new Map([['yields.root.share_bp', '101']]), yields, ['root']);
  expect(wrong.answers.get('yields.root.share_bp')?.problem).toContain('100');
  expect(wrong.isChanged).toBe(true);
});

// A phone is narrower than some words are long: those stand across their line and begin at the edge, and are not cut off there.
test('no words of the life line begin outside the drawing', () => {
  vi.spyOn(Element.prototype, 'getBoundingClientRect').mockReturnValue({ width: 300 } as DOMRect);
  const on = ['2026-01-05', '2026-06-10', '2026-07-20', '2026-09-28'];
  const facts = on.map((each, i) => ({
    fact: { kind: 'event', id: String(i), body: { lot: 'l', what: 'bypass_pulled', on: each } },
  })) as never;
  const view = { ...sample.lotView, today: '2026-11-30', made_at: Date.UTC(2026, 10, 30), facts };
  const { container } = render(<LifeLine view={view} />);
  const width = Number(container.querySelector('.lifeline svg')?.getAttribute('width'));
  const titles = [...container.querySelectorAll('.step .title')];
  expect(titles.length).toBeGreaterThan(3);
  for (const title of titles) {
    const [at, long] = [Number(title.getAttribute('x')), (title.textContent ?? '').length * 10.5];
    const [left, right] = title.getAttribute('text-anchor') === 'end' ? [at - long, at] : [at, at + long];
    expect(left).toBeGreaterThanOrEqual(0);
    if (long < width) expect(right).toBeLessThanOrEqual(width);
  }
});

// At one in the morning it is before the noon by which a day is drawn.
test('cuttings that were stuck today are not drawn as still to come', () => {
  const lot = { ...sample.lotView.lot, struck_on: '2026-11-30', potted_on: '', ship_week: '' };
  const view = { ...sample.lotView, today: '2026-11-30', made_at: Date.UTC(2026, 10, 30, 1), facts: [], lot };
  const { container, rerender } = render(<LifeLine view={view} />);
  expect(container.querySelectorAll('.step:not(.later)')).toHaveLength(1);
  rerender(<LifeLine view={{ ...view, lot: { ...lot, potted_on: '2026-12-01' } }} />);
  expect(container.querySelectorAll('.step.later')).toHaveLength(1);
  rerender(<LifeLine view={{ ...view, lot: { ...lot, struck_on: '2026-11-23' } }} />);
  screen.getByText(/^1 week/);
});
