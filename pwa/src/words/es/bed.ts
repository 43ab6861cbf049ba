import { counter } from '../plural';
import { theTrait } from './common';
import type { bed as english } from '../en/bed';

const pots = counter('es', { one: 'maceta', other: 'macetas' });

export const bed = {
  seenOf: (seen: number, standing: string) =>
    `${pots(seen)} ${seen === 1 ? 'revisada' : 'revisadas'}, ${standing} registradas`,
  walkedBy: (when: string, who: string) => `recorrida ${when} por ${who}`,
  leftBy: (seen: number, about: number, standing: string, when: string, who: string) =>
    `${about > seen ? `${seen} de unas ${pots(about)} revisadas` : `${pots(seen)} ${seen === 1 ? 'revisada' : 'revisadas'}`} ${when} por ${who}, sin terminar · ${standing} registradas`,
  neverTitle: 'Nadie ha recorrido esta cama',
  never:
    'Quien monitorea la abre en el teléfono, en Hoy, y toca «Empezar recorrido». Lo que anote aparece aquí cuando llegue al servidor.',
  closed: (until: string) =>
    `Cerrada hasta ${until} por el intervalo de entrada restringida (REI). Antes no se puede empezar un recorrido. La etiqueta es la ley.`,
  walk: 'Recorrido',
  walkOption: (day: string, who: string, value: string) => `${day} · ${who} · ${value}`,
  note: 'Anotar aquí',
  csv: 'Descargar CSV',
  startHere: 'Empezar aquí un recorrido',
  edit: {
    open: 'Cambiar la cama',
    names: {
      name: 'Nombre',
      entry_end: 'Nombre de la entrada',
      far_end: 'Nombre del fondo',
      aisles: 'Por dónde se camina',
      near_side: 'Nombre del lado cercano',
      far_side: 'Nombre del lado lejano',
      rows: 'Hileras',
      across: 'Macetas a lo ancho',
      length_mm: 'Largo',
      width_mm: 'Ancho',
    },
    aisles: { near: 'solo el lado cercano', far: 'solo el lado lejano', both: 'los dos lados' },
    sides: 'El lado cercano queda a su derecha al entrar. El teléfono manda a cada lado por su nombre.',
    sameSides: 'Los dos lados se llaman igual. Dé a cada uno su nombre.',
    lotsBeyond: (row: number) => `Un lote llega a la hilera ${row}. Muévalo primero, o ponga al menos ${row} hileras.`,
  },
  askRound: 'Lectura a ciegas',
  size: (length: string, width: string, rows: number, across: number) =>
    `${length} por ${width}, ${rows} hileras de ${across}`,

  evenTitle: 'Qué tan pareja',
  limitingTrait: (trait: string) => `lo más disparejo: ${theTrait(trait)}`,
  outOf: 'de cada 100 macetas, cerca del promedio de su lote',
  tooFewPots: (n: number) =>
    `Solo ${pots(n)} ${n === 1 ? 'revisada' : 'revisadas'}: muy pocas para dar un número. Revise más antes de evaluar la cama.`,
  notMeasured: 'En este recorrido no se midió ninguna copa ni se contaron botones.',
  fewInLots: (count: number) =>
    `En ${counter('es', { one: 'lote', other: 'lotes' })(count)} se midieron menos de cinco macetas, y ahí el intervalo no es confiable.`,
  withoutSlips: (value: string) => `Sin las medidas que parecen mal escritas sería ${value}.`,
  trait: (trait: string, value: string, n: number) => `${trait}: ${value}, ${pots(n)}`,
  enough: 'Se revisaron suficientes macetas para la certeza que pide este cultivo.',
  enoughOfRest: (from: number, to: number, isOneSide: boolean) =>
    isOneSide
      ? `Suficientes macetas para la parte recorrida; las hileras ${from} a ${to} se recorrieron de un solo lado.`
      : `Suficientes macetas para las hileras recorridas; las hileras ${from} a ${to} no se recorrieron.`,
  more: (count: number) => `Unas ${pots(count)} más darían la certeza que pide este cultivo.`,
  minimum: (count: number) => `${count === 1 ? 'Falta' : 'Faltan'} ${pots(count)} para el mínimo de un recorrido.`,
  maximum: 'El recorrido llegó al máximo de macetas.',
  edge: (seen: string, all: string) =>
    `${seen} de las macetas revisadas están junto a un pasillo; en toda la cama, ${all}.`,
  between: (value: string, n: number) =>
    `${value} de la variación del tamaño de copa está entre los lotes (${pots(n)}).`,

  saysTitle: 'Lo que muestra el recorrido',
  saysUnderWay: 'El recorrido en curso no cambia nada de esto hasta que termine.',
  saysPart: 'Este recorrido no se ha terminado. Esto es de las macetas revisadas hasta ahora.',
  saysNone: 'Nada llama la atención a lo largo, a lo ancho ni entre los lotes.',

  alongTitle: 'Macetas revisadas, a lo largo de la cama',
  alongNote: 'La entrada a la izquierda, el pasillo cercano abajo. A escala a lo largo; a lo ancho está estirada.',
  legendSeen: 'revisada',
  legendOut: 'copa fuera del margen del lote (marcas vacías)',
  outOfBand: 'copa fuera del margen',
  legendTrouble: 'pudrición, clorosis o enfermedad',
  legendVoided: 'tachada',

  headsAlongTitle: 'Tamaño de copa a lo largo de la cama',
  headsAlongName: (said: string) => `Tamaño de copa a lo largo de la cama, una marca por maceta. ${said}`,
  headsAlong:
    'Las marcas llenas están dentro del margen del lote; las vacías, fuera. Las líneas, con su franja del 90\u202f%, son de mínimos cuadrados.',
  headsAlongShare:
    'Los lotes de distinto tamaño van como parte de su propia media. Las marcas llenas están dentro del margen; las vacías, fuera. Las líneas, con su franja del 90\u202f%, son de mínimos cuadrados.',
  evenAxis: 'uniformidad, de cada 100 macetas',
  walks: counter('es', { one: 'recorrido', other: 'recorridos' }),
  budsAxis: 'botones por maceta',
  headAxis: (unit: string) => `copa, ${unit}`,
  shareAxis: 'copa, % de la media del lote',
  alongAxis: (unit: string, entry: string) => `${unit} desde ${entry ? `«${entry}»` : 'la entrada'}`,
  fromEntry: 'Desde la entrada',
  slope: (lot: string, change: string, every: string, low: string, high: string, n: number) =>
    `${lot}: las copas cambian ${change} cada ${every} desde la entrada (de ${low} a ${high}; ${pots(n)}).`,
  slopeUnseen: (lot: string, change: string, every: string, low: string, high: string, n: number) =>
    `${lot}: no se ve cambio a lo largo de la cama (${change} cada ${every}, de ${low} a ${high}; ${pots(n)}).`,
  slopeNone: (lot: string) => `${lot}: muy pocas macetas medidas para una línea a lo largo.`,

  otherBeds: 'Otras camas',
  nthOf: (nth: number, count: number) => `${nth} de ${count}`,
  pin: 'Comparar con…',
  unpin: 'No comparar',
  pinEarlier: (bed: string) => `${bed}, otro recorrido`,
  pinWalk: 'Recorrido con que se compara',
  sideBySide: (one: string, other: string) => `${one} y ${other}`,
  less: (one: string, other: string) => `${one} menos ${other}`,
  of100: 'De cada 100 macetas',
  sideNote:
    'Entre paréntesis van intervalos del 90\u202f%. Una diferencia va en negrita si su intervalo deja fuera el 0: donde nada difiere, la casualidad sola pone en negrita una de diez líneas, más o menos.',

  headTitle: 'Tamaño de copa',
  budsTitle: 'Número de botones',
  band: (share: string) => `La franja es el promedio del lote ± ${share}; la línea es el promedio.`,
  dots: (trait: string, said: string) => `${trait}, un punto por maceta. ${said}`,
  dotsLot: (lot: string, n: number, mean: string, inside: string) =>
    `${lot}: ${pots(n)}, promedio ${mean}, ${inside} dentro de la franja`,
  inBand: (x: number, n: number) => `${x} de ${n} en la franja`,
  traitNone: (trait: string) => `Sin datos de ${trait} en este recorrido.`,

  rootsTitle: 'Raíces y hojas',
  cover: 'Cobertura de raíz: cuánto del cepellón está cubierto',
  coverClass: ['nada', '20\u202f%', '40\u202f%', '60\u202f%', '80\u202f%', 'todo'],
  life: 'Vida de raíz: si están vivas',
  lifeClass: ['todas muertas', 'casi todas muertas', 'la mitad', 'casi todas vivas', 'todas vivas'],
  patchFrom: (n: number, from: string) => `${pots(n)} son muy pocas para ver manchones de menos de ${from}.`,
  notLooked: 'No se revisó en este recorrido.',
  rot: 'Pudrición de raíz',
  thin: 'Pocas raíces',
  chlorosis: 'Clorosis',
  lowerBrown: 'Hojas de abajo cafés junto a la maceta',
  lowerBrownTicked: (count: number) =>
    `anotado en ${pots(count)}; no se pregunta en cada una, así que no hay porcentaje`,
  lowerBrownNote: 'natural donde las macetas están juntas; se cuenta aparte de enfermedad',
  disease: 'Posible enfermedad',
  severity: (index: string, n: number) => `índice de severidad ${index} de 100 en ${pots(n)}`,
  softFlush: (n: number) => `${pots(n)} con brote tierno, que sale más claro y es normal`,

  lotsTitle: 'Lote por lote',
  lot: 'Lote',
  rows: 'Hileras',
  standing: 'Registradas',
  seen: 'Revisadas',
  headMean: 'Copa, promedio',
  headCv: 'Copa, CV',
  headEven: 'Copa, uniformidad',
  headCounted: 'Copa, contadas en la franja',
  budsMean: 'Botones, promedio',
  budsCv: 'Botones, CV',
  budsEven: 'Botones, uniformidad',
  budsCounted: 'Botones, contadas en la franja',

  gradeTitle: '¿Qué grado dará?',
  gradeNone: 'No hay grados para este cultivo y tamaño de maceta, o ninguna maceta se revisó completa.',
  gradeOf: (n: number, standing: string) => `De ${pots(n)} revisadas completas, para ${standing} registradas`,
  grade: 'Grado',
  gradeUnder: 'sin grado',
  gradeSeen: 'Revisadas',
  gradeExpected: 'Esperadas de las registradas',
  expected: (value: string, low: string, high: string) => `${value} (${low} a ${high})`,
  costs: (said: string) => `Lo que deja más macetas fuera del primer grado: ${said}.`,
  cost: (line: string, fail: number, n: number) => `${line} (${fail} de ${n})`,
  line: {
    head_min_mm: 'tamaño de copa',
    head_max_mm: 'copa demasiado grande',
    round_min_bp: 'redondez',
    buds_min: 'número de botones',
    budded_min_bp: 'puntas con botón',
    root_cover_min: 'cobertura de raíz',
    root_life_min: 'vida de raíz',
    chlorosis_max: 'clorosis',
  },

  trendTitle: 'Recorrido por recorrido',
  trendOf: (trait: string, n: number, first: string, last: string) =>
    `${trait}: uniformidad en ${counter('es', { one: 'recorrido', other: 'recorridos' })(n)}, de ${first} a ${last}`,
  trendNote:
    'Uniformidad de copas y de botones, cada una con su intervalo de 90\u202f%. Una línea vertical marca el cambio de monitoreador donde una de ellas dio un salto: la causa puede ser la persona y no la cama. Las líneas con número marcan lo que se hizo en la cama.',
  trendOfTrait: (trait: string) => `Uniformidad de ${trait}, de cada 100 macetas`,
  trendNoteOther: (bed: string, other: string) =>
    `Los círculos son ${bed}; los cuadros y la línea cortada, ${other}. Las franjas son intervalos del 90\u202f%.`,
  trendBudsFrom: 'desde aquí se cuentan botones',
  trendWalk: 'Recorrido',
  trendScout: 'Monitoreador',
  trendChanged: (trait: string) => `${trait}: salto al cambiar de monitoreador`,
  notEnded: 'sin terminar',

  potsTitle: 'Todas las macetas',
  potsNote: 'Se muestran los valores corregidos; las macetas tachadas siguen en la lista y no cuentan.',
  place: 'Lugar',
  head: 'Copa',
  height: 'Altura',
  buds: 'Botones',
  coverShort: 'Cobertura',
  lifeShort: 'Vida',
  scratch: 'Prueba de raspado',
  leaves: 'Clorosis',
  marks: 'Señales',
  words: 'Comentario',
  byWhom: 'Anotó',
  whenNoted: 'Cuándo',
  outOfPlace: 'sin lugar anotado',
  voided: (why: string, who: string) => `la tachó ${who}: ${why}`,
  corrected: 'corregida',
  others: (count: number) =>
    `${count === 1 ? 'otra versión anotada' : `otras ${count} versiones anotadas`} por separado`,
  diseaseMark: 'posible enfermedad',
  bypass: (count: number) => counter('es', { one: 'brote que sobresale', other: 'brotes que sobresalen' })(count),
  lowerBrownMark: 'hojas de abajo cafés',
  softFlushMark: 'brote tierno',

  factsTitle: 'Notas de esta cama',
  factsNone: 'Ninguna.',

  round: {
    title: 'Pedir segunda lectura a ciegas',
    intro:
      'Otro monitoreador va a las mismas macetas sin ver los primeros valores. Lo que lea se compara en la página Monitoreo y aquí no cambia nada.',
    who: 'Quién hace la segunda lectura',
    anybody: 'cualquiera menos el primero',
    ask: 'Pedir segunda lectura',
    asked: 'Pedida. Aparece en el teléfono de ese monitoreador cuando tenga señal.',
    failed: 'La petición no se pudo guardar en este aparato. Libere espacio o recargue la página y hágala de nuevo.',
  },
} satisfies typeof english;
