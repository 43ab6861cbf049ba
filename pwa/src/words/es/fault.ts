/**
 * Spanish for what is wrong with a note that the server holds: each sentence names the field, says what is wrong and what
 * to do. The codes are those of schema/fault.go, and of the server where a note cannot be read or taken at all.
 */
import type { FaultCode, Unit, Want } from '../../../../schema/types';
import { isObject, type SayFault, type Told } from '../en/fault';
import { list, number } from '../format';
import { answerName, fieldName } from './fields';

const MOST_QUOTED = 40;
/** From here on a number is shown as it was written, not digit by digit. */
const LONGEST = 1e15;
const again = 'Anótelo otra vez';
const kept = 'Queda guardada';

const name = ({ path }: Told) => fieldName(path);

/** Where the note may go without. */
const orWithout = ({ limit }: Told) => (limit && !limit.required ? ', o sin ese dato si no se sabe' : '');

/** A number as it stands in a fault ("0.5", "1000000"), written as people do. */
function digits(text: string): string {
  const value = Number(text);
  return Math.abs(value) < LONGEST ? number(value, text.split('.')[1]?.length ?? 0) : text;
}

/** How a unit is written, and by what its whole numbers are divided for people. */
const units: { readonly [unit in Unit]: readonly [sign: string, scale: number] } = {
  mm: ['mm', 1],
  bp: ['%', 100],
  dc: ['°C', 10],
  ph_c: ['', 100],
  us_cm: ['µS/cm', 1],
  umol: ['µmol/m²/s', 1],
  px: ['píxeles', 1],
  hours: ['horas', 1],
  days: ['días', 1],
  bytes: ['bytes', 1],
  characters: ['caracteres', 1],
  items: ['partes', 1],
  notes: ['notas', 1],
};

const unitOf = ({ fault }: Told) =>
  fault.unit && Object.hasOwn(units, fault.unit) ? units[fault.unit] : (['', 1] as const);

const signOf = (told: Told) => unitOf(told)[0] && ` ${unitOf(told)[0]}`;

const scaled = (told: Told, value: number) => digits(String(value / unitOf(told)[1]));

function bounds(told: Told): string {
  const { min, max } = told.fault;
  if (min !== undefined && max !== undefined) return `de ${scaled(told, min)} a ${scaled(told, max)}${signOf(told)}`;
  const edge = min ?? max;
  if (edge === undefined) return 'lo que se admite';
  return `${min === undefined ? 'hasta' : 'desde'} ${scaled(told, edge)}${signOf(told)}`;
}

/** What the note says, short enough for a screen; "" where that is not known. */
function given(told: Told, sign = ''): string {
  const { value } = told;
  if (typeof value === 'number') {
    return `${scaled(told, value)}${sign}`;
  }
  if (typeof value === 'string') return `«${value.length > MOST_QUOTED ? `${value.slice(0, MOST_QUOTED)}…` : value}»`;
  if (typeof value === 'boolean') return value ? '«sí»' : '«no»';
  if (Array.isArray(value)) return 'una lista';
  return isObject(value) ? 'un conjunto de datos' : '';
}

/** "Botones: -3", or "Botones: el valor" when the note cannot be asked. */
const saysValue = (told: Told, sign = '') => `${name(told)}: ${given(told, sign) || 'el valor'}`;

/** The bound that a fault carries, in the unit that people read. */
const edge = (told: Told) => {
  const most = told.fault.max ?? told.fault.min;
  return most === undefined ? '' : scaled(told, most);
};

/** What a value should be, and what to do when it is not. */
const wanted: { readonly [want in Want]: readonly [is: string, remedy: string] } = {
  whole_number: ['un número entero', again],
  text: ['un texto', again],
  true_or_false: ['sí o no', again],
  list: ['una lista', again],
  object: ['un conjunto de datos', again],
  id: ['una clave (32 signos: 0 a 9, a a f)', 'Elíjalo de la lista, no lo escriba a mano'],
  tag: ['un código de etiqueta (letras, cifras, espacio y . _ / -)', 'Anótelo otra vez como está en la etiqueta'],
  recordkey: ['la clave de un registro', 'Actualice la app y hágalo otra vez'],
  devicekey: ['la clave de un teléfono', 'Actualice la app y hágalo otra vez'],
  isoweek: ['una semana del calendario, como 2026-W50', 'Anótelo otra vez con año y semana'],
  date: ['un día del calendario, como 2026-03-14', 'Anótelo otra vez con año, mes y día'],
  timezone: ['una zona horaria, como America/New_York', 'Anótelo otra vez con un nombre de la lista de la IANA'],
  alphanum: ['solo letras y cifras', 'Actualice la app y hágalo otra vez'],
  hexadecimal: ['la huella de una foto', 'Tome la foto otra vez'],
};

const wantOf = ({ fault }: Told) =>
  (fault.want && Object.hasOwn(wanted, fault.want) ? wanted[fault.want] : undefined) ??
  (['lo que se admite', again] as const);

const wrongDay = 'Revise los dos días y anote otra vez el que esté mal, o deje fuera el que no se sepa.';

const otherName = ({ fault }: Told) => fieldName((fault.other ?? '').replaceAll(/\[[^\]]*\]/g, '').split('.'));

const unknownThing =
  (what: string, remedy: string): SayFault =>
  (told) =>
    `${name(told)}: el vivero no tiene ${what}${given(told) ? ` con la clave ${given(told)}` : ''}. ${remedy}`;

const unreadable =
  (why: string): SayFault =>
  () =>
    `La nota no se puede leer: ${why}. ${kept}; escríbala otra vez a mano.`;

export const fault = {
  missing: (told) => `${name(told)}: falta. ${again} con ese dato.`,
  wrong_type: (told) => `${saysValue(told)} no sirve: hace falta ${wantOf(told)[0]}. ${again} con ${wantOf(told)[0]}.`,
  null: (told) => `${name(told)}: llegó vacío. ${again}, y sin ese dato cuando no haya nada que decir.`,
  spelling: ({ path, fault }) =>
    `El campo «${path.at(-1) ?? ''}» se escribe ${fault.other ? `«${fault.other}»` : 'con minúsculas'}. Escríbalo así, con minúsculas, y envíe la nota otra vez.`,
  out_of_range: (told) =>
    `${saysValue(told, signOf(told))} está fuera de lo que se admite, ${bounds(told)}. ${again} con un número de ahí${orWithout(told)}.`,
  not_one_of: (told) => {
    const words = told.fault.one_of ?? [];
    const shown = words.length > 0 ? `: ${list(words.map((word) => answerName(told.path, word)))}` : '';
    return `${saysValue(told)} no es una de las respuestas${shown}. ${again} con una de ellas${orWithout(told)}.`;
  },
  too_long: (told) =>
    `${name(told)}: tiene ${given(told, signOf(told)) || 'demasiado'}; caben ${edge(told) || 'menos'}. Acórtelo, o envíe lo demás en otra nota.`,
  too_short: (told) => {
    const { min } = told.fault;
    return `${name(told)}: tiene ${given(told) || 'muy poco'}; hacen falta ${min === undefined ? 'más' : `${number(min)} o más`}. ${again}, completo.`;
  },
  form: (told) => `${saysValue(told)} no es ${wantOf(told)[0]}. ${wantOf(told)[1]}${orWithout(told)}.`,
  zero: (told) => `${name(told)}: 0 no cambia nada. ${again} con más de 0 si llegaron o menos de 0 si se fueron.`,
  below_other: (told) => {
    const least = `${edge(told)}${signOf(told)}`;
    return `${saysValue(told, signOf(told))} es menos que «${otherName(told)}», ${least}. ${again} con ${least} o más.`;
  },
  not_above_other: (told) =>
    `${saysValue(told, signOf(told))} no es más que «${otherName(told)}», ${edge(told)}${signOf(told)}. Anótelo otra vez con un valor mayor.`,
  above_other: (told) =>
    `${saysValue(told, signOf(told))} es más que «${otherName(told)}», ${edge(told)}. ${again} con ${edge(told)} o menos.`,
  before_other: (told) => `${saysValue(told)} queda antes de «${otherName(told)}». ${wrongDay}`,
  states_over_buds: (told) =>
    `Botones: los estados suman ${edge(told)}, más que los ${given(told) || 'botones'} contados. Anote otra vez la maceta con ${edge(told)} botones o más, o con menos en los estados.`,
  severity_alone: () =>
    'Grado de clorosis: dice cuánto, pero no qué hojas están pálidas. Anote otra vez la maceta con las hojas, o sin el grado.',
  severity_of_none: () =>
    'Grado de clorosis: dice cuánto, pero la respuesta es que no hay clorosis. Anote otra vez la maceta con las hojas, o sin el grado.',
  own_parent: () => 'Viene de: el lote se nombra a sí mismo. Elija el lote del que salió.',
  twice: (told) => {
    const place = Number(/\[(\d+)\]$/.exec(told.fault.field)?.[1] ?? Number.NaN) + 1;
    const which = Number.isNaN(place) ? 'hay uno repetido' : `el número ${number(place)} repite uno anterior`;
    return `${name(told)}: ${which}. ${again} con cada uno una sola vez.`;
  },
  unbalanced: (told) =>
    `${name(told)}: las partes suman ${given(told) || 'otra cosa'} en vez de 0, así que aparecerían o se perderían macetas. ${again} con las mismas macetas de salida y de llegada; una pérdida se anota como conteo.`,
  sign: (told) => {
    const { max, other_value: reason } = told.fault;
    const because =
      typeof reason === 'string' && reason
        ? `la razón «${answerName(['reason'], reason.slice(0, MOST_QUOTED))}»`
        : 'la razón';
    return max === undefined
      ? `${saysValue(told)} quita macetas, pero ${because} las suma. ${again} con un número mayor que 0, o con otra razón.`
      : `${saysValue(told)} suma macetas, pero ${because} las quita. ${again} con un número menor que 0, o con otra razón.`;
  },
  empty: () =>
    'La lectura no trae ningún valor. Anótela otra vez con uno por lo menos: pH, conductividad, luz, una temperatura o humedad.',
  envelope: (told) =>
    `${name(told)}: la nota dice uno por fuera y otro por dentro. Actualice la app y anótelo otra vez con uno solo.`,
  unknown_lot: unknownThing('un lote', 'Elija un lote de la lista, o anote primero el lote.'),
  unknown_bed: unknownThing('una cama', 'Elija una cama de la lista, o pida al encargado que la dé de alta.'),
  unknown_walk: unknownThing('un recorrido', 'Empiece el recorrido antes de anotar sus macetas.'),
  unknown_span: unknownThing('un tramo de cama', 'Anote primero dónde está el lote, o deje fuera el tramo.'),
  outside_bed: (told) => {
    const most = edge(told);
    const [ends, from] =
      told.path.at(-1) === 'across'
        ? ['queda fuera de la cama', 'un lugar de 1']
        : ['queda después del final de la cama', 'una hilera de 1'];
    return `${saysValue(told)} ${ends}${most ? `, que llega a ${most}` : ''}. ${again} con ${from} ${most ? `a ${most}` : 'en adelante'}.`;
  },
  role: () =>
    'Esto le toca escribirlo al encargado o al dueño. Queda guardado y cuenta cuando uno de ellos lo incluya en la página Teléfonos.',
  person: () =>
    'La nota está a nombre de alguien que no es de este teléfono. Queda guardada y cuenta cuando el encargado la incluya en la página Teléfonos, si esa persona la escribió.',
  not_utf8: unreadable('sus letras están dañadas'),
  bad_json: unreadable('su texto está dañado'),
  trailing_data: unreadable('trae algo después del final'),
  duplicate_key: unreadable('trae un dato dos veces'),
  not_integer: unreadable('tiene un número que no es entero'),
  number_too_large: unreadable('tiene un número demasiado grande'),
  not_entry: unreadable('no es lo que una nota debe ser'),
  too_deep: unreadable('tiene demasiadas partes una dentro de otra'),
  lone_surrogate: unreadable('tiene medio signo de escritura'),
  too_large: (told) =>
    `La nota es demasiado grande${edge(told) ? `: caben ${edge(told)} bytes` : ''}. ${kept}; escríbala otra vez en partes más cortas.`,
  opaque: () =>
    `El teléfono no pudo enviar la nota como se debe y envió sus bytes. ${kept}; escríbala otra vez a mano.`,
  not_canonical: () =>
    `La nota no está escrita como todos los aparatos la escribirían, y no podrían coincidir. ${kept}; actualice la app del teléfono y escríbala otra vez.`,
  wrong_place: () => `La nota trae un número que no es el de su lugar. ${kept}; escríbala otra vez.`,
  record_full: (told) =>
    `Un solo teléfono ya escribió ${given(told, signOf(told)) || 'mucho'} sobre lo mismo. ${kept}; el encargado puede incluirla en la página Teléfonos.`,
  unsettled: (told) =>
    `Un solo teléfono dejó ${given(told) || 'muchos'} valores distintos de este dato. ${kept}; elija uno de ellos y escríbalo otra vez.`,
  id_taken: () => 'Otra nota ya tiene la clave de esta. Se guardan las dos; escriba esta otra vez.',
  unwritable: () =>
    `Con esta nota ya no se podría escribir el registro al que pertenece. ${kept}; anótela otra vez de otra forma.`,
  no_receipt: () =>
    'Un teléfono devolvió esta nota de otro, y nada muestra que el servidor la haya tenido. Queda guardada hasta que el encargado la vea.',
  revoked: () => 'Al teléfono se le quitó el permiso. La nota queda guardada hasta que el encargado la vea.',
} satisfies { [code in FaultCode]: SayFault };
