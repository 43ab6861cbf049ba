import { counter, form, stop } from '../plural';
import type { morning as english } from '../en/morning';

const beds = counter('es', { one: 'cama', other: 'camas' });
const walks = counter('es', { one: 'recorrido', other: 'recorridos' });
const things = counter('es', { one: 'asunto', other: 'asuntos' });
const notes = counter('es', { one: 'nota', other: 'notas' });
const values = counter('es', { one: 'valor', other: 'valores' });
const phones = counter('es', { one: 'teléfono', other: 'teléfonos' });
const days = counter('es', { one: 'día', other: 'días' });
const pots = counter('es', { one: 'maceta', other: 'macetas' });

export const morning = {
  needs: (count) => (count === 0 ? 'Nada por atender' : `${things(count)} por atender`),
  due: (count) => (count === 0 ? 'ninguna cama por recorrer' : `${beds(count)} por recorrer`),
  walking: (count) => (count === 0 ? 'ningún recorrido en curso' : `${walks(count)} en curso`),
  title: 'Por atender',
  none: 'Nada requiere un paso. Las camas por recorrer están en el plano.',
  arriving: 'Pidiendo la lista al servidor…',
  some: (shown, all) => `${shown} de ${all}`,
  all: (count) => `los ${count}`,
  fewer: 'los primeros 8',
  away: (count) => `${count} ${form('es', count, { one: 'resuelto o pospuesto', other: 'resueltos o pospuestos' })}`,
  show: 'mostrar',
  hide: 'ocultar',

  inBed: (bed, said) => `${bed}: ${said}`,
  flag: {
    rot: (x, n) => `pudrición de raíz en ${x} de ${n}`,
    chlorosis: (x, n) => `clorosis en ${x} de ${n}`,
    disease: (x, n) => `posible enfermedad en ${x} de ${n}`,
  },
  pots,
  interval: (low, high) => `Intervalo del 90\u202f%: ${low} a ${high}.`,
  bounds: (low, high) => `(${low} a ${high})`,
  before: (x, n) => `El recorrido anterior: ${x} de ${n}.`,
  onlyLot: (lot) => `Solo en el lote ${lot}.`,
  rotCare: 'Envíe raíces a un laboratorio antes de tratar.',
  diseaseCare: 'No las toque: no las mueva ni las tire.',
  dropped: (trait, now, before) => `${trait}: menos parejo, ${now}; antes ${before}`,
  droppedBounds: (now, before) => `Ahora ${now}, antes ${before}.`,
  uneven: (trait, now) => `${trait}: disparejo, ${now} de 100 macetas dentro del rango`,
  ownAim: (aim) => `Su uniformidad deseada es ${aim}.`,
  startAim: (aim) => `La uniformidad deseada es ${aim} mientras no anote la suya en Cultivos.`,
  ships: (lot, week) => `${lot} se embarca en la ${week}.`,
  otherScout: 'Lo recorrió otra persona: una parte puede ser su forma de medir.',
  late: (lot, step, late) => `${lot}: ${step}, con ${days(late)} de atraso`,
  hardly: (lot, week) => `${lot} probablemente no llega a la ${week}`,
  surely: (lot, week) => `${lot} casi seguro no llega a la ${week}`,
  ready: (on) => `Lo más probable: listo el ${on}.`,
  chance: (chance, week) => `Probabilidad para la ${week}: ${chance}.`,
  notOwn: (count, all) =>
    all === 1
      ? 'La duración de la etapa es la de Bedwalk, no la suya.'
      : count === all
        ? `Las ${all} duraciones de etapa son las de Bedwalk, no las suyas.`
        : `${count} de ${all} duraciones de etapa ${form('es', count, { one: 'es la', other: 'son las' })} de Bedwalk, no ${form('es', count, { one: 'la suya', other: 'las suyas' })}.`,
  overbooked: (week, crop, pot, missing) =>
    `${week}, ${crop} ${pot}: ${pots(missing)} ${form('es', missing, { one: 'apartada', other: 'apartadas' })} por encima de lo seguro`,
  tooFew: (chance) => `Probabilidad de que no alcancen: ${chance}.`,
  disagree: (lot, field) => `${lot}: dos personas anotaron valores distintos en «${field}»`,
  quarantined: (count, phone) =>
    `${notes(count)}${phone === '' ? '' : ` de ${phone}`} ${form('es', count, { one: 'espera', other: 'esperan' })} su decisión`,
  noBackup: 'Todavía no hay respaldo',
  oldBackup: (when) => `Sin respaldo desde ${when}`,
  backupLacks: (count) => `${notes(count)} no ${form('es', count, { one: 'está', other: 'están' })} en ninguno.`,
  backups: 'Respaldos',
  lastBackup: (when, lacks) =>
    lacks === 0
      ? stop(`Todas las notas están en el último respaldo, hecho ${when}`)
      : `${stop(`El último respaldo se hizo ${when}`)} Desde entonces ${form('es', lacks, { one: 'llegó', other: 'llegaron' })} ${notes(lacks)}.`,
  backupHow:
    'En el servidor: bedwalk backup --to CARPETA; con bedwalk serve --backup-to CARPETA los respaldos se hacen solos.',
  silent: (count, names) => `Sin noticias de ${phones(count)}: ${names}`,
  silentPending: (count) => `${notes(count)} sin enviar, según lo último que dijeron.`,
  silentSince: (count, when) => stop(count === 1 ? `Última vez: ${when}` : `El que más, desde ${when}`),
  webhook: (name) => `Se apagó el webhook «${name}»`,
  webhookHow: 'Sus mensajes no se aceptaron. Un dueño lo enciende otra vez en Preparar, Otros programas.',
  mistyped: (count, where) =>
    `${values(count)} ${form('es', count, { one: 'parece mal escrito', other: 'parecen mal escritos' })}: ${where}`,
  back: {
    day: (name) => `${name} lo pospuso hasta hoy.`,
    worse: (name) => `Vuelve porque empeoró desde que ${name} lo quitó de la lista.`,
    found: (name) => `${name} lo dio por resuelto; un recorrido posterior lo encontró otra vez.`,
  },
  settledBy: (name, when) => `${name} lo dio por resuelto ${when}`,
  snoozedBy: (name, until) => `${name} lo pospuso hasta el ${until}`,

  send: 'Enviar a alguien',
  settle: 'Resuelto',
  snooze: 'Posponer…',
  bringBack: 'Regresar a la lista',
  openLot: 'Abrir el lote',
  openPlan: 'Abrir en el plan',
  openWeeks: 'Abrir la semana',
  lookAt: (count) => `Ver ${notes(count)}`,
  backUpNow: 'Respaldar ahora',
  backingUp: 'Respaldando…',
  backedUp: (name: string) => `Respaldado: ${name}`,
  tabs: { needs: 'Pendiente', beds: 'Camas', tomorrow: 'Mañana', more: 'Más' },
  toPhones: 'Ver los teléfonos',
  checkThem: 'Revisarlos',
  keep: (value) => `Queda ${value}`,
  settled: (what) => `Resuelto: ${what}`,
  snoozed: (what, until) => `Pospuesto hasta el ${until}: ${what}`,
  broughtBack: (what) => `Otra vez en la lista: ${what}`,
  kept: (value) => `Queda ${value}`,
  snoozeTitle: 'Posponer a un día',
  snoozeNote: 'Vuelve ese día, o antes si empeora.',
  snoozeDay: 'Día',
  save: 'Guardar',
  sendTitle: (bed) => `Enviar a alguien a ${bed}`,
  sendTo: 'A quién',
  sendDue: 'Para el día',
  sendWords: 'Qué hacer',
  sendWork: (found) => `Revisar otra vez: ${found}`,
  sent: (name) => `${name} va a esta cama`,
  onTheWay: (name, until) => `${name} ya va a esta cama${until === '' ? '' : `, a más tardar el ${until}`}.`,
  callBack: 'Que no vaya',
  callBackOf: (name) => `Que ${name} no vaya`,
  calledBack: (name) => `${name} ya no va`,
  noScout: 'Elija quién va.',
  strip: (hit, all) => `En qué parte de la cama: ${hit} de ${pots(all)} con lugar lo muestran`,

  bedsTitle: (count) => beds(count),
  bedsNote: 'uniformidad e intervalo',
  view: 'Vista',
  plan: 'Plano',
  table: 'Tabla',
  weeks: 'Embarque',
  noWeek: 'Sin semana de embarque',
  stripFew: (count) => `pocas: ${pots(count)}`,
  dueCount: (count) => `${count} por recorrer`,
  meanOf: (mean) => `uniformidad media ${mean}`,
  stage: 'Etapa',
  finding: 'Hallazgo',
  anyFinding: 'todos',
  findings: {
    rot: 'pudrición de raíz',
    chlorosis: 'clorosis',
    disease: 'posible enfermedad',
    dropped: 'menos parejo que antes',
    uneven: 'disparejo',
    late: 'atrasado para su semana',
    mistyped: 'valores mal escritos',
  },
  walkingOnly: 'recorrido en curso',
  rank: (rank) => `número ${rank} de la lista`,
  foldNote:
    'Cada bloque es una cama, llena desde abajo según sus macetas fuera del rango. Rayado: muy pocas macetas revisadas. Abra una nave para ver sus camas.',
  openHouse: (name) => `Abrir ${name}`,
  shutHouse: (name) => `Cerrar ${name}`,
  legend: {
    over: (aim: number | undefined) => (aim === undefined ? 'lo deseado o más' : `${aim} o más`),
    middle: (aim: number | undefined, by: number) =>
      aim === undefined ? `hasta ${by} menos` : `${aim - by} a ${aim - 1}`,
    under: (aim: number | undefined, by: number) => (aim === undefined ? 'todavía menos' : `menos de ${aim - by}`),
    few: 'muy pocas macetas',
    walking: 'recorrido ahora',
    rank: 'en la lista',
    lots: 'se juntan lotes',
  },
  legendNote:
    'El bloque es la parte de las macetas fuera del rango, no un lugar de la cama. La línea de abajo es el intervalo de 90\u202f%.',
  legendOwn: 'Los tonos siguen la uniformidad deseada de cada cultivo.',
  legendCommon: 'La uniformidad deseada se anota en Cultivos; donde no hay, es 75 (práctica común, sin fuente).',

  promise: 'Semanas de embarque',
  promiseHead: { week: 'Sem.', booked: 'Apartadas', safe: 'Seguras' },
  promiseNone: 'Ningún lote tiene semana de embarque todavía.',
  promiseNote:
    'Caja: macetas de cualquier grado en 90 de 100 casos. Raya gruesa: apartadas. Seguras: macetas de cualquier grado que todavía se pueden prometer, y cuántas de ellas del mejor grado, cada cultivo y tamaño por su lado.',
  promiseBest: (macetas) => `${macetas} del mejor`,
  urgent: 'Lo más urgente:',
  least: 'Las más disparejas:',
  promiseMissing: (macetas, crop, pot) => `${crop} ${pot}: ${macetas} no seguras`,
  promiseShort: (weeks) => `Prometido más allá de lo seguro: ${weeks}.`,
  tomorrow: 'Qué camas siguen',
} satisfies typeof english;
