import type { AttentionView } from '../../../../schema/types';
import { now, score } from './sample.testing';

const DAY = 86_400_000;

/** Heads that shrink along the first bed, and a quarantined note. */
export const attentionView: AttentionView = {
  today: '2026-11-25',
  backup: { at: now - DAY, lacks: 3, can_make: true },
  items: [
    {
      id: 'm1',
      code: 'gradient',
      beds: [{ bed: 'b14', name: '14', house: '2' }],
      finding: score.findings.find(({ code }) => code === 'gradient') ?? { code: '', numbers: {}, attention: false },
      walk: 'w1',
      found_at: now - 2 * DAY,
      since: now - 2 * DAY,
      trait: 'head',
      extent: 1900,
      least: 1200,
      can_settle: true,
      hit: [100, 900],
      clear: [300, 500, 700],
    },
    {
      id: 'm2',
      code: 'quarantined',
      beds: [],
      devices: ['Yard phone'],
      count: 1,
      found_at: 0,
      since: now - DAY,
      extent: 1,
      least: 1,
      can_settle: false,
    },
  ],
  away: [],
  made_at: now,
};
