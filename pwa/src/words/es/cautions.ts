import type { hazards as englishHazards, signs as englishSigns } from '../en/cautions';

export const signs: typeof englishSigns = {
  label: 'La etiqueta es la ley',
  gear: 'Guantes y lentes',
  licence: 'Solo gente capacitada',
  sum: 'Cuentas, no consejos',
  second: 'Otra persona revisa',
  entry: 'No entrar durante el REI',
  cooler: 'Nunca solo en el cuarto frío',
  heat: 'Calor: agua, sombra, descanso',
  lifting: 'Mojadas pesan mucho',
  blades: 'Corte lejos de la mano',
  peat: 'Turba: mascarilla y guantes',
  disease: 'Enfermedad: guarde y mire',
  electricity: 'Agua y electricidad',
};

export const hazards: typeof englishHazards = {
  title: 'Cuidado',
  cooler:
    'En el cuarto frío: nunca solo; sepa dónde está la salida y cómo se abre por dentro. Salga de inmediato si suena una alarma, si huele fuerte o si le duele la cabeza. Adentro no use motores ni guarde fruta que madura: se juntan gases y se caen los botones.',
  heat: 'Calor: tome agua cada 15 a 20 minutos, descanse en la sombra, cuídense entre todos. Si alguien se confunde, se tambalea o se desmaya, es una emergencia: refrésquelo y pida ayuda.',
  lifting:
    'Al levantar: las macetas mojadas pesan mucho más que las secas. Lleve menos cada vez, use un carrito, doble las rodillas, pida ayuda a otra persona.',
  peat: 'Sustrato y turba: use mascarilla para polvo y guantes, mantenga húmedo el sustrato, cubra las heridas y lávese manos y brazos al terminar.',
  blades: 'Navajas y tijeras: use lentes, corte alejando el filo de la mano, límpielas entre cama y cama.',
  disease:
    'Si puede ser una enfermedad de aviso obligatorio: deje las macetas donde están y tome una foto. No las mueva ni las tire en la composta o en un montón cerca de las plantas madre. Pregunte a la autoridad de sanidad vegetal; sus reglas y las locales deciden. Si no, póngalas en bolsas y sáquelas lejos de las naves.',
  electricity:
    'Agua y electricidad: bombas, relojes y válvulas quedan bajo la nebulización. Solo los abre gente calificada, con la corriente cortada y con candado. Mantenga cables y cajas lejos de lo mojado; deciden las reglas eléctricas locales.',
};
