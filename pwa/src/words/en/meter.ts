/** What a meter shows, and what it means. */
import { spelling } from '../variety';

export const reading = {
  ph: 'pH',
  ec: 'Conductivity (EC)',
  ecUnit: 'Unit of the meter',
  method: 'How was it measured?',
  methods: {
    pour_through: 'pour-through',
    saturated: 'saturated paste',
    one_to_two: '1 to 2',
    direct: 'probe in the pot',
  },
  light: 'Light',
  lightUnit: 'The meter shows',
  footCandles: 'foot-candles (fc)',
  lamp: 'What shone?',
  lamps: {
    sun: 'sun',
    blue_sky: 'blue sky in shade',
    cool_white: 'cool white tubes',
    high_pressure_sodium: 'high-pressure sodium',
    metal_halide: 'metal halide',
    incandescent: 'incandescent bulb',
    led: 'LED',
  },
  flux: (umol: string) => `About ${umol} µmol/m²s (Thimijan and Heins 1983).`,
  noFlux: 'Foot-candles of LEDs cannot be converted. Use a meter in µmol for them.',
  day: (mol: string) => `Held for 12 hours that makes ${mol} mol/m² a day.`,
  deficit: (kpa: string) =>
    `${spelling('Vapor', 'Vapour')} pressure deficit ${kpa} kPa. Under mist 0.3 to 0.5 is usual (common practice, no source).`,
  dew: (at: string) => `Anything at ${at} or colder gets wet (dew point).`,
  feels: (index: string, band: string) =>
    `Heat index ${index}: ${band}. That is for shade and light wind; under glass in sun it is worse.`,
  bands: { lower: 'lower risk', moderate: 'moderate risk', high: 'high risk', very_high: 'very high risk' },
  air: 'Air temperature',
  medium: 'Temperature in the pot',
  humidity: 'Air humidity',
  saved: 'Reading noted.',
};
