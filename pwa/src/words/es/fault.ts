/**
 * Spanish for what is wrong with a note that the server holds: each sentence names the field, says what is wrong and what
 * to do. The codes are those of schema/fault.go, and of the server where a note cannot be read or taken at all.
 */
import type { FaultCode } from '../../../../schema/limits';
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

const units: { readonly [english: string]: string } = { pixels: 'píxeles', hours: 'horas', days: 'días' };

function unit(text: string): string {
  const sign = text.trim();
  return sign === '' ? '' : ` ${units[sign] ?? sign}`;
}

/** Fields are whole numbers of small units; people are shown the larger one that the limit is in. */
function scaleOf({ path }: Told): number {
  const last = path.at(-1) ?? '';
  if (last.endsWith('_dc')) return 10;
  return last.endsWith('_bp') || last === 'ph_c' ? 100 : 1;
}

/** The limit as the fault carries it, or from this build's own limits where it carries none that can be read. */
function bounds(told: Told): { said: string; sign: string } {
  const { fault, limit } = told;
  const both = /^(-?[\d.]+) to (-?[\d.]+)(.*)$/.exec(fault.limit ?? '');
  if (both) {
    const [, low = '', high = '', sign = ''] = both;
    return { said: `de ${digits(low)} a ${digits(high)}${unit(sign)}`, sign: unit(sign) };
  }
  const one = /^at (least|most) (-?[\d.]+)(.*)$/.exec(fault.limit ?? '');
  if (one) {
    const [, way = '', edge = '', sign = ''] = one;
    return { said: `${way === 'least' ? 'desde' : 'hasta'} ${digits(edge)}${unit(sign)}`, sign: unit(sign) };
  }
  const scaled = (value: number) => digits(String(value / scaleOf(told)));
  const { min, max } = limit ?? {};
  const said = [min === undefined ? '' : `desde ${scaled(min)}`, max === undefined ? '' : `hasta ${scaled(max)}`];
  return { said: said.filter(Boolean).join(' ') || 'lo que se admite', sign: '' };
}

/** What the note says, short enough for a screen; "" where that is not known. */
function given(told: Told, sign = ''): string {
  const { value } = told;
  if (typeof value === 'number') {
    // What is no whole number was typed in the larger unit already.
    return `${digits(String(Number.isInteger(value) ? value / scaleOf(told) : value))}${sign}`;
  }
  if (typeof value === 'string') return `«${value.length > MOST_QUOTED ? `${value.slice(0, MOST_QUOTED)}…` : value}»`;
  if (typeof value === 'boolean') return value ? '«sí»' : '«no»';
  if (Array.isArray(value)) return 'una lista';
  return isObject(value) ? 'un conjunto de datos' : '';
}

/** "Botones: -3", or "Botones: el valor" when the note cannot be asked. */
const saysValue = (told: Told, sign = '') => `${name(told)}: ${given(told, sign) || 'el valor'}`;

const sizeOf = ({ value }: Told): number | undefined => {
  if (typeof value === 'string') return [...value].length;
  return isObject(value) ? Object.keys(value).length : undefined;
};

/** The number in a limit such as "at most 4000 characters"; this build's own where the fault carries none. */
function edge({ fault }: Told, own?: number): string {
  const found = /-?\d+(\.\d+)?/.exec(fault.limit ?? '')?.[0];
  return found === undefined ? (own === undefined ? '' : number(own)) : digits(found);
}

const shapes: { readonly [english: string]: string } = {
  'a whole number': 'un número entero',
  'a text': 'un texto',
  'true or false': 'sí o no',
  'a list': 'una lista',
  'an object': 'un conjunto de datos',
};

/** What a text of each form looks like, and what to do when it does not. */
const forms: { readonly [form: string]: readonly [is: string, remedy: string] } = {
  id: ['una clave (32 signos: 0 a 9, a a f)', 'Elíjalo de la lista, no lo escriba a mano'],
  tag: ['un código de etiqueta (letras, cifras, espacio y . _ / -)', 'Anótelo otra vez como está en la etiqueta'],
  isoweek: ['una semana del calendario, como 2026-W50', 'Anótelo otra vez con año y semana'],
  date: ['un día del calendario, como 2026-03-14', 'Anótelo otra vez con año, mes y día'],
  timezone: ['una zona horaria, como America/New_York', 'Anótelo otra vez con un nombre de la lista de la IANA'],
  recordkey: ['la clave de un registro', 'Actualice la app y hágalo otra vez'],
  hexadecimal: ['la huella de una foto', 'Tome la foto otra vez'],
};

/** What does not go together, by the field that the server names. */
const contradictions: { readonly [field: string]: (told: Told) => string } = {
  buds: (told) =>
    `Botones: los estados suman ${edge(told)}, más que los ${given(told) || 'botones'} contados. Anote otra vez la maceta con ${edge(told)} botones o más, o con menos en los estados.`,
  severity: () =>
    'Grado de clorosis: dice cuánto, pero no qué hojas están pálidas. Anote otra vez la maceta con las hojas, o sin el grado.',
  to_row: (told) =>
    `${saysValue(told)} queda antes de la primera hilera, ${edge(told)}. ${again} con ${edge(told)} o más.`,
  max_pots: (told) => `${saysValue(told)} es menos que el mínimo, ${edge(told)}. ${again} con ${edge(told)} o más.`,
  head_max_mm: (told) =>
    `${saysValue(told, ' mm')} es menos que la copa mínima, ${edge(told)} mm. ${again} con ${edge(told)} mm o más.`,
  trouble_bad_bp: (told) =>
    `${saysValue(told, ' %')} no es más que la parte aceptable. Anótelo otra vez con una parte mayor.`,
  potted_on: (told) => `${saysValue(told)} queda antes del día en que se clavó. ${wrongDay}`,
  shipped_on: (told) => `${saysValue(told)} queda antes del día en que se enmacetó. ${wrongDay}`,
  parent: () => 'Viene de: el lote se nombra a sí mismo. Elija el lote del que salió.',
  rooted: (told) => `${saysValue(told)} son más que los clavados. ${again} con los clavados o menos.`,
};

const wrongDay = 'Revise los dos días y anote otra vez el que esté mal, o deje fuera el que no se sepa.';

const unknownThing =
  (what: string, remedy: string): SayFault =>
  (told) =>
    `${name(told)}: el vivero no tiene ${what}${given(told) ? ` con la clave ${given(told)}` : ''}. ${remedy}`;

const unreadable =
  (why: string): SayFault =>
  () =>
    `La nota no se puede leer: ${why}. ${kept}; escríbala otra vez a mano.`;

/** Two packages of the server have a fault of this code: one reads whole notes, one their fields. */
const inNote =
  (why: string, inField: SayFault): SayFault =>
  (told) =>
    told.fault.field === 'entry' ? unreadable(why)(told) : inField(told);

const ofFields = {
  missing: (told) => `${name(told)}: falta. ${again} con ese dato.`,
  wrong_type: inNote('no es lo que una nota debe ser', (told) => {
    const wanted = shapes[told.fault.limit ?? ''] ?? 'otra clase de dato';
    return `${saysValue(told)} no sirve: hace falta ${wanted}. ${again} con ${wanted}.`;
  }),
  null: (told) => `${name(told)}: llegó vacío. ${again}, y sin ese dato cuando no haya nada que decir.`,
  spelling: ({ path, fault }) =>
    `El campo «${path.at(-1) ?? ''}» se escribe ${fault.limit ? `«${fault.limit}»` : 'con minúsculas'}. Escríbalo así, con minúsculas, y envíe la nota otra vez.`,
  out_of_range: inNote('tiene un número demasiado grande', (told) => {
    const { said, sign } = bounds(told);
    return `${saysValue(told, sign)} está fuera de lo que se admite, ${said}. ${again} con un número de ahí${orWithout(told)}.`;
  }),
  not_one_of: (told) => {
    const words = told.limit?.oneof ?? (told.fault.limit ?? '').split(', ').filter(Boolean);
    const shown = words.length > 0 ? `: ${list(words.map((word) => answerName(told.path, word)))}` : '';
    return `${saysValue(told)} no es una de las respuestas${shown}. ${again} con una de ellas${orWithout(told)}.`;
  },
  too_long: (told) => {
    const [size, items] = [sizeOf(told), typeof told.value === 'string' ? 'caracteres' : 'partes'];
    const has = size === undefined ? 'es demasiado largo' : `tiene ${number(size)} ${items}`;
    const most = edge(told, told.limit?.maxLength);
    return `${name(told)}: ${has}${most ? `; caben ${most}` : ''}. Acórtelo, o envíe lo demás en otra nota.`;
  },
  too_short: (told) => {
    const [size, least] = [sizeOf(told), edge(told, told.limit?.minLength)];
    const has = size === undefined ? 'es demasiado corto' : `tiene ${number(size)}`;
    return `${name(told)}: ${has}${least ? `; hacen falta ${least} o más` : ''}. ${again}, completo.`;
  },
  form: (told) => {
    const [is, remedy] = forms[told.limit?.form ?? ''] ?? ['lo que se admite', `${again} de otra forma`];
    return `${saysValue(told)} no es ${is}. ${remedy}${orWithout(told)}.`;
  },
  zero: (told) => `${name(told)}: 0 no cambia nada. ${again} con más de 0 si llegaron o menos de 0 si se fueron.`,
  contradicts: (told) =>
    contradictions[told.path.at(-1) ?? '']?.(told) ??
    `${saysValue(told)} no va con lo demás de la nota. Revise los dos datos y anote otra vez el que esté mal.`,
  twice: (told) => {
    const place = Number(/\[(\d+)\]$/.exec(told.fault.field)?.[1] ?? Number.NaN) + 1;
    const which = Number.isNaN(place) ? 'hay uno repetido' : `el número ${number(place)} repite uno anterior`;
    return `${name(told)}: ${which}. ${again} con cada uno una sola vez.`;
  },
  unbalanced: (told) => {
    const legs = Array.isArray(told.value) ? told.value : [];
    const changes = legs.map((leg: unknown) =>
      isObject(leg) && typeof leg['change'] === 'number' ? leg['change'] : 0,
    );
    const sum = changes.reduce((all, change) => all + change, 0);
    const says = sum === 0 ? 'las partes no suman 0' : `las partes suman ${number(sum)} en vez de 0`;
    return `${name(told)}: ${says}, así que aparecerían o se perderían macetas. ${again} con las mismas macetas de salida y de llegada; una pérdida se anota como conteo.`;
  },
  sign: (told) => {
    const { body } = told.note;
    const reason = isObject(body) && typeof body['reason'] === 'string' ? body['reason'] : '';
    const because = reason === '' ? 'la razón' : `la razón «${answerName(['reason'], reason)}»`;
    return told.fault.limit === 'below 0'
      ? `${saysValue(told)} suma macetas, pero ${because} las quita. ${again} con un número menor que 0, o con otra razón.`
      : `${saysValue(told)} quita macetas, pero ${because} las suma. ${again} con un número mayor que 0, o con otra razón.`;
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
    const most = /(\d+)$/.exec(told.fault.limit ?? '')?.[1];
    const [ends, from] =
      told.path.at(-1) === 'across'
        ? ['queda fuera de la cama', 'un lugar de 1']
        : ['queda después del final de la cama', 'una hilera de 1'];
    return `${saysValue(told)} ${ends}${most ? `, que llega a ${digits(most)}` : ''}. ${again} con ${from} ${most ? `a ${digits(most)}` : 'en adelante'}.`;
  },
  role: () =>
    'Esto le toca escribirlo al encargado o al dueño. Queda guardado y cuenta cuando uno de ellos lo incluya en la página Teléfonos.',
  person: () =>
    'La nota está a nombre de alguien que no es de este teléfono. Queda guardada y cuenta cuando el encargado la incluya en la página Teléfonos, si esa persona la escribió.',
} satisfies { [code in FaultCode]: SayFault };

const ofNotes = {
  not_utf8: unreadable('sus letras están dañadas'),
  bad_json: unreadable('su texto está dañado'),
  trailing_data: unreadable('trae algo después del final'),
  duplicate_key: unreadable('trae un dato dos veces'),
  not_integer: unreadable('tiene un número que no es entero'),
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
    `Un solo teléfono ya escribió ${edge(told)} notas sobre lo mismo. ${kept}; el encargado puede incluirla en la página Teléfonos.`,
  unsettled: (told) =>
    `Un solo teléfono dejó ${edge(told)} valores distintos de este dato. ${kept}; elija uno de ellos y escríbalo otra vez.`,
  id_taken: () => 'Otra nota ya tiene la clave de esta. Se guardan las dos; escriba esta otra vez.',
  unwritable: () =>
    `Con esta nota ya no se podría escribir el registro al que pertenece. ${kept}; anótela otra vez de otra forma.`,
  no_receipt: () =>
    'Un teléfono devolvió esta nota de otro, y nada muestra que el servidor la haya tenido. Queda guardada hasta que el encargado la vea.',
  revoked: () => 'Al teléfono se le quitó el permiso. La nota queda guardada hasta que el encargado la vea.',
} satisfies { [code: string]: SayFault };

export const fault = { ...ofFields, ...ofNotes };
