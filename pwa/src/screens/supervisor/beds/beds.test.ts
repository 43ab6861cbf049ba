import { beforeEach, expect, test, vi } from 'vitest';
import type { AttentionItem, SupplyWeek } from '../../../../../schema/types';
import { go } from '../../../router';
import { speak } from '../../../words';
import { bedView } from '../sample.testing';
import { describe, describeAnswer } from './attentionWords';
import { addressOf, anywhere, marksOf, placeOf, toWalk } from './place';
import { sumsOf } from './Promises';
import { toneOf } from './Strip';

const { beds } = vi.hoisted(() => ({ beds: { value: new Map() } }));
vi.mock('../../../journal/records/registers', async (actual) => ({ ...(await actual<object>()), beds }));

beforeEach(() => {
  beds.value = new Map();
  return speak('en');
});

const item: AttentionItem = {
  id: 'm1',
  code: 'rot',
  beds: [{ bed: 'r2', name: 'R2', house: 'Reed' }],
  finding: { code: 'rot', numbers: { x: 9, n: 31, value: 0.29, low: 0.178, high: 0.435 }, attention: true },
  before_x: 5,
  before_n: 30,
  found_at: 1,
  since: 1,
  extent: 2903,
  least: 1783,
  can_settle: true,
};

// 9 of 31 with the 90 % Wilson limits 17.8 and 43.5 %, by the server (sync/stats beside R in fixtures/rcheck).
test('rot is said with how many, the interval, the walk before, and the care it needs', async () => {
  const { head, rest } = describe(item, undefined);
  expect(head).toBe('R2: root rot in 9 of 31 pots');
  expect(rest.replaceAll('\u202f', ' ')).toBe(
    '90 % interval: 18 to 44 %. The walk before: 5 of 30. Send roots to a lab before treating.',
  );
  await speak('es');
  expect(describe(item, undefined).head).toBe('R2: pudrición de raíz en 9 de 31 macetas');
});

test('the office names the sides of a bed as the crew call them, as the phone does', () => {
  const across = { code: 'across', trait: 'head', attention: true, end: 'far', numbers: { n: 30, total: 0.1 } };
  const row = { ...item, code: 'across', finding: across };
  expect(describe(row, bedView.bed).head).toContain('toward the far side');
  beds.value = new Map([[bedView.bed.id, { near_side: 'path side', far_side: 'wall side' }]]);
  expect(describe(row, bedView.bed).head).toContain('toward the wall side');
  // One name for both sides tells nothing.
  beds.value = new Map([[bedView.bed.id, { near_side: 'aisle', far_side: 'Aisle' }]]);
  expect(describe(row, bedView.bed).head).toContain('toward the far side');
});

test('disease is never without the warning not to move the pots', async () => {
  const disease = { ...item, code: 'disease', finding: { code: 'disease', numbers: { x: 1, n: 31 }, attention: true } };
  expect(describe(disease, undefined).rest).toContain('do not move or dump them');
  await speak('es');
  expect(describe(disease, undefined).rest).toContain('no las mueva ni las tire');
});

test.each(['en', 'es'] as const)('every kind of row has a sentence of its own in %s', async (language) => {
  await speak(language);
  const estimate = { value: 0.47, n: 30, known: true, interval: { low: 0.4, high: 0.54, known: true } };
  const rows: Partial<AttentionItem>[] = [
    { code: 'dropped', now: estimate, before: { ...estimate, value: 0.62 }, trait: 'head' },
    {
      code: 'late',
      tag: 'AZ-118',
      step: 'into_cooler',
      days: 14,
      chance: 0.1,
      week: '2027-W05',
      not_own: 3,
      to_come: 3,
    },
    { code: 'late', tag: 'AZ-118', chance: 0.4, week: '2027-W05' },
    { code: 'uneven', now: estimate, trait: 'head', aim_bp: 7500, tag: 'AZ-116', week: '2026-W53' },
    { code: 'overbooked', week: '2027-W02', crop: 'azalea', pot_mm: 110, count: 283 },
    { code: 'disagree_field', tag: 'AZ-109', field: 'ship_week' },
    { code: 'quarantined', devices: ['Yard phone'], count: 3 },
    { code: 'backup', since: 0, count: 22_364 },
    { code: 'silent', devices: ['Yard phone'], count: 1, pending: 4 },
    { code: 'mistyped', count: 3 },
  ];
  const heads = rows.map((row) => describe({ ...item, finding: undefined!, ...row } as AttentionItem, undefined).head);
  for (const head of heads) expect(head).not.toMatch(/undefined|NaN|^$/);
  expect(new Set(heads).size).toBe(heads.length);
});

test('a bed that ships soon says how uneven it is, what is aimed for and whose aim that is', async () => {
  await speak('en');
  const now = { value: 0.568, n: 30, known: true, interval: { low: 0.427, high: 0.686, known: true } };
  const row = { ...item, code: 'uneven', now, trait: 'head', aim_bp: 7500, tag: 'AZ-116', week: '2026-W53' };
  const { head, rest } = describe({ ...row, finding: undefined!, own_aim: true }, undefined);
  expect(head).toBe('R2: head size uneven, 57 of 100 pots in the band');
  expect(rest).toMatch(/^90.% interval: 43 to 69\. You aim for 75\. AZ-116.* ships week 53, 2026\.$/);
  expect(describe({ ...row, finding: undefined! }, undefined).rest).toContain('until you set your own under Crops');
});

test('what came back says why, and what is away says by whom', () => {
  const answer = { settled: false, snoozed_to: '2026-12-04', name: 'Ilse', at: 1, extent: 2903, live: ['e1'] };
  expect(describeAnswer({ ...item, answer, back: 'worse' })).toBe(
    'Back because it got worse than when Ilse put it away.',
  );
  expect(describeAnswer({ ...item, answer, back: 'day' })).toBe('Snoozed by Ilse until today.');
  expect(describeAnswer({ ...item, answer })).toContain('Snoozed by Ilse until ');
  expect(describeAnswer(item)).toBe('');
});

test('a bed’s mark is the place of its first row among those that are shown', () => {
  const rows = Array.from({ length: 10 }, (_, index) => ({
    ...item,
    id: `m${index}`,
    beds: [{ bed: index < 2 ? 'r2' : `b${index}`, name: '', house: '' }],
  }));
  const { ranks, groups } = marksOf(rows, false);
  expect([ranks.get('r2'), ranks.get('b7'), ranks.get('b8')]).toEqual([1, 8, undefined]);
  expect(marksOf(rows, true).ranks.get('b9')).toBe(10);
  expect(groups.get('b9')).toEqual(new Set(['rot']));
});

test('an address keeps what the page shows, and what is not known in it is left out', () => {
  const place = {
    ...anywhere,
    house: 'h1',
    week: '2027-W05',
    stage: 'cold',
    finding: 'rot',
    show: 'due',
    view: 'weeks',
    all: true,
  } as const;
  expect(placeOf(new URLSearchParams(addressOf(place).split('?')[1]))).toEqual(place);
  expect(addressOf(anywhere)).toBe('/beds');
  expect(placeOf(new URLSearchParams('view=cards&show=odd&finding=x&stage=y'))).toEqual(anywhere);
});

test('the tone follows the number as it is printed', () => {
  const tones = (aim: number) => [0.745, 0.744, 0.595, 0.594].map((value) => toneOf(value, aim));
  expect(tones(0.75)).toEqual(['light', 'middle', 'middle', 'dark']);
  expect(tones(0.6)).toEqual(['light', 'light', 'light', 'middle']);
  expect(tones(0.9)).toEqual(['middle', 'dark', 'dark', 'dark']);
});

// By hand: of the one crop 60 are short; the other's 200 fill none of its bookings.
test('a week says what is short of one crop whatever is left of another', () => {
  const grade = {
    grade: 'A',
    expected: 0,
    median: 0,
    low: 300,
    high: 420,
    sure: 300,
    lots_alone: 0,
    booked: 300,
    safe: 0,
    short: 0,
  };
  const week: SupplyWeek = {
    week: '2026-W50',
    by: '',
    season: 0.35,
    crop: 'azalea',
    pot_mm: 140,
    grades: [grade, { ...grade, grade: 'B', low: 500, high: 700, sure: 500, booked: 260 }],
    lots: [],
    bookings: [],
    missing: 60,
    undecided: 0,
  };
  const other = {
    ...week,
    crop: 'hydrangea',
    grades: [{ ...grade, low: 250, high: 300, booked: 50, safe: 200 }],
    missing: 0,
  };
  expect(sumsOf([week, other])).toEqual([
    {
      week: '2026-W50',
      low: 750,
      high: 1000,
      booked: 610,
      safe: 200,
      best: 200,
      lacks: [{ crop: 'azalea', potMM: 140, pots: 60 }],
    },
  ]);
});

test('the walk that lies beside a bed changes places with it wherever it is chosen', () => {
  go('/beds/b14?show=due&walk=w2&pin=b14&pinwalk=w1', { instead: true });
  const shown = { ...bedView, walk: 'w2' };
  const beside = { ...bedView, walk: 'w1' };
  expect(toWalk(shown, beside, 'w1')).toBe('/beds/b14?show=due&walk=w1&pin=b14&pinwalk=w2');
  expect(toWalk(shown, beside, 'w3')).toBe('/beds/b14?show=due&walk=w3&pin=b14&pinwalk=w1');
  go('/', { instead: true });
});
