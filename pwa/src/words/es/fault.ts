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
    seconds: 'segundos',
    values: 'lecturas',
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
const saysValue = (context: FaultContext, unit = '') => `${name(context)}: ${given(context, unit) || 'el valor'}`;

const wrongDay = 'Revise los dos días y anote otra vez el que esté mal, o deje fuera el que no se sepa.';

const unknownThing =
  (what: string, remedy: string): DescribeFault =>
  (context) =>
    `${name(context)}: el vivero no tiene ${what}${given(context) ? ` con la clave ${given(context)}` : ''}. ${remedy}`;

const unreadable =
  (why: string): DescribeFault =>
  () =>
    `La nota no se puede leer: ${why}. ${kept}; escríbala otra vez a mano.`;

export const fault = {
  missing: (context) => `${name(context)}: falta. ${again} con ese dato.`,
  wrong_type: (context) =>
    `${saysValue(context)} no sirve: hace falta ${want(context)[0]}. ${again} con ${want(context)[0]}.`,
  null: (context) => `${name(context)}: llegó vacío. ${again}, y sin ese dato cuando no haya nada que decir.`,
  spelling: ({ path, fault }) =>
    `El campo «${path.at(-1) ?? ''}» se escribe ${fault.other ? `«${fault.other}»` : 'con minúsculas'}. Escríbalo así y envíe la nota otra vez.`,
  out_of_range: (context) =>
    `${saysValue(context, sign(context))} está fuera de lo que se admite, ${bounds(context)}. ${again} con un número de ahí${orWithout(context)}.`,
  not_one_of: (context) => {
    const words = context.fault.one_of ?? [];
    const shown = words.length > 0 ? `: ${list(words.map((word) => answerName(context.path, word)))}` : '';
    return `${saysValue(context)} no es una de las respuestas${shown}. ${again} con una de ellas${orWithout(context)}.`;
  },
  too_long: (context) =>
    `${name(context)}: tiene ${given(context, sign(context)) || 'demasiado'}; caben ${edge(context) || 'menos'}. Acórtelo, o envíe lo demás en otra nota.`,
  too_short: (context) => {
    const { min } = context.fault;
    return `${name(context)}: tiene ${given(context) || 'muy poco'}; hacen falta ${min === undefined ? 'más' : `${number(min)} o más`}. ${again}, completo.`;
  },
  form: (context) => `${saysValue(context)} no es ${want(context)[0]}. ${want(context)[1]}${orWithout(context)}.`,
  zero: (context) =>
    `${name(context)}: 0 no cambia nada. ${again} con más de 0 si llegaron macetas o menos de 0 si salieron.`,
  below_other: (context) => {
    const least = `${edge(context)}${sign(context)}`;
    return `${saysValue(context, sign(context))} es menos que «${otherName(context)}», ${least}. ${again} con ${least} o más.`;
  },
  not_above_other: (context) =>
    `${saysValue(context, sign(context))} no es más que «${otherName(context)}», ${edge(context)}${sign(context)}. Anótelo otra vez con un valor mayor.`,
  above_other: (context) =>
    `${saysValue(context, sign(context))} es más que «${otherName(context)}», ${edge(context)}. ${again} con ${edge(context)} o menos.`,
  before_other: (context) => `${saysValue(context)} queda antes de «${otherName(context)}». ${wrongDay}`,
  states_over_buds: (context) =>
    `Botones: los estados suman ${edge(context)}, más que los ${given(context) || 'botones'} contados. Anote otra vez la maceta con ${edge(context)} botones o más, o con menos en los estados.`,
  severity_alone: () =>
    'Severidad de la clorosis: la nota dice qué tan pálidas, pero no qué hojas. Anote otra vez la maceta con las hojas, o sin la severidad.',
  severity_of_none: () =>
    'Severidad de la clorosis: la nota dice qué tan pálidas, pero también que ninguna hoja está pálida. Anote otra vez la maceta con las hojas, o sin la severidad.',
  own_parent: (context) => `${name(context)}: el lote se nombra a sí mismo. Elija el otro lote.`,
  twice: (context) => {
    const place = Number(/\[(\d+)\]$/.exec(context.fault.field)?.[1] ?? Number.NaN) + 1;
    const which = Number.isNaN(place) ? 'hay uno repetido' : `el número ${number(place)} repite uno anterior`;
    return `${name(context)}: ${which}. ${again} con cada uno una sola vez.`;
  },
  unbalanced: (context) =>
    `${name(context)}: las partes suman ${given(context) || 'otra cosa'} en vez de 0, así que aparecerían o se perderían plantas. ${again} con las mismas plantas de salida y de llegada; una pérdida se anota en «Macetas perdidas o encontradas».`,
  sign: (context) => {
    const { max, other_value: reason } = context.fault;
    const because =
      typeof reason === 'string' && reason ? `el motivo «${answerName(['reason'], shorten(reason))}»` : 'el motivo';
    return max === undefined
      ? `${saysValue(context)} quita macetas, pero ${because} las suma. ${again} con un número mayor que 0, o con otro motivo.`
      : `${saysValue(context)} suma macetas, pero ${because} las quita. ${again} con un número menor que 0, o con otro motivo.`;
  },
  empty: () =>
    'La lectura no trae ningún valor. Anótela otra vez con uno por lo menos: pH, conductividad, luz, una temperatura o humedad.',
  envelope: (context) =>
    `${name(context)}: la nota dice uno por fuera y otro por dentro. Actualice la app y anótelo otra vez con uno solo.`,
  overlap: (context) =>
    `${name(context)}: una parte empieza antes de que termine la anterior. Envíe las partes en orden de tiempo, y cada lectura una sola vez.`,
  ends_before: () =>
    'El trabajo terminó antes de empezar. Anote la hora más tarde como final, o deje fuera cuándo empezó.',
  not_cuttings: () =>
    'La nota trae un número de esquejes, pero dice que se hizo otra cosa. Anótelo otra vez en «Sacar esquejes», o sin el número.',
  unknown_lot: unknownThing('un lote', 'Elija un lote de la lista, o anote primero el lote.'),
  unknown_bed: unknownThing('una cama', 'Elija una cama de la lista, o pida al encargado que la dé de alta.'),
  unknown_walk: unknownThing('un recorrido', 'Empiece el recorrido antes de anotar sus macetas.'),
  unknown_span: unknownThing('un tramo de cama', 'Anote primero dónde está el lote, o deje fuera el tramo.'),
  outside_bed: (context) => {
    const most = edge(context);
    const [ends, from] =
      context.path.at(-1) === 'across'
        ? ['queda fuera de la cama', 'un lugar de 1']
        : ['queda después del final de la cama', 'una hilera de 1'];
    return `${saysValue(context)} ${ends}${most ? `, que llega a ${most}` : ''}. ${again} con ${from} ${most ? `a ${most}` : 'en adelante'}.`;
  },
  role: () =>
    'Solo el encargado o el dueño puede escribir esto. Queda guardado y cuenta cuando uno de ellos lo incluya en la página Teléfonos.',
  person: () =>
    'La nota está a nombre de alguien para quien no se vinculó este teléfono. Queda guardada. Si esa persona sí la escribió, el encargado puede incluirla en la página Teléfonos, y entonces cuenta.',
  not_utf8: unreadable('sus letras están dañadas'),
  bad_json: unreadable('su texto está dañado'),
  trailing_data: unreadable('trae algo después del final'),
  duplicate_key: unreadable('trae un dato dos veces'),
  not_integer: unreadable('tiene un número que no es entero'),
  number_too_large: unreadable('tiene un número demasiado grande'),
  not_entry: unreadable('no tiene la forma de una nota'),
  too_deep: unreadable('tiene demasiadas partes una dentro de otra'),
  lone_surrogate: unreadable('tiene un carácter incompleto'),
  too_large: (context) =>
    `La nota es demasiado grande${edge(context) ? `: caben ${edge(context)} bytes` : ''}. ${kept}; escríbala otra vez en partes más cortas.`,
  opaque: () =>
    `El teléfono no pudo enviar la nota como se debe y envió sus bytes. ${kept}; escríbala otra vez a mano.`,
  not_canonical: () =>
    `La nota no está escrita de la única forma que usan todos los aparatos. ${kept}; actualice la app del teléfono y escríbala otra vez.`,
  wrong_place: () =>
    `El número de la nota no corresponde a su lugar entre las notas del teléfono. ${kept}; escríbala otra vez.`,
  record_full: (context) =>
    `Un solo teléfono ya escribió ${given(context, sign(context)) || 'mucho'} sobre lo mismo. ${kept}; el encargado puede incluirla en la página Teléfonos.`,
  unsettled: (context) =>
    `Un solo teléfono dejó ${given(context) || 'muchos'} valores distintos de este dato. ${kept}; elija uno de ellos y escríbalo otra vez.`,
  id_taken: () => 'Otra nota ya tiene la clave de esta. Se guardan las dos; escriba esta otra vez.',
  unwritable: () =>
    `Con esta nota ya no se podría escribir el registro al que pertenece. ${kept}; anótela otra vez de otra forma.`,
  no_receipt: () =>
    'Un teléfono devolvió esta nota de otro, y nada muestra que el servidor la haya tenido. Queda guardada hasta que el encargado la revise.',
  revoked: () => 'A este teléfono se le quitó el acceso. La nota queda guardada hasta que el encargado la revise.',
} satisfies FaultSentences;
