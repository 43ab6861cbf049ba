/** A small invented nursery as the server's views tell it, for tests of the pages. */
import type {
  Authorship,
  BedBrief,
  BedScore,
  BedsView,
  BedView,
  Estimate,
  LotBrief,
  LotsPage,
  NamesView,
  LotScore,
  LotView,
  PotView,
  Share,
  SpanView,
  TraitScore,
} from '../../../../schema/types';
import { cropPlan } from './sample-plan.testing';

export const now = Date.UTC(2026, 10, 24, 15, 0);
export const DAY = 86_400_000;

export const estimated = (value: number, low: number, high: number, n = 18): Estimate => ({
  value,
  interval: { low, high, known: true },
  n,
  known: true,
});

export const unknown: Estimate = { value: 0, interval: { low: 0, high: 0, known: false }, n: 0, known: false };

const shared = (x: number, n: number, low: number, high: number): Share => ({
  x,
  n,
  value: n > 0 ? x / n : 0,
  interval: { low, high, known: n > 0 },
  known: n > 0,
});

const spans: SpanView[] = [
  {
    span: 's1',
    lot: 'lot1',
    tag: '0412',
    crop: 'azalea',
    cultivar: 'Corvane',
    pot_mm: 150,
    from_row: 1,
    to_row: 60,
    pots: 480,
  },
  {
    span: 's2',
    lot: 'lot2',
    tag: '0417',
    crop: 'azalea',
    cultivar: 'Ember Lace',
    pot_mm: 150,
    from_row: 61,
    to_row: 100,
    pots: 320,
  },
];

const trait = (name: string, uniformity: Estimate, mean: number): TraitScore => ({
  trait: name,
  n: 9,
  mean: estimated(mean, mean * 0.97, mean * 1.03, 9),
  sd: mean * 0.08,
  cv: estimated(0.08, 0.06, 0.12, 9),
  tolerance: name === 'head' ? 0.1 : 0.2,
  uniformity,
  counted: shared(7, 9, 0.52, 0.91),
  disagree: false,
});

const lotScore = (lot: string): LotScore => ({
  lot,
  seen: 9,
  pots_on_bed: 480,
  traits: [trait('head', estimated(0.84, 0.72, 0.93, 9), 310), trait('buds', estimated(0.81, 0.7, 0.88, 9), 42)],
  root_cover: [0, 0, 1, 2, 4, 2],
  root_life: [1, 0, 1, 3, 4],
  rot: shared(1, 9, 0.02, 0.33),
  thin_roots: shared(1, 9, 0.02, 0.33),
  chlorosis: shared(0, 9, 0, 0.23),
  severity: 0,
  severity_n: 9,
  soft_flush: 1,
  lower_brown: shared(2, 9, 0.08, 0.48),
  disease: shared(0, 9, 0, 0.23),
  grade_out: {
    n: 9,
    undecided: 1,
    pots_on_bed: 480,
    grades: [
      { name: 'Florist 1', seen: 6, expected: 312, low: 201, high: 402 },
      { name: '', seen: 3, expected: 168, low: 78, high: 279 },
    ],
    costs: [
      { line: 'buds_min', fail: 3, n: 9 },
      { line: 'head_min_mm', fail: 1, n: 9 },
    ],
    lacks: [{ line: 'severity', pots: 1 }],
    promise: {
      lines: [{ grade: 'Florist 1', in_grade: 6, sure: 200, kept: 194, booked: 40, safe: 154, over: 0 }],
      graded_from: '2026-10-12',
      least: 8,
      whole: 9,
      seen: 10,
      lacks: [{ line: 'severity', pots: 1 }],
      pots_on_bed: 480,
      left: 0,
      lots: ['lot1'],
      shrink: 0.03,
      loss_basis: 'crop',
    },
  },
});

export const score: BedScore = {
  seen: 18,
  pots_on_bed: 800,
  uniformity: estimated(0.81, 0.7, 0.88),
  limiting_trait: 'buds',
  traits: [trait('head', estimated(0.84, 0.72, 0.93), 310), trait('buds', estimated(0.81, 0.7, 0.88), 42)],
  without_slips: unknown,
  between_lots: estimated(0.62, 0.3, 0.85),
  rot: shared(2, 18, 0.04, 0.28),
  thin_roots: shared(2, 18, 0.04, 0.28),
  chlorosis: shared(0, 18, 0, 0.14),
  severity: 0,
  severity_n: 18,
  lower_brown: shared(4, 18, 0.11, 0.4),
  disease: shared(0, 18, 0, 0.14),
  lots: [lotScore('lot1'), lotScore('lot2')],
  findings: [
    { code: 'between_lots', numbers: { n: 18, share: 0.62, lots: 2 }, attention: false },
    {
      code: 'gradient',
      trait: 'head',
      end: 'far',
      numbers: { n: 18, per_5m: 0.04, total: 0.16, p: 0.01 },
      attention: true,
    },
  ],
  stop: { verdict: 'more', more: 4, chlorosis: 'fine', roots: 'open' },
  edge: shared(9, 18, 0.33, 0.67),
  edge_bed: 0.5,
  too_few_pots: false,
};

const trend = [30, 23, 16, 9, 2].map((days, i) => ({
  walk: `walk${i}`,
  at: now - days * DAY,
  person: i < 3 ? 'mara' : 'tomas',
  person_name: i < 3 ? 'Mara' : 'Tomás',
  uniformity: estimated(0.7 + i * 0.03, 0.6 + i * 0.03, 0.78 + i * 0.03),
  chlorosis: shared(0, 18, 0, 0.14),
  rot: shared(1, 18, 0.01, 0.2),
  head: estimated(0.7 + i * 0.03, 0.6 + i * 0.03, 0.78 + i * 0.03),
  buds: i < 2 ? unknown : estimated(0.72 + i * 0.02, 0.6 + i * 0.02, 0.8 + i * 0.02),
  whole: true,
  ...(i === 3 ? { scout_changed: ['head'] } : {}),
}));

const bed = (id: string, changes: Partial<BedBrief> = {}): BedBrief => ({
  id,
  house: 'h2',
  name: '14',
  length_mm: 20_000,
  width_mm: 1_600,
  rows: 100,
  across: 8,
  entry_end: 'door',
  far_end: 'fan',
  aisles: 'both',
  x_mm: 500,
  y_mm: 600,
  spans,
  score,
  trend,
  last_walk: 'walk4',
  last_walk_at: now - 2 * DAY,
  due: '',
  due_days: 2,
  closed_until: 0,
  ...changes,
});

const unwalked = bed('b17', {
  name: '17',
  x_mm: 22_000,
  y_mm: 3_000,
  trend: [],
  last_walk: '',
  last_walk_at: 0,
  due: 'never',
});
delete unwalked.score;

export const bedsView: BedsView = {
  version: '',
  site: 'Quillfen',
  made_at: now,
  head: 4711,
  houses: [
    {
      id: 'h2',
      name: '2',
      note: 'old end',
      length_mm: 43_000,
      width_mm: 6_000,
      beds: [
        bed('b14'),
        bed('b15', {
          name: '15',
          x_mm: 22_000,
          due: 'days',
          due_days: 9,
          last_walk_at: now - 9 * DAY,
          score: { ...score, findings: [] },
        }),
        bed('b16', { name: '16', y_mm: 3_000, score: { ...score, too_few_pots: true, findings: [] } }),
        unwalked,
      ],
    },
  ],
  phones: { paired: 4, equal: 3, pending: 14, last_at: now - 600_000, quarantined: 1 },
};

const by = (person: string, entry: string, at = now - DAY): Authorship => ({
  entry,
  person,
  device: 'd1',
  stamp: { at, quality: 'exact', from: at, to: at },
});

const bracketed = (entry: string): Authorship => ({
  ...by('tomas', entry),
  stamp: { at: now - DAY, quality: 'bracketed', from: now - 3 * DAY, to: now - DAY },
});

const pot = (id: string, changes: Partial<PotView> = {}): PotView => ({
  id,
  now: {
    walk: 'walk4',
    bed: 'b14',
    lot: 'lot1',
    place: { row: 12, across: 3 },
    head_a_mm: 310,
    head_b_mm: 304,
    buds: 42,
  },
  by: by('tomas', id),
  others: 0,
  ...changes,
});

export const bedView: BedView = {
  bed: bed('b14'),
  house_name: '2',
  walk: 'walk4',
  walks: trend,
  pots: [
    pot('p1'),
    pot('p2', {
      by: bracketed('c2'),
      others: 1,
      now: { ...pot('p2').now, place: { row: 80, across: 1 }, lot: 'lot2', scratch: 'soft' },
    }),
    pot('p3', { voided: { by: by('mara', 'v3'), why: 'wrong_pot' } }),
  ],
  facts: [
    { key: 'fact:f1', bed: 'b14', fact: { kind: 'reading', body: { ph_c: 580, ec_us_cm: 900 }, by: by('mara', 'f1') } },
  ],
  since: now - 30 * DAY,
  until: now,
  along: [],
  people: { mara: 'Mara', tomas: 'Tomás' },
  made_at: now,
};

export const lotBrief = (id: string, changes: Partial<LotBrief> = {}): LotBrief => ({
  id,
  tag: '0412',
  crop: 'azalea',
  cultivar: 'Corvane',
  pot_mm: 150,
  struck_on: '2026-01-12',
  potted_on: '2026-04-20',
  ship_week: '2027-W06',
  pots: 480,
  beds: ['b14'],
  disagree: 1,
  gone: false,
  stock: false,
  plants_each: 1,
  uniformity: estimated(0.81, 0.7, 0.88),
  limiting_trait: 'buds',
  ...changes,
});

export const hydrangea = lotBrief('lot5', { tag: '0500', crop: 'hydrangea', disagree: 0 });

/** All lots on one page. */
export const lotsPage = (...lots: LotBrief[]): LotsPage => ({
  lots,
  all: lots.length,
  count: lots.length,
  crops: [...new Set(lots.map((lot) => lot.crop))],
  next: '',
});

export const lotView: LotView = {
  lot: lotBrief('lot1'),
  plan: cropPlan(),
  today: '2026-11-25',
  record: {
    key: 'lot:lot1',
    lot: 'lot1',
    register: {
      of: 'lot1',
      fields: {
        tag: { value: '0412', by: by('mara', 'e1'), live: ['e1'] },
        struck_on: {
          value: '2026-01-12',
          by: by('mara', 'e1'),
          others: [{ value: '2026-01-19', by: bracketed('e2') }],
          live: ['e1', 'e2'],
        },
      },
    },
  },
  stock: {
    key: 'stock:lot1',
    lot: 'lot1',
    stock: {
      pots: 480,
      by_span: { s1: 480 },
      lines: [
        { span: 's1', change: 500, reason: 'potted', by: by('mara', 'k1') },
        { span: 's1', counted: 490, reason: 'recount', by: by('tomas', 'k2'), settled: false },
        { span: 's1', change: -10, reason: 'lost_root', by: by('tomas', 'k3') },
      ],
    },
  },
  spans: [spans[0] as SpanView],
  bed_of: { s1: 'b14' },
  scores: trend.map((point) => ({
    walk: point.walk,
    bed: 'b14',
    at: point.at,
    person_name: point.person_name,
    score: lotScore('lot1'),
  })),
  facts: [
    {
      key: 'fact:f2',
      lot: 'lot1',
      fact: { kind: 'event', body: { lot: 'lot1', what: 'pinched', on: '2026-06-02' }, by: by('mara', 'f2') },
    },
  ],
  history: {
    older: '',
    lines: [
      {
        entry: 'e2',
        kind: 'lot',
        at: bracketed('e2').stamp,
        person_name: 'Tomás',
        device_name: 'phone 2',
        body: { of: 'lot1', struck_on: '2026-01-19' },
      },
      {
        entry: 'e1',
        kind: 'lot',
        at: by('mara', 'e1').stamp,
        person_name: 'Mara',
        device_name: 'phone 1',
        body: { of: 'lot1', tag: '0412', struck_on: '2026-01-12' },
      },
    ],
  },
  parent: lotBrief('lot0', { tag: '0398', disagree: 0 }),
  children: [lotBrief('lot9', { tag: '0455', disagree: 0 })],
  bookings: [],
  shipped_free: 0,
  people: { mara: 'Mara', tomas: 'Tomás' },
  made_at: now,
};

export const namesView: NamesView = {
  beds: bedsView.houses.flatMap((house) => house.beds.map(({ id, name }) => ({ id, name, house: house.name }))),
};
