import { counter, written } from '../plural';
import type { cuttings as englishCuttings, mist as englishMist } from '../en/plants';

const count = counter('es', { one: 'esqueje', other: 'esquejes' });

export const cuttings: typeof englishCuttings = {
  intro:
    'Los esquejes pasan a un lote nuevo; en él queda anotado de qué plantas vienen. Las plantas siguen en el registro donde están.',
  taken: 'Esquejes sacados',
  thrown: 'De ellos, tirados sin poner',
  stuck: 'Esquejes puestos',
  allThrown: (taken) =>
    `Tirados: los ${written('es', taken)} que se sacaron. Anote menos: un lote nuevo necesita un esqueje.`,
  makes: (n) => `${count(n)} puestos como lote nuevo.`,
  size: 'Maceta o celda de charola (si se sabe)',
  on: 'Día en que se pusieron',
  saved: (n, tag) => `${count(n)} puestos como lote ${tag}.`,
};

export const mist: typeof englishMist = {
  intro: 'Lo que pone en un día el programa del reloj. Solo es una cuenta con lo que usted escribe; no se anota nada.',
  on: 'La nebulización dura',
  every: 'Una vez cada',
  from: 'Primera hora del día',
  to: 'Última hora del día',
  nozzles: 'Boquillas que trabajan juntas',
  flow: (unit) => `Gasto de una boquilla, ${unit} por hora`,
  fill: 'Llene los campos de arriba.',
  above: 'Escriba números mayores que 0.',
  order: 'Última hora: no es después de la primera. Escriba una más tarde; un programa que pasa la medianoche son dos.',
  always: 'La nebulización no pararía: empieza otra vez antes de terminar. Escriba menos segundos, o más minutos.',
  water: (water) => `${water} al día.`,
  cycles: (cycles, minutes) => `Se prende ${cycles} veces, ${minutes} minutos en total.`,
};
