import type { BedInput, BedScore, Observation, PotSeen, Share } from '../../schema/types.ts';
import { DEFAULT_LEVEL, severityOf, shareOf, type Interval } from '../stats/index.ts';
import { atEdge, bedEnd } from './lots.ts';

/** The highest root cover that counts as thin, and the highest root life that counts as rot; see the Go side. */
const THIN_COVER = 2;
const DEAD_LIFE = 2;

/** The flags that a bed or a lot has a share of, under the names that scores give them. */
const FLAGS = ['rot', 'thin_roots', 'chlorosis', 'lower_brown', 'disease'] as const;

type Flag = (typeof FLAGS)[number];
export type Flags = Pick<BedScore, Flag | 'severity' | 'severity_n'>;

/** What the pots show of each flag, counted over those on which it was checked. */
export function flagsOf(pots: readonly PotSeen[], potsOnBed: number): Flags {
  const counts: Record<Flag, { x: number; n: number }> = {
    rot: { x: 0, n: 0 },
    thin_roots: { x: 0, n: 0 },
    chlorosis: { x: 0, n: 0 },
    lower_brown: { x: 0, n: 0 },
    disease: { x: 0, n: 0 },
  };
  const classes = [0, 0, 0, 0, 0];
  for (const { now } of pots) {
    for (const flag of FLAGS) {
      const shows = flagged(now, flag);
      if (shows !== null) counts[flag].n++;
      if (shows === true) counts[flag].x++;
    }
    const c = severityClass(now);
    if (c !== null) classes[c] = (classes[c] ?? 0) + 1;
  }
  // Noted where it was seen and not asked about on every pot: that is a number of pots and not a share.
  if (counts.lower_brown.x === counts.lower_brown.n) counts.lower_brown.n = 0;
  const severity = severityOf(classes);
  const share = (flag: Flag): Share => toShare(counts[flag].x, counts[flag].n, potsOnBed);
  return {
    rot: share('rot'),
    thin_roots: share('thin_roots'),
    chlorosis: share('chlorosis'),
    lower_brown: share('lower_brown'),
    disease: share('disease'),
    severity: severity.index ?? 0,
    severity_n: severity.n,
  };
}

/** Whether the pot shows the flag; null when that was not checked. */
function flagged(o: Observation, flag: Flag): boolean | null {
  switch (flag) {
    case 'rot':
      return rotten(o);
    case 'thin_roots':
      return o.root_cover === undefined ? null : o.root_cover <= THIN_COVER;
    case 'chlorosis':
      return o.chlorosis === undefined ? null : chlorotic(o);
    case 'lower_brown':
      return o.lower_brown ?? null;
    case 'disease':
      return o.disease ?? null;
  }
}

/** Soft under the scratch is rot; firm and white is alive, be it old and brown; without a scratch the life score decides. */
function rotten(o: Observation): boolean | null {
  if (o.scratch === 'soft') return true;
  if (o.scratch === 'firm_white') return false;
  return o.root_life === undefined ? null : o.root_life <= DEAD_LIFE;
}

/** Young leaves that the scout called soft new flush are naturally light, and not chlorotic. */
function chlorotic(o: Partial<Observation>): boolean {
  if (o.chlorosis === undefined || o.chlorosis === 'none') return false;
  return o.chlorosis !== 'young' || o.soft_flush !== true;
}

/** The class of the severity index that a pot is in; null when its leaves were not checked, or how pale they are was not noted. */
export function severityClass(o: Partial<Observation>): number | null {
  if (o.chlorosis === undefined) return null;
  if (!chlorotic(o)) return 0;
  return o.severity === undefined || o.severity < 0 || o.severity > 4 ? null : o.severity;
}

/** The share of pots seen that stand at an aisle, and the share of all pots that do. */
export function edgeOf(input: BedInput): { edge: Share; edge_bed: number } {
  if (input.across < 1) return { edge: noShare(), edge_bed: 0 };
  let columns = 0;
  for (let across = 1; across <= input.across; across++) if (atEdge(input, across)) columns++;
  let x = 0;
  let n = 0;
  for (const { now } of input.pots) {
    if (now.place === undefined) continue;
    n++;
    if (atEdge(input, now.place.across)) x++;
  }
  return { edge: toShare(x, n, 0), edge_bed: columns / input.across };
}

export function toShare(x: number, n: number, potsOnBed: number): Share {
  const s = shareOf(x, n, bedEnd(potsOnBed, n), DEFAULT_LEVEL);
  return { x, n, value: s.value ?? 0, interval: toInterval(s.interval), known: s.value !== null };
}

function noShare(): Share {
  return { x: 0, n: 0, value: 0, interval: { low: 0, high: 0, known: false }, known: false };
}

/** A limit that does not exist makes the whole interval unknown on a screen. */
export function toInterval(i: Interval): Share['interval'] {
  return i.known && i.low !== null && i.high !== null
    ? { low: i.low, high: i.high, known: true }
    : { low: 0, high: 0, known: false };
}
