/**
 * Spanish for what is wrong with a note that the server holds: each sentence names the field, says what is wrong and what
 * to do. The codes and what they carry are those of schema/fault.go.
 */
import { edge, partsOf, shorten, type DescribeFault, type FaultContext, type FaultSentences } from '../faultparts';
import { list, number } from '../format';
import { answers, fieldNames } from './fields';

const again = 'Anótelo otra vez';
const kept = 'Queda guardada';

const { answerName, bounds, given, name, otherName, sign, want } = partsOf({
  fields: fieldNames,
  answers,
  units: {
    mm: 'mm',
    bp: '%',
    dc: '°C',
    ph_c: '',
    us_cm: 'µS/cm',
    umol: 'µmol/m²/s',
    px: 'píxeles',
    hours: 'horas',
    days: 'días',
    bytes: 'bytes',
    characters: 'caracteres',
    items: 'partes',
    notes: 'notas',
  },
  wanted: {
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
  },
  anything: ['lo que se admite', again],
  quoted: (text) => `«${text}»`,
  between: (least, most) => `de ${least} a ${most}`,
  least: (least) => `desde ${least}`,
  most: (most) => `hasta ${most}`,
  yes: 'sí',
  no: 'no',
  list: 'una lista',
  object: 'un conjunto de datos',
});

/** Where the note may go without. */
const orWithout = ({ limit }: FaultContext) => (limit && !limit.required ? ', o sin ese dato si no se sabe' : '');

/** "Botones: -3", or "Botones: el valor" when the fault does not carry it. */
const saysValue = (told: FaultContext, unit = '') => `${name(told)}: ${given(told, unit) || 'el valor'}`;

const wrongDay = 'Revise los dos días y anote otra vez el que esté mal, o deje fuera el que no se sepa.';

const unknownThing =
  (what: string, remedy: string): DescribeFault =>
  (told) =>
    `${name(told)}: el vivero no tiene ${what}${given(told) ? ` con la clave ${given(told)}` : ''}. ${remedy}`;

const unreadable =
  (why: string): DescribeFault =>
  () =>
    `La nota no se puede leer: ${why}. ${kept}; escríbala otra vez a mano.`;

export const fault = {
  missing: (told) => `${name(told)}: falta. ${again} con ese dato.`,
  wrong_type: (told) => `${saysValue(told)} no sirve: hace falta ${want(told)[0]}. ${again} con ${want(told)[0]}.`,
  null: (told) => `${name(told)}: llegó vacío. ${again}, y sin ese dato cuando no haya nada que decir.`,
  spelling: ({ path, fault }) =>
    `El campo «${path.at(-1) ?? ''}» se escribe ${fault.other ? `«${fault.other}»` : 'con minúsculas'}. Escríbalo así, con minúsculas, y envíe la nota otra vez.`,
  out_of_range: (told) =>
    `${saysValue(told, sign(told))} está fuera de lo que se admite, ${bounds(told)}. ${again} con un número de ahí${orWithout(told)}.`,
  not_one_of: (told) => {
    const words = told.fault.one_of ?? [];
    const shown = words.length > 0 ? `: ${list(words.map((word) => answerName(told.path, word)))}` : '';
    return `${saysValue(told)} no es una de las respuestas${shown}. ${again} con una de ellas${orWithout(told)}.`;
  },
  too_long: (told) =>
    `${name(told)}: tiene ${given(told, sign(told)) || 'demasiado'}; caben ${edge(told) || 'menos'}. Acórtelo, o envíe lo demás en otra nota.`,
  too_short: (told) => {
    const { min } = told.fault;
    return `${name(told)}: tiene ${given(told) || 'muy poco'}; hacen falta ${min === undefined ? 'más' : `${number(min)} o más`}. ${again}, completo.`;
  },
  form: (told) => `${saysValue(told)} no es ${want(told)[0]}. ${want(told)[1]}${orWithout(told)}.`,
  zero: (told) =>
    `${name(told)}: 0 no cambia nada. ${again} con más de 0 si llegaron macetas o menos de 0 si salieron.`,
  below_other: (told) => {
    const least = `${edge(told)}${sign(told)}`;
    return `${saysValue(told, sign(told))} es menos que «${otherName(told)}», ${least}. ${again} con ${least} o más.`;
  },
  not_above_other: (told) =>
    `${saysValue(told, sign(told))} no es más que «${otherName(told)}», ${edge(told)}${sign(told)}. Anótelo otra vez con un valor mayor.`,
  above_other: (told) =>
    `${saysValue(told, sign(told))} es más que «${otherName(told)}», ${edge(told)}. ${again} con ${edge(told)} o menos.`,
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
      typeof reason === 'string' && reason ? `la razón «${answerName(['reason'], shorten(reason))}»` : 'la razón';
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
  lone_surrogate: unreadable('tiene un carácter incompleto'),
  too_large: (told) =>
    `La nota es demasiado grande${edge(told) ? `: caben ${edge(told)} bytes` : ''}. ${kept}; escríbala otra vez en partes más cortas.`,
  opaque: () =>
    `El teléfono no pudo enviar la nota como se debe y envió sus bytes. ${kept}; escríbala otra vez a mano.`,
  not_canonical: () =>
    `La nota no está escrita como todos los aparatos la escribirían, y no podrían coincidir. ${kept}; actualice la app del teléfono y escríbala otra vez.`,
  wrong_place: () => `La nota trae un número que no es el de su lugar. ${kept}; escríbala otra vez.`,
  record_full: (told) =>
    `Un solo teléfono ya escribió ${given(told, sign(told)) || 'mucho'} sobre lo mismo. ${kept}; el encargado puede incluirla en la página Teléfonos.`,
  unsettled: (told) =>
    `Un solo teléfono dejó ${given(told) || 'muchos'} valores distintos de este dato. ${kept}; elija uno de ellos y escríbalo otra vez.`,
  id_taken: () => 'Otra nota ya tiene la clave de esta. Se guardan las dos; escriba esta otra vez.',
  unwritable: () =>
    `Con esta nota ya no se podría escribir el registro al que pertenece. ${kept}; anótela otra vez de otra forma.`,
  no_receipt: () =>
    'Un teléfono devolvió esta nota de otro, y nada muestra que el servidor la haya tenido. Queda guardada hasta que el encargado la vea.',
  revoked: () => 'Al teléfono se le quitó el permiso. La nota queda guardada hasta que el encargado la vea.',
} satisfies FaultSentences;
