import { counter, stop } from '../plural';
import type { tasks as english } from '../en/tasks';

const days = counter('es', { one: 'día', other: 'días' });
const pieces = counter('es', { one: 'tarea', other: 'tareas' });
const pots = counter('es', { one: 'maceta', other: 'macetas' });

export const tasks: typeof english = {
  title: 'Trabajo',
  intro:
    'El siguiente paso de cada lote, primero el día más cercano. Con el último día, la mitad de los lotes llega a su semana de embarque; si no se conoce, se muestra el día probable.',
  emptyTitle: 'No hay trabajo que asignar',
  empty: 'Los pasos aparecen aquí cuando un lote tiene un día desde el que se puede planear.',
  count: (all, late, nobody) => `${pieces(all)}, ${late} con atraso, ${nobody} sin asignar`,
  arriving: 'Todavía están llegando los registros. Podrá asignar trabajo cuando estén aquí.',
  who: 'Asignado a',
  everybody: 'todos',
  nobody: 'nadie',
  noneMatch: 'No hay nada con esta selección.',
  groups: {
    late: 'Con atraso',
    soon: 'En los próximos 7 días',
    later: 'Más adelante',
    undated: 'Sin día conocido',
    done: 'Hecho en los últimos 7 días',
  },
  table: {
    work: 'Trabajo',
    lot: 'Lote',
    beds: 'Camas',
    due: 'Día',
    ticks: 'Marcado',
  },
  pots: (count) => pots(count),
  noBed: 'sin cama en el registro',
  closed: (until) => `Cerrada hasta ${until}`,
  due: {
    handed: (day) => `a más tardar el ${day}, puesto por el supervisor`,
    latest: (day) => `último día: ${day}`,
    likely: (day) => `probable: ${day}`,
    none: 'sin día',
  },
  late: (count) => `hace ${days(count)}`,
  latePlan: (count) => `${days(count)} después del último día del plan`,
  pick: (work, lot) => `${work}, ${lot}: asignar a`,
  disputed: 'se eligió a dos: elija a uno',
  handed: (work, lot, name) => `${work}, ${lot}: asignado a ${name}`,
  takenBack: (work, lot) => `${work}, ${lot}: ya no está asignado`,
  tick: (name, day) => `${name}, el ${day}`,
  twoTicks: 'Cuenta el primer día.',
  notCounted: 'Marcado, pero el lote no tiene ese día en el registro. Revise la página del lote.',
  print: (sheets) => `Imprimir ${counter('es', { one: 'hoja', other: 'hojas' })(sheets)}`,
  noSheets: 'Asigne trabajo para imprimir una hoja por persona.',
  sheet: {
    title: (name) => `Trabajo de ${name}`,
    forNobody: 'Trabajo sin asignar',
    asOf: (when) => `${stop(`Datos: ${when}`)} Lo que digan los letreros de la nave va primero.`,
    done: 'Hecho',
    onBy: 'Día en que se hizo, iniciales',
    ask: 'Con atraso: pregunte al supervisor antes de empezar.',
    closed: (until) => stop(`No entre: cerrada hasta ${until}`),
  },
  mine: {
    title: 'Mi trabajo',
    asOf: (when) => `Plan hasta ${when}`,
    more: (count) => `${count} más después de esto`,
    done: 'Hecho',
    open: 'Abrir',
    ask: 'Pregunte al supervisor antes de empezar.',
    said: (work, lot) => `${work}, ${lot}: hecho hoy`,
  },
};
