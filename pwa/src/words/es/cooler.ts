import { counter } from '../plural';
import type { cooler as english } from '../en/cooler';

const days = counter('es', { one: 'día', other: 'días' });
const lots = counter('es', { one: 'lote', other: 'lotes' });
const readings = counter('es', { one: 'lectura', other: 'lecturas' });
const gaps = counter('es', { one: 'hueco', other: 'huecos' });

export const cooler: typeof english = {
  title: 'Cuarto frío',
  intro:
    'Lo que hay en el cuarto frío, cuántos días cuentan y qué frío hizo. Los días cuentan desde que se vieron los botones listos. Las horas son desde el comienzo del día en que entró el lote.',
  gases:
    'Una fuga de refrigerante, el dióxido de carbono y el humo de motores (monóxido de carbono) pueden matar antes de que se huelan. Adentro no use motores ni guarde fruta que madura: el humo y el etileno tiran los botones. Siga las normas locales y las instrucciones del fabricante.',
  none: 'Ninguna nave es cuarto frío todavía. Dé de alta uno, con el rango de temperatura en que cuenta el frío.',
  setUp: 'Dar de alta un cuarto frío',
  edit: 'Nombre y rango',
  toFile: 'Leer un archivo de registrador',
  byHand: 'Anotar una temperatura',
  counted: (inside, out) =>
    out === 0 ? `${lots(inside)} adentro` : `${lots(inside)} adentro, ${lots(out)} afuera sin embarcar`,
  band: (low, high) => `El frío cuenta de ${low} a ${high}: su propio rango.`,
  bandStart: (low, high) =>
    `El frío cuenta de ${low} a ${high}: lo normal del ramo (publicado, American Society for Horticultural Science). Ponga la suya.`,
  noLots: 'No hay ningún lote adentro. Anote «al cuarto frío» cuando entre un lote.',
  lotsIn: 'En el cuarto frío',
  column: {
    lot: 'Lote',
    since: 'Desde',
    days: 'Días',
    hours: 'Horas en el rango',
    heat: 'Temperatura',
    out: 'Último día para sacar',
  },
  from: (day) => `entró ${day}`,
  fromTo: (from, to) => `${from} a ${to}`,
  allCount: (count) => `${days(count)}, todos cuentan`,
  someCount: (counted, flagged) =>
    `cuentan ${counted} de ${days(counted + flagged)}; ${flagged} antes de ver listos los botones`,
  noneCount: (count) => `${days(count)}, ninguno cuenta: nadie revisó los botones`,
  ready: (day) => `Botones vistos listos ${day}.`,
  notReady: 'Revise los botones y anótelo aquí.',
  wanted: (counted, likely, standing) => `${counted} de ${likely} días (${standing})`,
  standing: {
    own: 'suyo',
    published: 'publicado',
    practice: 'costumbre, sin fuente',
    memory: 'de memoria, sin comprobar',
  },
  hours: (from, to) => (from === to ? `${from}\u202fh` : `${from} a ${to}\u202fh`),
  unread: (gap, longest, from) =>
    `${gap}\u202fh sin leer${longest === '' ? '' : `; el hueco más largo, ${longest}\u202fh desde ${from}`}`,
  allRead: 'todas las horas leídas',
  uncounted: 'de todo su tiempo adentro',
  colder: (hours) => `${hours}\u202fh más frías`,
  warmer: (hours) => `${hours}\u202fh más calientes`,
  mean: (mean, low, high) => `media ${mean}, de ${low} a ${high}`,
  rests: (count) => readings(count),
  estimated: (count) => `estimado de ${readings(count)} a mano`,
  spot: (name) => (name === '' ? 'registrador' : `registrador ${name}`),
  hand: 'a mano',
  nothingRead: 'nada leído',
  likely: (day) => `probable ${day}`,
  safe: (day) => `seguro ${day}`,
  forWeek: (week) => `para la ${week}`,
  noWeek: 'sin semana de embarque',
  most: (day) => `no después del ${day} (8 semanas: costumbre, sin fuente)`,
  latestNote:
    'Probable: si sale ese día, llega a su semana de embarque en 5 de cada 10 casos. Seguro: en 9 de cada 10.',
  isOut: (day) => `salió ${day}`,
  astrayTitle: 'En un cuarto frío, nadie anotó en cuál',
  astray: (count) => `${lots(count)}: elija el cuarto frío para poder contar las horas.`,
  which: 'Cuarto frío',
  saveWhich: 'Guardar',
  whichSaved: (tag, house) => `${tag} está en ${house}.`,
  drawing: (name, from, to, count) =>
    `Temperatura de ${name} del ${from} al ${to}, ${count === 0 ? 'sin huecos' : gaps(count)}. La tabla tiene cada día.`,
  heatTitle: 'Temperatura',
  heatNote:
    'Cada hora, de su lectura más baja a la más alta; la franja sombreada es el rango. En blanco con una raya abajo: sin leer.',
  clashes: (count) =>
    `${count === 1 ? 'Un momento tiene' : `${count} momentos tienen`} dos temperaturas distintas; no se usa ninguna. Anule el archivo equivocado.`,
  day: 'Día',
  lowest: 'Más baja',
  highest: 'Más alta',
  hoursRead: 'Horas leídas',
  chillTitle: 'Modelos hechos para durazno y manzana',
  chillNote:
    'Ninguno se hizo para azalea ni hortensia, y no coinciden en dónde empieza el frío: a 1 °C (34 °F) uno de ellos no cuenta nada, y las azaleas florecen de todos modos. Guíese por los días y las horas en su rango. Las horas sin leer no cuentan aquí.',
  chill: {
    lot: 'Lote',
    hours: 'Horas leídas',
    missing: 'Sin leer',
    upTo: 'Horas frío, hasta 7.2 °C (45 °F)',
    from0: 'Horas frío, de 0 a 7.2 °C (32 a 45 °F)',
    utah: 'Unidades Utah',
    positive: 'Utah, sin lo que resta el calor',
    carolina: 'Unidades Carolina del Norte',
    portions: 'Modelo dinámico, porciones',
    restarts: (count) => (count === 0 ? '' : `empezó de nuevo después de ${gaps(count)}`),
  },
  filesTitle: 'Archivos de registradores',
  noFiles: 'No se ha leído ningún archivo de registrador.',
  file: {
    house: 'Nave',
    spot: 'Dónde',
    from: 'Desde',
    to: 'Hasta',
    values: 'Valores',
    out: 'Anular',
    done: 'El archivo está anulado.',
    failed: 'No se pudo guardar. El archivo sigue contando.',
  },
  form: {
    name: 'Nombre',
    use: 'Se usa como',
    uses: { growing: 'cultivo', cooler: 'cuarto frío', mist: 'enraizado con neblina', outdoors: 'al aire libre' },
    low: 'El frío cuenta desde',
    high: 'El frío cuenta hasta',
    bandOrder: 'El límite de arriba del rango está por debajo del de abajo.',
    bandBoth: 'Escriba los dos límites del rango, o ninguno.',
    save: 'Guardar',
    cancel: 'Cancelar',
    saved: (name) => `${name}: guardado.`,
    temp: 'Temperatura ahora',
    handNote: 'Una lectura vale hasta la siguiente dentro de 36 horas (supuesto nuestro) y se marca como estimada.',
    handSaved: (temp, name) => `${temp} anotados para ${name}.`,
  },
};
