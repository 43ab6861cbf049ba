/**
 * What the crew call the fields of a note and the answers that stand in them: for saying what is wrong with one. The words
 * are those of the forms and pages, held equal by fault.test.ts; their lists are not read here, since the screen of a
 * scout's own notes would then load the whole desk's.
 */
import { appWords } from '..';

/** By the field's name, or its last two where the last alone would say something else. */
export const fieldNames: { readonly [field: string]: string } = {
  entry: 'Nota',
  body: 'Contenido de la nota',
  kind: 'Clase de nota',
  device: 'Aparato',
  person: 'Persona',
  seq: 'Número de la nota',

  head_a_mm: 'Copa, primer diámetro',
  head_b_mm: 'Copa, segundo diámetro',
  height_mm: 'Altura',
  buds: 'Botones',
  buds_tight: 'Botones cerrados',
  buds_colour: 'Botones mostrando color',
  buds_candle: 'Botones en vela',
  buds_open: 'Botones abiertos',
  tips_bare: 'Puntas sin botón',
  root_cover: 'Cobertura de raíz',
  root_life: 'Vida de raíz',
  scratch: 'Prueba de raspado',
  chlorosis: 'Clorosis',
  severity: 'Grado de clorosis',
  bypass: 'Brotes que sobresalen',
  soft_flush: 'Brote tierno',
  lower_brown: 'Hojas de abajo cafés',
  disease: 'Posible enfermedad',

  lot: 'Lote',
  bed: 'Cama',
  walk: 'Recorrido',
  span: 'Tramo de cama',
  house: 'Nave',
  round: 'Segunda lectura',
  by: 'Quién hace la segunda lectura',
  pot: 'Maceta',
  now: 'Maceta corregida',
  place: 'Lugar',
  places: 'Macetas por revisar',
  row: 'Hilera',
  'place.across': 'Lugar desde el pasillo',
  'places.across': 'Lugar desde el pasillo',
  planned: 'Macetas por revisar',
  why: 'Razón',
  reason: 'Razón',
  what: 'Paso',
  words: 'Comentario',
  name: 'Nombre',
  note: 'Comentario',
  role: 'Función',
  time_zone: 'Zona horaria',
  length_mm: 'Largo',
  width_mm: 'Ancho',
  rows: 'Hileras',
  across: 'Macetas a lo ancho',
  entry_end: 'Nombre de la entrada',
  far_end: 'Nombre del otro extremo',
  aisles: 'Pasillos',
  from_row: 'Desde la hilera',
  to_row: 'Hasta la hilera',
  order: 'Orden',

  tag: 'Etiqueta',
  crop: 'Cultivo',
  cultivar: 'Variedad',
  pot_mm: 'Tamaño de maceta',
  struck_on: 'Esqueje puesto el',
  potted_on: 'Enmacetado el',
  shipped_on: 'Embarcado el',
  on: 'Día',
  origin: 'Origen',
  parent: 'Viene de',
  ship_week: 'Semana de embarque',
  route: 'Destino',
  grades: 'Grados',
  grade: 'Grado',
  pots: 'Macetas',
  buyer: 'Comprador',
  head_min_mm: 'Copa mínima',
  head_max_mm: 'Copa máxima',

  head_tolerance_bp: 'Tolerancia de copa',
  bud_tolerance_bp: 'Tolerancia de botones',
  walk_every_days: 'Días entre recorridos',
  min_pots: 'Mínimo de macetas por recorrido',
  max_pots: 'Máximo de macetas por recorrido',
  width_bp: 'Ancho deseado del intervalo de uniformidad',
  expected_cv_bp: 'Variación esperada en un primer recorrido',
  trouble_ok_bp: 'Parte de macetas con problemas que es aceptable',
  trouble_bad_bp: 'Parte de macetas con problemas que es demasiada',
  risk_false_bp: 'Riesgo de falsa alarma',
  risk_miss_bp: 'Riesgo de no verlo',
  expected_loss_bp: 'Pérdida esperada antes de embarcar',
  promise_min: 'Mínimo de macetas para prometer',
  graded_from_weeks: 'Los grados empiezan, semanas antes del embarque',

  change: 'Cuántas macetas',
  counted: 'Macetas contadas',
  legs: 'Traslado de macetas',
  beds: 'Camas',
  purpose: 'Para qué',
  active: 'Ingrediente activo',
  product: 'Nombre del producto',
  ended_at: 'Cuándo terminó el trabajo',
  entry_hours: 'Intervalo de entrada restringida (REI)',
  ph_c: 'pH',
  ec_us_cm: 'Conductividad (CE)',
  method: 'Cómo se tomó',
  light_umol: 'Luz',
  temp_dc: 'Temperatura del aire',
  medium_dc: 'Temperatura en la maceta',
  humid_bp: 'Humedad del aire',
  struck: 'Esquejes revisados',
  rooted: 'Esquejes enraizados',
  bytes: 'Tamaño de la foto',
  wide_px: 'Ancho de la foto',
  high_px: 'Alto de la foto',
  type: 'Clase de foto',
};

type Answers = { readonly [answer: string]: string };

const answers: { readonly [field: string]: Answers } = {
  aisles: { near: 'el cercano', far: 'el lejano', both: 'los dos' },
  route: { florist: 'florista', nursery: 'vivero' },
  why: {
    moved: 'movidas',
    step_up: 'trasplantadas',
    split: 'separadas',
    merged: 'juntadas',
    enough: 'con lo visto basta',
    planned: 'se vio todo lo planeado',
    stopped: 'se dejó antes',
  },
  reason: {
    opening: 'conteo inicial',
    potted: 'enmacetadas',
    received: 'recibidas',
    found: 'encontradas',
    lost_root: 'pudrición de raíz',
    lost_disease: 'otra enfermedad',
    lost_pest: 'plagas',
    lost_dry: 'se secaron',
    lost_cold: 'frío',
    culled: 'descartadas',
    sold: 'vendidas',
    shipped: 'embarcadas',
    other: 'otro motivo',
  },
  what: {
    stuck: 'esqueje puesto',
    rooted: 'enraizado',
    potted: 'enmacetado',
    stepped_up: 'trasplantado',
    clipped: 'recortado',
    pinched: 'despuntado',
    hardened: 'endurecido',
    into_cooler: 'al cuarto frío',
    out_of_cooler: 'fuera del cuarto frío',
    into_forcing: 'a forzado',
    shipped: 'embarcado',
  },
  purpose: {
    growth_regulator: 'regulador de crecimiento',
    fungicide: 'contra hongos',
    insecticide: 'contra insectos o ácaros',
    other: 'otro',
  },
  method: {
    pour_through: 'lixiviado',
    saturated: 'pasta saturada',
    one_to_two: '1 a 2',
    direct: 'sonda en la maceta',
  },
  type: { 'image/jpeg': 'JPEG', 'image/png': 'PNG', 'image/webp': 'WebP' },
};

/** The crew's word for a field, from the names that lead to it; the field's own name where they have none. */
export function fieldName(path: readonly string[]): string {
  const last = path.at(-1) ?? '';
  return fieldNames[path.slice(-2).join('.')] ?? fieldNames[last] ?? `«${last}»`;
}

/** An answer to a question as its button says it; as written where no button has it. */
export function answerName(path: readonly string[], answer: string): string {
  const { common, scout } = appWords.value;
  const last = path.at(-1) ?? '';
  const shown: { readonly [field: string]: Answers } = {
    ...answers,
    scratch: common.scratch,
    chlorosis: common.chlorosisWhere,
    role: common.roles,
    why: { ...common.voidWhy, ...scout.walk.skipWhy, ...answers['why'] },
  };
  return shown[last]?.[answer] ?? answer;
}
