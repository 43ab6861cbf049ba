import type { dayPage as english } from '../en/day';
import { counter, form, some, stop } from '../plural';

const walks = counter('es', { one: 'recorrido', other: 'recorridos' });
const pots = counter('es', { one: 'maceta', other: 'macetas' });
const notes = counter('es', { one: 'nota', other: 'notas' });
const others = counter('es', { one: 'nota más', other: 'notas más' });
const people = counter('es', { one: 'persona', other: 'personas' });

/** What people noted on a day. */
export const dayPage = {
  toYesterday: 'Lo que se anotó ayer',
  toDays: 'Lo que anotó cada quien, día por día',
  title: (day) => `Anotado el ${day}`,
  titleYesterday: (day) => `Anotado ayer, ${day}`,
  titleToday: (day) => `Anotado hoy, ${day}`,
  toBeds: 'Camas',
  days: 'Días',
  before: 'Día anterior',
  next: 'Día siguiente',
  yesterday: 'Ayer',
  today: 'Hoy',
  choose: 'Día',
  by: 'Agrupado por',
  byPerson: 'persona',
  byBed: 'cama',
  person: 'Persona',
  everybody: 'todos',
  print: 'Imprimir',
  sums: (walked, seen, other) =>
    [walked > 0 ? `${walks(walked)} con ${pots(seen)}` : '', other > 0 ? (walked > 0 ? others : notes)(other) : '']
      .filter(Boolean)
      .join(', '),
  byPeople: (said, count) => `${said}, de ${people(count)}.`,
  late: (count) =>
    count === 1 ? '1 de ellas llegó otro día y lo dice.' : `${count} de ellas llegaron otro día y lo dicen.`,
  pending: 'Las notas que siguen en un teléfono sin señal se agregan aquí cuando llegan.',
  empty: (day) => `No ha llegado ninguna nota del ${day}.`,
  emptyOf: (name, day) => `No ha llegado ninguna nota de ${name} del ${day}.`,
  last: (day) => `Las últimas notas antes: ${day}`,
  all: 'Ver a todos',
  noBed: 'Sin cama o de varias',
  noName: 'El servidor',
  rest: 'continúa',
  moreBeds: (count) => `y ${counter('es', { one: 'cama más', other: 'camas más' })(count)}`,
  between: (from, to) => `entre ${from} y ${to}`,
  arrived: (day) => `llegó el ${day}`,
  walk: 'recorrido',
  walkSeen: (seen, skipped, corrected) =>
    some(
      [pots, seen],
      [(count) => `${count} ${form('es', count, { one: 'saltada', other: 'saltadas' })}`, skipped],
      [(count) => `${count} ${form('es', count, { one: 'corregida', other: 'corregidas' })}`, corrected],
    ),
  walkNothing: 'ninguna maceta revisada',
  corrected: (count) =>
    `${pots(count)} de un recorrido anterior ${form('es', count, { one: 'corregida', other: 'corregidas' })}`,
  ended: { enough: 'terminado: macetas suficientes', planned: 'terminado', stopped: 'terminado antes de tiempo' },
  notEnded: 'no terminó ese día',
  wentOn: 'siguió de otro día',
  sheet: 'agregado de una vez',
  sheetNotes: (count) => notes(count),
  struckOut: 'tachado',
  restored: 'repuesto',
  of: (name, when) => `${name}, ${when}`,
  came: 'Llegó este día, anotado antes',
  cameFrom: (count, day, names) => stop(`${notes(count)} del ${day}, de ${names}`),
  page: (page) => `Página ${page}.`,
  pageBefore: 'Página anterior',
  pageNext: 'Página siguiente',
  fields: (names) => `cambió: ${names}`,
  task: {
    done: (day) => `hecho el ${day}`,
    reopened: 'ya sin marca de hecho',
    due: (day) => `para el ${day}`,
    handed: (name) => `asignado a ${name}`,
    takenBack: 'sin asignar',
    cancelled: 'cancelado',
  },
  matter: { settled: 'resuelto', open: 'otra vez pendiente', snoozed: (day) => `pospuesto al ${day}` },
  left: 'ya no trabaja aquí',
  second: { done: 'hecha', asked: 'pedida' },
} satisfies typeof english;
