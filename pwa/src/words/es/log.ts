import { counter } from '../plural';
import type { log as english } from '../en/log';

const hours = counter('es', { one: 'hora', other: 'horas' });
const applications = counter('es', { one: 'aplicación anterior', other: 'aplicaciones anteriores' });

/** The application log. */
export const log: typeof english = {
  title: 'Registro de aplicaciones',
  record:
    'Lo que se anotó como aplicado, lo más nuevo primero. Lo tachado no aparece. Este no es el registro legal donde la ley pide más.',
  empty: 'Todavía no se ha anotado ninguna aplicación. Anótela en la cama o en el lote.',
  print: 'Imprimir el registro',
  table: {
    ended: 'Terminó',
    what: 'Qué',
    amount: 'Cuánto',
    where: 'Camas, lote',
    until: 'Intervalo de entrada restringida (REI)',
    who: 'Anotó',
  },
  began: (when) => `empezó ${when}`,
  regNo: (number) => `Número de registro ${number}`,
  notWritten: 'sin escribir',
  hours,
  closed: (until) => `NO\u00a0ENTRE hasta ${until}`,
  over: (at) => `terminó: ${at}`,
  older: (count) => `Sin mostrar: ${applications(count)}. Están en las páginas de sus camas.`,
};
