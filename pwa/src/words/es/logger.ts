import { counter, form } from '../plural';
import type { logger as english } from '../en/logger';

const values = counter('es', { one: 'temperatura', other: 'temperaturas' });
const lines = counter('es', { one: 'renglón', other: 'renglones' });
const gaps = counter('es', { one: 'hueco', other: 'huecos' });

export const logger: typeof english = {
  title: 'Archivo de registrador',
  up: 'Cuarto frío',
  intro:
    'Elija el archivo de texto (CSV o TXT) que exporta el programa del registrador. Verá lo que trae antes de guardar nada.',
  choose: 'Elegir un archivo',
  another: 'Elegir otro archivo',
  chosen: (name) => `Archivo: ${name}`,
  house: 'Nave',
  chooseHouse: 'elija la nave',
  spot: 'En qué parte de la nave está',
  spotHint: 'Por ejemplo «junto a la puerta». Escríbalo igual con el siguiente archivo de este registrador.',
  nothing: 'No se guardó nada.',
  ask: {
    time: 'Cada línea trae más de una hora. ¿Cuál cuenta?',
    temp: 'Más de una columna puede ser la temperatura. ¿Cuál es?',
    unit: 'El archivo no dice la unidad. Las temperaturas están en',
    order: (said) => `Leer ${said} con`,
    dayFirst: 'el día primero',
    monthFirst: 'el mes primero',
    clock: 'El reloj del registrador marca',
    clocks: {
      nursery: 'nuestra hora, con horario de verano',
      standard: 'nuestra hora estándar todo el año',
      utc: 'UTC',
    },
    clockNote:
      'Véalo en el programa del registrador, o compare la hora de una lectura que recuerde con la vista previa. Con otro reloj todas las lecturas quedan corridas varias horas.',
    sureF: 'La mitad pasa de 28 °C (82 °F). ¿De veras son °C?',
    sureC: 'La mitad está por debajo de 20 °F (−7 °C). ¿De veras son °F?',
    yes: (unit) => `Sí, ${unit}`,
    no: (unit) => `No, son ${unit}`,
  },
  answer: 'Conteste las preguntas de arriba. Después verá lo que trae el archivo.',
  unitFound: (unit) => `El archivo dice ${unit}.`,
  preview: {
    title: 'Lo que trae el archivo',
    sum: (count, from, to, every) => `${values(count)} del ${from} al ${to}, una cada ${every}.`,
    minutes: (count) => `${count} min`,
    seconds: (count) => `${count} s`,
    heat: (low, high, mean) => `La más baja ${low}, la más alta ${high}, media ${mean}.`,
    gaps: (count, hours, longest, from) =>
      `${gaps(count)}, ${hours} h en total; el más largo es de ${longest} h, desde ${from}. No se supone nada para ellos.`,
    noGap: 'Sin huecos.',
    empty: (count, first) =>
      `${lines(count)} sin temperatura que sirva (el primero es el renglón ${first}): quedan fuera, como huecos.`,
    twice: (count) =>
      `${lines(count)} ${form('es', count, { one: 'repite', other: 'repiten' })} otro; cada uno cuenta una vez.`,
    after: (count, line, said) =>
      count === 1
        ? `Después de la última lectura viene el renglón ${line}, «${said}»: queda fuera.`
        : `Después de la última lectura vienen ${lines(count)}, el primero «${said}» (renglón ${line}): quedan fuera.`,
    time: 'Hora',
    temp: 'Temperatura',
    some: 'Las primeras y las últimas',
  },
  save: (count) => `Guardar ${values(count)}`,
  saved: (count, house) => `${values(count)}: guardado para ${house}.`,
  already: (house, spot) =>
    `Este archivo ya se leyó antes (${[house, spot].filter(Boolean).join(', ')}). Si estaba mal, anúlelo en la página Cuarto frío; leerlo dos veces no agrega nada.`,
  elsewhere: 'Sin señal no se sabe si este archivo ya se leyó antes. Si es así, las mismas lecturas cuentan una vez.',
  reading: 'Leyendo el archivo…',
  unreadable: 'No se puede abrir el archivo. Ciérrelo en otros programas y elíjalo otra vez.',
  problem: {
    no_values: () =>
      'Ningún renglón trae día, hora y temperatura. Exporte las lecturas como texto (CSV), no como imagen, PDF o el formato propio del registrador.',
    no_temps: (line, said) =>
      `Los renglones traen horas, la primera en el renglón ${line}: «${said}». Pero ninguna columna trae temperaturas. Exporte el archivo con la temperatura de cada lectura.`,
    no_time_of_day: (line) =>
      `El renglón ${line} trae el día sin la hora. Exporte el archivo con la hora de cada lectura.`,
    columns: (line, cells, headings) =>
      `El renglón ${line} tiene ${cells} columnas y el encabezado ${headings}. Si los números llevan coma decimal, exporte con punto y coma entre columnas.`,
    separators: (line, said) =>
      `El renglón ${line} separa de otra manera que los de antes: «${said}». Exporte otra vez el archivo, todo con un mismo separador.`,
    no_time: (line, said) =>
      `El renglón ${line} no trae una hora que se pueda leer: «${said}». Las horas se escriben como 2027-03-14 01:30 o 3/14/2027 1:30 PM. Cámbielo en el programa del registrador y exporte otra vez.`,
    too_large: (most) =>
      `El archivo es demasiado grande (más de ${most} millones de letras). Exporte menos semanas a la vez.`,
    no_such_day: (line, said, isAsked) =>
      `Renglón ${line}: el día ${said} no existe. ${isAsked ? 'Si el día y el mes van al revés, dígalo arriba.' : 'Corrija o quite ese renglón y elija otra vez el archivo.'}`,
    order_mixed: (line, said) =>
      `El renglón ${line} (${said}) trae el día y el mes al revés que los de antes. El archivo se juntó de dos: lea cada uno por separado.`,
    no_such_time: (line, said) =>
      `Renglón ${line}: a las ${said} nuestros relojes se saltan una hora, así que el registrador usa otro reloj. Elija arriba la hora estándar o UTC.`,
    future: (line, said, isAsked) =>
      `El renglón ${line} está en el futuro (${said}). ${isAsked ? 'Revise arriba el día y el mes. Si están bien, el' : 'El'} reloj del registrador va adelantado: ajústelo, quite los renglones con hora equivocada y elija otra vez el archivo.`,
    long_ago: (line, said) =>
      `El renglón ${line} es de antes del año 2000 (${said}): el reloj del registrador no estaba puesto. Quite esos renglones, o ponga el reloj y lea otra vez el registrador.`,
    few: () =>
      'Se pueden leer menos de dos temperaturas. Revise que la columna sea la correcta y cómo se exportó el archivo.',
    clash: (line, said, other) =>
      `Los renglones ${other} y ${line} tienen la misma hora (${said}) y temperaturas distintas. Si el archivo trae dos registradores, lea cada uno por separado; si no, elija arriba otro reloj.`,
  },
};
