/** What a reading of the air or the light means: shown where it is typed, never written down. TypeScript alone, since only phones show it. */

/**
 * Lux to a photon flux of 1 µmol/m²s, by what shines (Thimijan and Heins 1983, HortScience 18:818-822, read as quoted; others differ by a
 * few per cent). There is none for LEDs: their light has no one spectrum.
 */
const LUX_PER_UMOL = {
  sun: 54,
  blue_sky: 52,
  cool_white: 74,
  high_pressure_sodium: 82,
  metal_halide: 71,
  incandescent: 50,
} as const;

/** Lux in a foot-candle: the square of the feet in a metre, by definition of the foot. */
const LUX_PER_FC = 1 / 0.3048 ** 2;

/** µmol/m²s of a light meter's foot-candles; undefined where what shines cannot be converted. */
export function photonFlux(footCandles: number, by: string): number | undefined {
  const lux = Object.hasOwn(LUX_PER_UMOL, by) ? LUX_PER_UMOL[by as keyof typeof LUX_PER_UMOL] : undefined;
  return lux === undefined ? undefined : (footCandles * LUX_PER_FC) / lux;
}

/** mol/m² of a photon flux (µmol/m²s) that lasts so many hours. */
export function lightOf(umol: number, hours: number): number {
  return (umol * hours * 3600) / 1e6;
}

/** mol/m² a day under a roof that lets this share of a day's light through (0 to 1), and below it a cloth of this share of shade (0 to 1). */
export function lightUnder(outdoors: number, cover: number, cloth: number): number {
  return outdoors * cover * (1 - cloth);
}

/** kPa of vapour in saturated air at degrees C (FAO Irrigation and Drainage Paper 56, equation 11; 1998). */
export function saturation(celsius: number): number {
  return 0.6108 * Math.exp((17.27 * celsius) / (celsius + 237.3));
}

/** kPa by which air of a relative humidity (percent) falls short of saturation. */
export function vapourDeficit(celsius: number, humidity: number): number {
  return saturation(celsius) * (1 - humidity / 100);
}

/**
 * Degrees C at which air of a relative humidity (percent, above 0) gives off water, over water as saturation has it: the same equation turned
 * round, with its own constants (others take 237.7 for 237.3, a difference of 0.02 to 0.03 degrees).
 */
export function dewPoint(celsius: number, humidity: number): number {
  const over = Math.log(humidity / 100) + (17.27 * celsius) / (celsius + 237.3);
  return (237.3 * over) / (17.27 - over);
}

/**
 * The heat index in degrees F, for shade and light wind: Rothfusz 1990 (NWS SR 90-23) with both adjustments, the simple formula averaged
 * with the temperature below 80 °F, the temperature itself at 40 °F and under.
 */
export function heatIndex(fahrenheit: number, humidity: number): number {
  const [t, rh] = [fahrenheit, humidity];
  if (t <= 40) return t;
  const simple = (t + 0.5 * (t + 61 + (t - 68) * 1.2 + rh * 0.094)) / 2;
  if (simple < 80) return simple;
  const index =
    -42.379 +
    2.04901523 * t +
    10.14333127 * rh -
    0.22475541 * t * rh -
    6.83783e-3 * t * t -
    5.481717e-2 * rh * rh +
    1.22874e-3 * t * t * rh +
    8.5282e-4 * t * rh * rh -
    1.99e-6 * t * t * rh * rh;
  if (rh < 13 && t >= 80 && t <= 112) return index - ((13 - rh) / 4) * Math.sqrt((17 - Math.abs(t - 95)) / 17);
  if (rh > 85 && t >= 80 && t <= 87) return index + ((rh - 85) / 10) * ((87 - t) / 5);
  return index;
}

export type HeatBand = 'lower' | 'moderate' | 'high' | 'very_high';

/** The bands of OSHA's guide for employers: from 91 °F, from 103 °F, over 115 °F. */
export function heatBand(index: number): HeatBand {
  if (index > 115) return 'very_high';
  return index >= 103 ? 'high' : index >= 91 ? 'moderate' : 'lower';
}

/** How often mist comes on between two times of day (minutes after midnight), once every so many minutes: on average, so a part may be over. */
export function mistCycles(everyMinutes: number, from: number, to: number): number {
  return (to - from) / everyMinutes;
}

/** The water of so many seconds of mist through nozzles of one flow an hour, in the unit of that flow. */
export function mistWater(seconds: number, nozzles: number, perHour: number): number {
  return (seconds / 3600) * nozzles * perHour;
}
