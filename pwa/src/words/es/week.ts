import { counter } from '../plural';
import type { week as english } from '../en/week';

export const week = {
  title: (week: string) => `Hoja de la semana: ${week}`,
  print: 'Imprimir',
  toSheet: 'Hoja de la semana',
  asOf: (site: string, when: string) => `${site}, con datos de: ${when}`,
  steps: 'Lo que necesita un paso',
  more: (n: number) => `Hay ${n} más en la página Camas.`,
  beds: counter('es', { one: 'cama', other: 'camas' }),
  bedsNote:
    'Número: uniformidad, de 100 macetas. Relleno: macetas fuera del rango de su lote. En negritas con casilla: por recorrer, se marca al hacerlo. Con rayas: sin recorrido, o con pocas macetas revisadas.',
  few: 'pocas',
  walks: (n: number) => `Por recorrer: ${counter('es', { one: 'cama', other: 'camas' })(n)}`,
  closed: (beds: string, count: number, until: string) =>
    `${beds} ${count === 1 ? 'está cerrada' : 'están cerradas'} hasta ${until} (intervalo de entrada restringida).`,
  weeks: 'Semanas de embarque',
  weeksNote:
    'Esperadas: macetas de cualquier grado en 90 de 100 casos. Seguras: macetas de cualquier grado que todavía se pueden prometer, y cuántas de ellas del mejor grado.',
  head: { week: 'Semana', expected: 'Esperadas', booked: 'Apartadas', safe: 'Seguras' },
  between: (low: string, high: string) => `${low} a ${high}`,
} satisfies typeof english;
