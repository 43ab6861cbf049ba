/** A bed's page says each finding once: the server's sentence with its advice, or the phone's own number where they differ. */
import 'fake-indexeddb/auto';
import { cleanup, render } from '@testing-library/preact';
import { afterEach, beforeAll, expect, test, vi } from 'vitest';
import type { Finding } from '../../../../../schema/types';
import type { PotRow } from '../../../journal/records/read';
import { briefs } from '../../../journal/records/briefs';
import type { Brief } from '../../../journal/store/shape';
import { speak } from '../../../words';
import { Bed } from './Bed';

const shown = vi.hoisted(() => ({
  findings: [] as unknown[],
  walk: 'w1',
  isPartial: false,
  isRead: true,
  arrived: undefined as number | undefined,
  isBare: false,
}));
const by = { entry: 'e', person: 'ana', device: 'd', stamp: { at: 1, quality: 'exact', from: 1, to: 1 } };
const pots = Array.from({ length: 16 }, (_, i) => ({
  id: `p${i}`,
  first: by,
  by,
  versions: 1,
  now: {
    walk: 'w1',
    bed: 'b1',
    lot: 'l1',
    head_a_mm: 200 + (i % 5),
    buds: 20 + (i % 7),
    place: { row: 1 + 3 * i, across: 2 },
    root_cover: 3,
    root_life: i === 0 ? 2 : 5,
    scratch: i === 0 ? 'soft' : undefined,
    chlorosis: 'none',
    severity: 0,
  },
})) as unknown as PotRow[];

vi.mock('../../../views/views', async (load) => ({
  ...(await load<object>()),
  useView: () => ({ at: 1, view: { beds: [{ bed: 'b1', walk: shown.walk, at: 1, findings: shown.findings }] } }),
}));
vi.mock('../../../journal/inbox/arriving', async (load) => ({
  ...(await load<object>()),
  firstReading: {
    get value() {
      return shown.arrived;
    },
  },
}));
vi.mock('../../../journal/records/read', async (load) => ({
  ...(await load<object>()),
  useStored: (_: unknown, [of]: unknown[]) =>
    of === 'w1' && shown.isRead ? (shown.isPartial ? null : pots) : undefined,
}));
vi.mock('../../../journal/records/registers', async (load) => ({
  ...(await load<object>()),
  beds: { value: new Map([['b1', { id: 'b1', name: 'H5', rows: 60, across: 10, aisles: 'near', length_mm: 20_000 }]]) },
  lots: { value: new Map([['l1', { id: 'l1', tag: 'AZ-101', crop: 'azalea' }]]) },
}));
vi.mock('../../../journal/records/input', async (load) => ({
  ...(await load<object>()),
  spansOf: () => (shown.isBare ? [] : [{ id: 's1', bed: 'b1', lot: 'l1', from_row: 1, to_row: 60 }]),
}));

const rot = (x: number): Finding => ({ code: 'rot', attention: true, numbers: { x, n: 16, low: 0.01, high: 0.24 } });
const back: Finding = {
  code: 'holds_back',
  trait: 'buds',
  attention: false,
  numbers: { uniformity: 0.47, other: 0.96 },
};

function said(findings: Finding[], walk = 'w1'): string {
  Object.assign(shown, { findings, walk });
  const whole = { at: 1, chlorosis: 'open', roots: 'open' };
  const last = { bed: 'b1', walk: 'w1', lastWalkAt: 1, newestAt: 1, uniformity: 0.47, low: 0.33, high: 0.6, whole };
  briefs.value = new Map([
    ['b1', { ...last, known: true, few: false, seen: 16, limitingTrait: 'buds', ended: true } as unknown as Brief],
  ]);
  const { container } = render(<Bed id="b1" />);
  return (container.textContent ?? '').replaceAll('\u202f', ' ');
}

const count = (text: string, what: RegExp) => [...text.matchAll(what)].length;

beforeAll(() => speak('en'));
afterEach(() => {
  cleanup();
  Object.assign(shown, { isPartial: false, isRead: true, arrived: undefined, isBare: false });
});

test('what the server says of the walk that is shown is not said above it as well', () => {
  const text = said([rot(1), back]);
  expect(text).toContain('send roots to a lab');
  expect(count(text, /1 of 16/g)).toBe(1);
  expect(count(text, /held back|holds the bed back/g)).toBe(1);
  // Of the leaves the server found nothing, and that is still worth a line.
  expect(text).toContain('Chlorosisnone in 16 pots');
});

test('what it does not say, says of another walk, or says with another number, the phone says itself', () => {
  for (const text of [said([]), (cleanup(), said([rot(1), back], 'w0'))]) {
    expect(text).toContain('held back by bud count');
    expect(text).toContain('Root rot1 of 16');
  }
  cleanup();
  expect(said([rot(2)])).toContain('Root rot1 of 16');
});

test('of a walk that is here in part the page says so, and no number of its own', () => {
  shown.isPartial = true;
  const text = said([]);
  expect(text).toContain('pots of this walk may be missing');
  expect(text).toContain('once the server has sent these pots again');
  expect(text).not.toMatch(/Uniformity|held back|of 16|16 pots/);
});

test('until the pots are read nothing stands there that they would push away; the way in is there', () => {
  shown.isRead = false;
  const text = said([]);
  expect(text).toContain('Start walk');
  expect(text).not.toMatch(/Last walk|Lots on this bed/);
});

test('while the records come for the first time no walk can be begun: which lots stand there is not known yet', () => {
  shown.arrived = 0.4;
  const text = said([]);
  expect(text).not.toContain('Start walk');
  expect(text).toContain('You can start a walk once all records are here');
  expect(text).toContain('Read the signs posted at the house');
});

test('on a bed without a lot no walk can be begun: its pots would be pots of nothing', () => {
  shown.isBare = true;
  const text = said([]);
  expect(text).not.toContain('Start walk');
  expect(text).toContain('first note which lot is here: tap “Add a note”');
});
