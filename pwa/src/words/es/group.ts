import { counter, form, stop } from '../plural';
import type { group as english } from '../en/group';

const pots = counter('es', { one: 'maceta', other: 'macetas' });
const lots = counter('es', { one: 'lote', other: 'lotes' });

export const group = {
  title: 'Viveros lado a lado',
  nurseries: 'Viveros',
  for: (name: string) => `Para ${name}`,
  intro: 'Cada número es de un solo vivero, con las mismas notas que sus páginas. No se suma nada entre viveros.',
  update: 'Actualizar',
  asking: 'Preguntando a los viveros…',
  noLink: 'A esta dirección le falta lo que va después de #. Abra el enlace completo que le dieron.',
  unknown: 'Este enlace no abre nada aquí. Compárelo hasta la última letra con el que le dieron, o pida uno nuevo.',
  revoked: 'Este enlace ya no sirve: se le quitó el acceso. Pida uno nuevo.',
  away: 'Por ahora no contesta ninguno de los viveros de este enlace. Pruebe otra vez en unos minutos.',
  failed: 'No se pudieron mostrar los viveros',
  several: 'varios cultivos en una cama',
  noName: 'cultivo sin nombre',

  missing: {
    title: 'Lo que falta',
    slow: (nursery: string) => `${nursery} no contestó a tiempo. Actualice en un minuto.`,
    not_served: (nursery: string) =>
      `${nursery} está fuera de servicio. La terminal y el registro del servidor dicen por qué; si es nuevo, hay que reiniciar el servidor.`,
    failed: (nursery: string) => `No se pudo leer ${nursery}. El registro del servidor dice por qué.`,
    noBeds: (nursery: string) => `${nursery}: ningún lote está anotado en una cama.`,
    never: (nursery: string) => `${nursery}: todavía no se ha recorrido ninguna cama.`,
    none: (nursery: string, days: number, last: string) =>
      stop(`${nursery}: sin recorridos en ${days} días. El último fue el ${last}`),
    some: (nursery: string, recent: number, beds: number, days: number, unfinished: number) =>
      `${nursery}: ${recent} de ${beds} camas recorridas en los últimos ${days} días.${unfinished === 0 ? '' : ` ${unfinished} de estos recorridos ${form('es', unfinished, { one: 'no se terminó', other: 'no se terminaron' })}.`}`,
    noBookings: (nursery: string, before: number, after: number) =>
      `${nursery}: no hay nada apartado para las últimas ${before} semanas, esta semana ni las próximas ${after}.`,
    unplaced: (nursery: string, count: number) =>
      `${nursery}: ${pots(count)} en apartados sin semana de embarque, o de un lote que no se vende. No están en las semanas de abajo.`,
  },

  crop: 'Cultivo',
  nursery: 'Vivero',
  even: {
    title: 'Qué tan parejas están las camas',
    intro:
      'Uniformidad según el último recorrido de cada cama: de cada 100 macetas, cuántas se parecen al promedio de su lote. De copas o de botones, lo más disparejo.',
    empty: 'Ninguna cama tiene uniformidad todavía.',
    scored: 'Camas con dato',
    of: (scored: number, beds: number) => `${scored} de ${beds}`,
    middle: 'Cama de en medio',
    range: 'De la menor a la mayor',
    least: 'Cama menos pareja',
    leastOf: (bed: string, value: string) => `${bed}: ${value}`,
  },
  grades: {
    title: 'Grados',
    intro:
      'Macetas vistas completas en los últimos recorridos, de lotes que ya se pueden clasificar. Es lo que se vio, no una promesa.',
    empty: 'Todavía no hay macetas clasificadas.',
    best: 'Mejor grado',
    any: 'Cualquier grado',
    of: (count: number, all: number, percent: string) => `${count} de ${all} (${percent})`,
    early: 'Muy pronto',
    earlyLots: (count: number) => lots(count),
  },
  weeks: {
    over: 'Promesas de semanas que ya pasaron',
    overIntro: (weeks: number) =>
      `Las últimas ${weeks} semanas. «Faltaron»: macetas apartadas que no han salido. Las que salieron después de su semana cuentan como embarcadas.`,
    overEmpty: (weeks: number) => `Sin apartados para las últimas ${weeks} semanas.`,
    coming: 'Promesas de las próximas semanas',
    comingIntro: (weeks: number) =>
      `Esta semana y las próximas ${weeks}. «No seguras»: macetas apartadas que quizá no estén a tiempo. «Sin datos»: las de lotes de los que todavía no se sabe nada.`,
    comingEmpty: (weeks: number) => `Sin apartados para esta semana ni las próximas ${weeks}.`,
    week: 'Semana de embarque',
    booked: 'Apartadas',
    shipped: 'Embarcadas',
    short: 'Faltaron',
    unsure: 'No seguras',
    undecided: 'Sin datos',
  },
} satisfies typeof english;
