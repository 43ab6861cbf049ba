import type { promise as english } from '../en/promise';
import { counter, form, stop } from '../plural';

const pots = counter('es', { one: 'maceta', other: 'macetas' });

/** What may be promised of a lot, and what is booked. */
export const promise = {
  safe: (count: string, grade: string) => `${count} se pueden prometer como ${grade}`,
  safeNone: (grade: string) => `No se pueden prometer más como ${grade}`,
  note: (loss: string) =>
    `En 19 de 20 casos habrá al menos estas al embarcar, ya descontadas las pérdidas y lo apartado. ${loss} Si el lote va a estar listo a tiempo cuenta en Semanas de embarque, aquí no. Cada renglón es aparte: lo que promete de un grado se descuenta de los otros.`,
  loss: {
    none: 'No se descuenta ninguna pérdida antes de embarcar.',
    own: (share: string) => `Pérdida descontada: ${share}, según las pérdidas de este lote hasta hoy.`,
    stages: (share: string) => `Pérdida descontada: ${share}, según lo que usted escribió de sus etapas por venir.`,
    crop: (share: string) => `Pérdida descontada: ${share}, según lo esperado para el cultivo.`,
    several: (share: string) => `Pérdida descontada: ${share}, la del lote que puede perder más.`,
  },
  alone: 'Este lote solo. Si promete así varios lotes, es más común que a alguno le falten macetas.',
  together: (lots: string) => `${lots} juntos`,
  togetherNote: 'Promesa conjunta: la suma se cumple en 19 de 20 casos, sin importar de qué lote salgan las macetas.',
  over: (count: number, grade: string) =>
    `Apartado de más: ${pots(count)} ${form('es', count, { one: 'apartada', other: 'apartadas' })} como ${grade} por encima de lo seguro. Cambie o cancele un apartado, o revise más macetas.`,
  orBetter: (grade: string) => `${grade} o mejor`,
  caption: (whole: number, seen: number, standing: string) =>
    `De ${pots(seen)} revisadas, ${whole} completas, para ${standing} registradas`,
  grade: 'Grado',
  inGrade: 'Revisadas, de este grado o mejor',
  sure: 'Seguras, sin descontar pérdida',
  kept: 'Seguras al embarcar',
  booked: 'Apartadas, de este grado o mejor',
  more: 'Todavía se pueden prometer',
  leftSince: (count: number) =>
    `${pots(count)} ${form('es', count, { one: 'salió', other: 'salieron' })} después del recorrido; cada una se cuenta como si diera el grado, porque primero salen las mejores.`,
  part: (standing: string, all: string) =>
    `Solo para ${standing} de ${all} macetas registradas: las demás no se han contado todavía o no tienen un recorrido terminado a tiempo para dar grado.`,
  early: (day: string) => stop(`Es pronto para dar grado: se clasifica desde el ${day}`),
  earlyKnown: (said: string) => `Lo que se sabe: ${said}.`,
  earlyHead: (size: string) => `copa ${size}`,
  earlyBuds: (count: string) => `botones ${count}`,
  earlyNothing: 'Todavía no se sabe ningún tamaño ni número de botones.',
  tooFewPots: (whole: number, least: number) =>
    `Todavía no se puede prometer nada: ${pots(whole)} revisadas completas, y hacen falta al menos ${least}.`,
  ledger: 'No se puede prometer nada: hay menos macetas registradas que revisadas. Primero haga un reconteo del lote.',
  uncounted: 'No se puede prometer nada: nadie ha contado estas macetas. Primero cuéntelas.',
  shipped: 'El lote ya se embarcó: no se promete nada más y sus apartados están cerrados.',
  unwalked: 'Todavía no se puede prometer nada: ningún recorrido terminado cubrió este lote.',
  noWeek: 'No hay semana de embarque; puede ser pronto para dar grado. Póngala en el lote.',
  undecided: (count: number) =>
    `${pots(count)} sin decidir: no ${form('es', count, { one: 'entra', other: 'entran' })} en el pronóstico ni ${form('es', count, { one: 'cuenta', other: 'cuentan' })} para ninguna promesa.`,
  decide: (count: number, said: string) =>
    `Para ${form('es', count, { one: 'decidirla', other: 'decidirlas' })}, revise ${said}.`,
  lack: (line: string, count: number) => `${line} (${pots(count)})`,
  severity: 'qué tan pálidas están las hojas',

  title: 'Promesa y apartados',
  notForSale: 'Este lote se guarda para esquejes y no se vende, así que nada de él se puede prometer.',
  noGrades: 'No hay grados para este cultivo y tamaño de maceta; Bedwalk no puede decir qué se puede prometer.',
  bookings: 'Apartados',
  none: 'No hay nada apartado de este lote.',
  served:
    'Lo embarcado cubre primero los apartados de su semana, luego los anteriores y después los de la semana siguiente, pero nunca un apartado que se anotó después de que salieron. Lo demás sigue abierto. Lo que regresa se resta de lo último embarcado y vuelve a abrir su apartado.',
  free: (count: number) =>
    `${pots(count)} ${form('es', count, { one: 'embarcada', other: 'embarcadas' })} sin apartado.`,
  enter: 'Anotar un apartado',
  change: 'Cambiar',
  changeOf: (buyer: string) => `Cambiar el apartado de ${buyer}`,
  cancel: 'Cancelar este apartado',
  renew: 'Apartar otra vez',
  buyer: 'Comprador',
  pots: 'Macetas',
  week: 'Semana de embarque',
  weekNone: 'sin semana',
  holidays: {
    valentine: 'San Valentín',
    easter: 'Domingo de Pascua',
    mothers: 'Día de las Madres',
    christmas: 'Navidad',
  },
  weekFrom: (week: string, day: string) => `${week} (desde el ${day})`,
  shippedSoFar: 'Embarcadas',
  open: 'Abiertas',
  state: 'Estado',
  states: { open: 'abierto', shipped: 'embarcado', cancelled: 'cancelado', closed: 'cerrado: el lote ya se embarcó' },
  overdue: 'su semana ya pasó: embárquelo, cámbielo o cancélelo',
  before: (week: string) => `antes de la semana de embarque del lote, ${week}`,
  unknownGrade: 'aquí no hay ese grado: cuenta como el mejor',
  notThere: 'todavía no cuenta: por enviar',
  save: 'Guardar el apartado',
  saved: (count: number, buyer: string, week: string) =>
    `${pots(count)} ${form('es', count, { one: 'apartada', other: 'apartadas' })} para ${[buyer, week].filter(Boolean).join(', ')}.`,
  cancelledSaid: (buyer: string) => `El apartado de ${buyer} quedó cancelado. Sigue en la historia.`,
  gradeMissing: 'Elija un grado.',
  wideIntro:
    'Para cualquier lote de un cultivo y tamaño de maceta. Para apartar de un solo lote, use la página de ese lote.',
  crop: 'Cultivo',
  cultivar: 'Variedad',
  anyCultivar: 'cualquier variedad',
  potSize: 'Tamaño de maceta',
  choose: 'elija',
  cropMissing: 'Elija un cultivo.',
  potMissing: 'Elija un tamaño de maceta.',
  asksMore: (there) =>
    there === 0
      ? 'No hay macetas en el registro para esto. Guarde si de todos modos las quiere el comprador: la semana muestra lo que no se puede cumplir.'
      : `Más que las ${pots(there)} que hay en el registro para esto. Guarde si el comprador quiere tantas: la semana muestra lo que no se puede cumplir.`,
  weekMissing: 'Elija una semana de embarque.',
  price: 'Precio de una maceta, si se acordó',
  reference: 'Número de pedido, si lo hay',
  leans: (count) =>
    `Lo apartado incluye ${pots(count)} para apartados que no nombran lote: los otros lotes de la semana quizá no las tengan.`,

  edit: 'Editar',
  lotByTag: 'la etiqueta del otro lote; vacío si no hay',
  lotByTagWrong: (tag: string, found: number) =>
    found === 0
      ? `Ningún lote tiene la etiqueta ${tag}. Corríjala o déjela vacía.`
      : `${found} lotes tienen la etiqueta ${tag}. Corrija primero sus etiquetas.`,
  lotCircle: (field: string, tag: string) => `${field}: el lote ${tag} viene de este mismo. Elija otro.`,
  editSave: 'Guardar',
  editCancel: 'Descartar',
  editSaved: (fields: string) => `Cambió: ${fields}.`,
  todayDay: (day: string) => `${day} (hoy)`,
  notKnown: 'no se sabe',
} satisfies typeof english;
