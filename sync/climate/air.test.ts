import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import {
  dewPoint,
  heatBand,
  heatIndex,
  lightOf,
  lightUnder,
  mistCycles,
  mistWater,
  photonFlux,
  saturation,
  vapourDeficit,
} from './air.ts';

type Numbers = { readonly [name: string]: number & readonly number[] & readonly string[] };

interface Case {
  id: string;
  computation: string;
  inputs: Numbers;
  expected: Numbers;
  tolerance: { rel?: number; abs?: number };
}

// The cases carry their own sources: FAO-56, Thimijan and Heins 1983, NWS SR 90-23, OSHA's guide, arithmetic by hand.
const cases = JSON.parse(readFileSync('fixtures/checks/plan/air.json', 'utf8')) as Case[];

const fahrenheit = (celsius: number) => (celsius * 9) / 5 + 32;
const celsius = (degrees: number) => ((degrees - 32) * 5) / 9;

const computations: { [name: string]: (inputs: Numbers) => { [name: string]: unknown } } = {
  'saturation-vapour-pressure': ({ temp_c }) => ({ kpa: temp_c?.map(saturation) }),
  'mean-saturation': ({ tmin_c, tmax_c }) => ({
    es_kpa: (saturation(tmin_c as number) + saturation(tmax_c as number)) / 2,
  }),
  'vapour-pressure-of-day': (of) => {
    const [low, high] = [saturation(of['tmin_c'] as number), saturation(of['tmax_c'] as number)];
    const ea = (low * (of['rh_max'] as number) + high * (of['rh_min'] as number)) / 200;
    return { ea_kpa: ea, es_kpa: (low + high) / 2, deficit_kpa: (low + high) / 2 - ea };
  },
  'vapour-pressure-deficit': ({ temp_c, rh }) => ({ kpa: temp_c?.map((t, i) => vapourDeficit(t, rh?.[i] ?? NaN)) }),
  'photon-flux-from-illuminance': ({ foot_candles, source }) => ({
    umol: photonFlux(foot_candles as number, String(source)),
  }),
  'photon-flux-from-illuminance-list': ({ foot_candles, source }) => ({
    umol: foot_candles?.map((fc, i) => photonFlux(fc, source?.[i] ?? '')),
  }),
  'daily-light-integral': ({ umol, hours }) => ({ mol: lightOf(umol as number, hours as number) }),
  'daily-light-integral-inside': (of) => ({
    mol: lightUnder(of['outdoor_mol'] as number, of['cover_transmission'] as number, of['shade'] as number),
  }),
  'dew-point-and-leaf-deficit': ({ temp_c, rh, leaf_c }) => {
    const air = temp_c?.map((t, i) => ({ t, humidity: rh?.[i] ?? NaN, leaf: leaf_c?.[i] ?? NaN }));
    return {
      dew_c: air?.map(({ t, humidity }) => dewPoint(t, humidity)),
      leaf_deficit_kpa: air?.map(({ t, humidity, leaf }) => saturation(leaf) - saturation(dewPoint(t, humidity))),
    };
  },
  'daily-light-integral-hourly': ({ umol }) => ({
    mol: umol?.reduce((sum, each) => sum + lightOf(each, 1), 0),
    hours: umol?.length,
  }),
  'heat-index': ({ temp_f, rh }) => ({ index_f: temp_f?.map((t, i) => heatIndex(t, rh?.[i] ?? NaN)) }),
  'heat-index-celsius': ({ temp_c, rh }) => ({
    index_c: temp_c?.map((t, i) => celsius(heatIndex(fahrenheit(t), rh?.[i] ?? NaN))),
  }),
  'mist-water': ({ on_s, every_min, from_min, to_min, nozzles, l_per_hour }) => {
    const cycles = mistCycles(every_min as number, from_min as number, to_min as number);
    const seconds = cycles * (on_s as number);
    return { cycles, seconds, litres: mistWater(seconds, nozzles as number, l_per_hour as number) };
  },
  'mist-water-compare': ({ a, b, from_min, to_min }) => {
    const secondsOf = (of: unknown) => {
      const schedule = of as { on_s: number; every_min: number };
      return mistCycles(schedule.every_min, from_min as number, to_min as number) * schedule.on_s;
    };
    const [first, second] = [secondsOf(a), secondsOf(b)];
    return { a_seconds: first, b_seconds: second, difference: first - second };
  },
  'heat-band': ({ index_f }) => ({ band: index_f?.map(heatBand) }),
};

test.each(cases)('$id', ({ computation, inputs, expected, tolerance }) => {
  const got = computations[computation]?.(inputs) ?? {};
  for (const [name, want] of Object.entries(expected)) {
    const [gots, wants] = [[got[name]].flat(), [want].flat()];
    expect(gots).toHaveLength(wants.length);
    wants.forEach((each, i) => {
      if (typeof each !== 'number') expect(gots[i]).toBe(each);
      else
        expect(Math.abs((gots[i] as number) - each)).toBeLessThanOrEqual(
          (tolerance.abs ?? 0) + (tolerance.rel ?? 0) * Math.abs(each),
        );
    });
  }
});

test('every computation has a case', () => {
  expect(new Set(cases.map(({ computation }) => computation))).toEqual(new Set(Object.keys(computations)));
});

// The National Weather Service's chart (values from memory, whole degrees): 90 °F at 60 % is 100, 100 °F at 50 % 118, 95 °F at 50 % 105.
test.each([
  [90, 60, 100],
  [100, 50, 118],
  [95, 50, 105],
  [40, 90, 40],
])('%d °F at %d %% feels like %d', (temp, humidity, want) => {
  expect(Math.round(heatIndex(temp, humidity))).toBe(want);
});

test('the light of LEDs is not converted', () => {
  expect(photonFlux(500, 'led')).toBeUndefined();
  expect(photonFlux(500, 'toString')).toBeUndefined();
});
