import type { reading as english } from '../en/meter';

/** What a meter shows, and what it means. */
export const reading: typeof english = {
  ph: 'pH',
  ec: 'Conductividad (CE)',
  ecUnit: 'Unidad del medidor',
  method: '¿Cómo se midió?',
  methods: {
    pour_through: 'lixiviado',
    saturated: 'pasta saturada',
    one_to_two: '1 a 2',
    direct: 'sonda en la maceta',
  },
  light: 'Luz',
  lightUnit: 'El medidor marca',
  footCandles: 'pies-candela (fc)',
  lamp: '¿Qué alumbraba?',
  lamps: {
    sun: 'sol',
    blue_sky: 'cielo azul en la sombra',
    cool_white: 'tubos blanco frío',
    high_pressure_sodium: 'sodio de alta presión',
    metal_halide: 'halogenuros metálicos',
    incandescent: 'foco incandescente',
    led: 'LED',
  },
  flux: (umol: string) => `Unos ${umol} µmol/m²s (Thimijan y Heins 1983).`,
  noFlux: 'Los pies-candela de LED no se pueden convertir. Para eso use un medidor en µmol.',
  day: (mol: string) => `Durante 12 horas eso da ${mol} mol/m² al día.`,
  deficit: (kpa: string) =>
    `Déficit de presión de vapor ${kpa} kPa. Bajo neblina lo usual es 0.3 a 0.5 (costumbre, sin fuente).`,
  dew: (at: string) => `Lo que esté a ${at} o más frío se moja (punto de rocío).`,
  feels: (index: string, band: string) =>
    `Índice de calor ${index}: ${band}. Vale para la sombra con poco viento; bajo vidrio y al sol es peor.`,
  bands: { lower: 'riesgo bajo', moderate: 'riesgo moderado', high: 'riesgo alto', very_high: 'riesgo muy alto' },
  air: 'Temperatura del aire',
  medium: 'Temperatura en la maceta',
  humidity: 'Humedad del aire',
  saved: 'Lectura anotada.',
};
