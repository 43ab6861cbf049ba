import { number } from '../format';
import { stop } from '../plural';
import type { mix as english } from '../en/mix';

/** The mix calculator and its batch sheet. */
export const mix: typeof english = {
  use: '¿Para qué es?',
  uses: {
    spray: 'asperjar, tanta mezcla',
    area: 'asperjar una superficie',
    drench: 'al sustrato (drench)',
    feed: 'solución madre de fertilizante para inyector',
  },
  by: '¿Qué dice el envase?',
  bys: {
    dry: 'seco: % en peso',
    volume: 'líquido: % p/v (g en 100 mL)',
    weight: 'líquido: % en peso',
    pounds: 'líquido: libras de ingrediente activo en un galón de EE. UU.',
  },
  fields: {
    percent: 'Porcentaje de ingrediente activo en el envase',
    pounds: 'Libras de ingrediente activo por galón de EE. UU. en el envase',
    density: 'Densidad en la etiqueta (g/mL)',
    ppm: 'Concentración que permite la etiqueta, en ppm',
    volume: 'Cuánta mezcla',
    area: 'Superficie que se va a asperjar',
    rate: 'Lo que la etiqueta pide asperjar en esa superficie',
    pots: 'Cuántas macetas',
    each: 'Mezcla para cada maceta',
    feedPercent: 'Porcentaje del nutriente en el costal',
    feedPpm: 'Concentración para las plantas, en ppm de ese nutriente',
    ratio: 'Relación del inyector: uno a cuántos',
    stock: 'Cuánta solución madre',
  },
  percentHint: 'Del envase que tiene en la mano. El mismo nombre se vende en varias concentraciones.',
  rateHint: 'Solo lo asperjado; lo que escurre y lo que queda en la manguera va aparte.',
  result: (amount: string, volume: string) => `${amount} de producto para ${volume} de mezcla`,
  also: (amount: string) => `Lo mismo que ${amount}.`,
  perPot: (mg: string) => `Cada maceta recibe ${mg} mg de ingrediente activo.`,
  asPercent: (percent: string) => `El envase tiene ${percent} % (g en 100 mL).`,
  stockResult: (amount: string, volume: string) => `${amount} de fertilizante en ${volume} de solución madre`,
  stockEach: (perLitre: string, perGallon: string) => `Son ${perLitre}, o ${perGallon}.`,
  stockMakes: (water: string, ppm: string) =>
    `El inyector da ${water} con ${ppm} ppm. Revise con un medidor de conductividad (EC).`,
  not: 'Llene los datos de arriba.',
  sheet: {
    print: 'Imprimir la hoja de mezcla',
    title: 'Hoja de mezcla',
    computed: (at: string) => `${stop(`Calculada: ${at}`)} Revise cada número con el envase y su etiqueta.`,
    lines: [
      'Nombre del producto',
      'Número de registro en la etiqueta',
      'Intervalo de entrada restringida (REI) en la etiqueta',
      'Camas o lotes',
      'Pesó o midió (iniciales)',
      'Otra persona revisó los números (iniciales)',
      'Se mezcló (día y hora)',
      'Se terminó (día y hora)',
    ],
    linesFeed: [
      'Nombre del producto',
      'Tanque',
      'Pesó (iniciales)',
      'Otra persona revisó los números (iniciales)',
      'Se mezcló (día y hora)',
      'EC medida después del inyector',
    ],
    record:
      'Esta hoja no es el registro legal donde la ley pide más. Anote también la aplicación en Bedwalk, para que se cierren las camas.',
    feedRecord: 'Donde la ley pide un registro de fertilizantes, esta hoja no lo reemplaza.',
  },
  problems: {
    feedPercent: 'Porcentaje en el costal: más de 0 y no más de 100.',
    feedPpm: 'Concentración: más de 0 ppm.',
    ratio: 'Relación del inyector: de 1 a 1000. De un inyector de 1:100 ponga 100.',
    tooMuch: 'Más de 1 kg/L de solución madre no se disuelve. Revise las ppm, el porcentaje y el inyector.',
    percent: 'Porcentaje: más de 0 y no más de 100. Léalo en el envase.',
    density: () => `Densidad: de ${number(0.5, 1)} a 3 g/mL. Léala en la etiqueta.`,
    litres: 'Cuánta mezcla: más de 0. Revise el número y la unidad.',
    ppm: 'Concentración: más de 0 ppm. Léala en la etiqueta.',
    stronger: 'Una mezcla no puede ser más concentrada que el producto. Revise las ppm y el porcentaje.',
  },
};
