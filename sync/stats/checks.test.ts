import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import * as stats from './index.ts';
import { firstAccept, same } from './testing.ts';

interface Check {
  id: string;
  computation: string;
  inputs: Record<string, unknown>;
  expected: Record<string, unknown>;
  tolerance: { rel?: number; abs?: number };
}

type Values = (number | null)[];

const pair = (i: stats.Interval): (number | null)[] => [i.low, i.high];

/** What the phone computes of the published checks, by the names they use. A value it does not compute is left to the server. */
const compute: Record<string, (c: Check) => Record<string, unknown>> = {
  summary: ({ inputs }) => {
    const block = inputs['block'] as number[] | undefined;
    const repeated = block && Array.from({ length: inputs['block_repeats'] as number }, () => block).flat();
    const x = repeated ? [inputs['first'] as number, ...repeated] : (inputs['x'] as Values);
    const s = stats.spreadOf(x, 0.95);
    return { n: s.n, n_missing: s.missing, mean: s.mean, sd: s.sd, cv: s.cv, cv_haldane: s.cvCorrected };
  },
  'cv-summary': ({ inputs }) => {
    const s = stats.spreadOf((inputs['x'] as Values | undefined) ?? [], 0.95);
    const cv = s.cv ?? (inputs['cv'] as number | undefined) ?? (inputs['sd'] as number) / (inputs['mean'] as number);
    const n = s.cv === null ? (inputs['n'] as number) : s.n;
    const limits = pair(stats.vangelInterval(cv, n, 0.95));
    return { cv, vangel: limits, vangel95: limits, vangel90: pair(stats.vangelInterval(cv, n, 0.9)) };
  },
  pooled: ({ inputs }) => ({
    cv_rms: stats.poolWithin(Object.values(inputs['groups'] as Record<string, Values>), 0.95).cv,
  }),
  components: ({ inputs, expected }) => {
    const lots = Object.values(inputs['groups'] as Record<string, Values>);
    const c = stats.varianceComponents(lots, 0.95);
    const [low, high] = pair(c.interval);
    // The phone shows a negative component as 0; the correlation itself is the server's.
    const icc = (expected['icc1'] as number | undefined) ?? 0;
    return {
      n: lots.map((x) => x.length),
      icc1_lower95: low,
      icc1_upper95: high,
      ...(icc > 0 ? { icc1: c.shareBetween, pct_between: 100 * (c.shareBetween ?? 0) } : {}),
    };
  },
  share: ({ inputs }) => {
    const s = stats.shareOf(
      inputs['x'] as number,
      inputs['n'] as number,
      0,
      (inputs['conf'] as number | undefined) ?? 0.95,
    );
    return { p: s.value, wilson: pair(s.interval) };
  },
  severity: ({ inputs }) => {
    const s = stats.severityOf(inputs['freq'] as number[]);
    return {
      n: s.n,
      incidence: s.incidence,
      mean_class: s.meanClass,
      mean_class_affected: s.meanClassAffected,
      severity_index_pct: s.index,
    };
  },
  'sprt-binomial': ({ inputs, expected }) => {
    const [p0, p1, alpha, beta] = ['p0', 'p1', 'alpha', 'beta'].map((k) => inputs[k] as number) as [
      number,
      number,
      number,
      number,
    ];
    const s = stats.newSprt(p0, p1, alpha, beta, 0, 0);
    if (s === null) return {};
    const n = expected['n'] as number[];
    return {
      slope: s.slope,
      h_low: s.low,
      h_high: s.high,
      min_n_accept_zero: firstAccept(s),
      n,
      accept_at_or_below: n.map((k) => stats.acceptAt(s, k)),
      reject_at_or_above: n.map((k) => stats.rejectAt(s, k)),
    };
  },
};

/** Values of the kinds above, and whole kinds, that only the server computes. A new kind must be put on one side or the other. */
const serverValues = new Set([
  'n_lots', 'means', 'sds', 'pooled_sd', 'grand_mean', 'cv_pooled_sd_over_grand_mean', 'cv_total', 'clopper_pearson',
  'median_class', 'ms_between', 'ms_within', 'var_within', 'var_between', 'var_between_raw', 'var_between_reported',
  'F', 'n0', 'df_between', 'df_within', 'ss_between', 'ss_within', 'r2', 'resid_sd',
]); // oxfmt-ignore
const serverKinds = new Set(
  `clustered curve-gompertz curve-misra-predict curve-nist curve-orange curve-too-few days-between degree-day
  degree-day-averages degree-day-methods degree-day-run degree-day-week dispersion edge-middle evenness hypergeometric-bounds icc iso-53 iso-week kappa kappa-weights
  line mean-interval pairs predict predict-pmf predict-sum ranks sprt-exact`.split(/\s+/),
);

const folder = new URL('../../fixtures/checks/', import.meta.url);
const files = readdirSync(folder).filter((f) => f.endsWith('.json'));
const cases = files.flatMap((f) => JSON.parse(readFileSync(new URL(f, folder), 'utf8')) as Check[]);

describe('the phone meets the published checks', () => {
  it('knows of every kind of computation whether it is the phone’s or the server’s', () => {
    const unknown = cases.map((c) => c.computation).filter((k) => !(k in compute) && !serverKinds.has(k));
    expect(unknown).toEqual([]);
  });
  for (const c of cases.filter((one) => one.computation in compute)) {
    it(c.id, () => {
      const have = compute[c.computation]?.(c) ?? {};
      for (const [name, want] of Object.entries(c.expected)) {
        if (name in have) same(have[name], want, name, c.tolerance.rel ?? 0, c.tolerance.abs ?? 0);
        else if (!(name === 'n' && c.computation === 'pooled')) expect(serverValues, name).toContain(name);
      }
    });
  }
});
