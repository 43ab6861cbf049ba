import { counter, written } from '../plural';
import type { cuttings as englishCuttings, mist as englishMist, shade as englishShade } from '../en/plants';

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

export const shade: typeof englishShade = {
  intro: 'Cuánta luz del día llega a las plantas. Solo es una cuenta con lo que usted escribe; no se anota nada.',
  outdoors: 'Luz afuera en un día',
  outdoorsHint: 'De una estación meteorológica, o de un mapa de luz para su lugar y su mes.',
  cover: 'Luz que deja pasar el techo',
  coverHint: 'A mediodía y sin nubes: el medidor adentro, sin la malla, contra el medidor afuera.',
  cloth: 'Sombra de la malla',
  clothHint: 'Como se vende: una malla de 55 % de sombra deja pasar 45 %. Sin malla: 0.',
  aDay: 'mol/m² por día',
  fill: 'Llene los campos de arriba.',
  outdoorsOver: 'Luz afuera: más de 0 y hasta 80 mol/m² por día. Revise el número y la unidad.',
  share: 'El techo: más de 0 y hasta 100 %.',
  clothShare: 'La malla: de 0 a menos de 100 %.',
  inside: (light) => `${light} por día en las plantas.`,
  noCloth: (light) => `Sin la malla, ${light}. La luz de las lámparas va aparte.`,
};
