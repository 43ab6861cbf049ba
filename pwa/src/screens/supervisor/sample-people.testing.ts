/** The scouts and phones of the invented nursery, for tests of the pages. */
import type { PhonesView, ScoutsView } from '../../../../schema/types';
import { DAY, estimated, now, unknown } from './sample.testing';

export const scoutsView: ScoutsView = {
  people: { mara: 'Mara', tomas: 'Tomás' },
  drifts: [{ person: 'tomas', bias: estimated(0.041, 0.021, 0.06, 180), walks: 12, attention: true }],
  agreements: [
    {
      a: 'mara',
      b: 'tomas',
      n: 20,
      bias: estimated(0.04, 0.02, 0.06, 20),
      limits: { low: -0.03, high: 0.11, known: true },
      icc: estimated(0.91, 0.83, 0.96, 20),
      cover: estimated(0.78, 0.6, 0.9, 20),
      life: estimated(0.8, 0.61, 0.92, 20),
      chlorosis: unknown,
    },
  ],
  rounds: [{ round: 'r1', bed: 'b14', bed_name: '14', first: 'mara', by: '', pots: 18, rescored: 0, done: false }],
  made_at: now,
};

export const phonesView: PhonesView = {
  phones: [
    {
      device: 'd1',
      name: 'phone 1',
      person: 'mara',
      person_name: 'Mara',
      role: 'scout',
      paired_at: now - 90 * DAY,
      seen_at: now - 600_000,
      pending: 14,
      photos: 2,
      equal: 'equal',
      equal_to: 4700,
      equal_at: now - 600_000,
      older_app: false,
      skew_ms: -3 * 3_600_000,
      revoked: 0,
      entries: 1200,
    },
  ],
  quarantined: [
    {
      id: '1',
      state: 'quarantined',
      device: 'd1',
      device_name: 'phone 1',
      person_name: 'Mara',
      received_at: now - DAY,
      kind: 'observation',
      text: '{"body":{"head_a_mm":4000}}',
      faults: [
        {
          field: 'body.head_a_mm',
          code: 'out_of_range',
          value: 4000,
          min: 5,
          max: 2000,
          unit: 'mm',
          message: 'A head of 4000 mm is outside 5 to 2000 mm.',
        },
      ],
    },
    {
      id: '2',
      state: 'review',
      device: 'd1',
      device_name: 'phone 1',
      person_name: 'Mara',
      received_at: now - DAY,
      kind: 'count',
      text: '{"body":{"change":-3,"reason":"culled"}}',
      faults: [],
    },
    {
      id: '3',
      state: 'quarantined',
      device: 'd1',
      device_name: 'phone 1',
      person_name: 'Mara',
      received_at: now - DAY,
      kind: 'profile',
      text: '{"body":{"crop":"azalea","min_pots":5}}',
      faults: [{ field: 'kind', code: 'role', value: 'bed', message: 'A scout’s device may not.' }],
    },
  ],
  quarantined_by_device: [],
  incidents: [{ first_at: now - 3 * DAY, at: now - DAY, count: 3, device: 'd1', code: 'fork', detail: '', over_at: 0 }],
  incidents_all: 1,
  head: 4711,
  backed_up_to: 4600,
  backed_up_at: now - DAY,
  made_at: now,
  clock: { doubt: '', now, last: now - DAY, phones: now, people: 2 },
};
