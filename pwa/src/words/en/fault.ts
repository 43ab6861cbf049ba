/**
 * English for what is wrong with a note that the server holds: each sentence names the field, says what is wrong and what
 * to do. The codes and what they carry are those of schema/fault.go.
 */
import { edge, partsOf, shorten, type DescribeFault, type FaultContext, type FaultSentences } from '../faultparts';
import { list, number } from '../format';
import { answers, fieldNames } from './fields';

const again = 'Enter it again';
const kept = 'It is kept';
const update = 'Update the app and do it again';

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
    px: 'pixels',
    hours: 'hours',
    days: 'days',
    bytes: 'bytes',
    characters: 'characters',
    items: 'items',
    notes: 'notes',
    seconds: 'seconds',
    values: 'readings',
  },
  wanted: {
    whole_number: ['a whole number', again],
    text: ['a text', again],
    true_or_false: ['yes or no', again],
    list: ['a list', again],
    object: ['a set of values', again],
    id: ['an id (32 characters: 0 to 9, a to f)', 'Choose it from the list instead of typing it'],
    tag: ['a tag code (letters, digits, spaces and . _ / -)', 'Enter it again as it is on the tag'],
    recordkey: ['the key of a record', update],
    devicekey: ['the key of a phone', update],
    isoweek: ['a calendar week such as 2026-W50', 'Enter it again with year and week'],
    date: ['a calendar day such as 2026-03-14', 'Enter it again with year, month and day'],
    timezone: ['a time zone such as America/New_York', 'Enter it again with a name from the IANA list'],
    alphanum: ['letters and digits only', update],
    hexadecimal: ['the fingerprint of a photo', 'Take the photo again'],
  },
  anything: ['what is allowed', again],
  quoted: (text) => `“${text}”`,
  between: (least, most) => `${least} to ${most}`,
  least: (least) => `at least ${least}`,
  most: (most) => `at most ${most}`,
  yes: 'yes',
  no: 'no',
  list: 'a list',
  object: 'a set of values',
});

/** Where the note may go without. */
const orWithout = ({ limit }: FaultContext) => (limit && !limit.required ? ', or leave it out if it is not known' : '');

/** "Buds: -3", or "Buds: the value" when the fault does not carry it. */
const valueOf = (context: FaultContext, unit = '') => `${name(context)}: ${given(context, unit) || 'the value'}`;

const unknownThing =
  (what: string, remedy: string): DescribeFault =>
  (context) =>
    `${name(context)}: the nursery has no ${what}${given(context) ? ` with the id ${given(context)}` : ''}. ${remedy}`;

const unreadable =
  (why: string): DescribeFault =>
  () =>
    `The note cannot be read: ${why}. ${kept}; write it again by hand.`;

export const fault = {
  missing: (context) => `${name(context)} is missing. Enter the note again with it.`,
  wrong_type: (context) => `${valueOf(context)} can’t be used; this takes ${want(context)[0]}. ${again}.`,
  null: (context) => `${name(context)} is empty. Enter the note again; if there is nothing to say here, leave it out.`,
  spelling: ({ path, fault: { other } }) =>
    `The field “${path.at(-1) ?? ''}” is spelled ${other ? `“${other}”` : 'in small letters'}. Spell it like that and send the note again.`,
  out_of_range: (context) =>
    `${valueOf(context, sign(context))} is outside ${bounds(context)}. ${again} within that${orWithout(context)}.`,
  not_one_of: (context) => {
    const words = context.fault.one_of ?? [];
    const shown = words.length > 0 ? `: ${list(words.map((word) => answerName(context.path, word)))}` : '';
    return `${valueOf(context)} is not one of the answers${shown}. Choose one of them${orWithout(context)}.`;
  },
  too_long: (context) =>
    `${name(context)} has ${given(context, sign(context)) || 'too much'}; ${edge(context) || 'fewer'} fit. Shorten it, or send the rest in another note.`,
  too_short: (context) => {
    const { min } = context.fault;
    return `${name(context)} has ${given(context) || 'too little'}; it takes ${min === undefined ? 'more' : `at least ${number(min)}`}. ${again} in full.`;
  },
  form: (context) => `${valueOf(context)} is not ${want(context)[0]}. ${want(context)[1]}${orWithout(context)}.`,
  zero: (context) =>
    `${name(context)}: 0 changes nothing. Enter a number above 0 if pots came, or below 0 if they went.`,
  below_other: (context) => {
    const least = `${edge(context)}${sign(context)}`;
    return `${valueOf(context, sign(context))} is below “${otherName(context)}” (${least}). Enter ${least} or more.`;
  },
  not_above_other: (context) =>
    `${valueOf(context, sign(context))} is not above “${otherName(context)}” (${edge(context)}${sign(context)}). Enter a larger value.`,
  above_other: (context) =>
    `${valueOf(context, sign(context))} is above “${otherName(context)}” (${edge(context)}). Enter ${edge(context)} or less.`,
  before_other: (context) =>
    `${valueOf(context)} is before “${otherName(context)}”. Check both days and enter the wrong one again, or leave out what is not known.`,
  states_over_buds: (context) =>
    `Buds: the stages add up to ${edge(context)}, more than the ${given(context) || 'buds'} counted. Enter the pot again with ${edge(context)} buds or more, or with fewer in the stages.`,
  severity_alone: () =>
    'Severity of chlorosis: the note says how pale, but not which leaves. Enter the pot again with the leaves, or without the severity.',
  severity_of_none: () =>
    'Severity of chlorosis: the note says how pale, but also that no leaves are pale. Enter the pot again with the leaves, or without the severity.',
  own_parent: (context) => `${name(context)}: the lot names itself. Choose the other lot.`,
  twice: (context) => {
    const place = Number(/\[(\d+)\]$/.exec(context.fault.field)?.[1] ?? Number.NaN) + 1;
    const which = Number.isNaN(place) ? 'one is there twice' : `number ${number(place)} repeats an earlier one`;
    return `${name(context)}: ${which}. Enter the note again with each one once.`;
  },
  unbalanced: (context) =>
    `${name(context)}: the parts add up to ${given(context) || 'something else'} instead of 0, so plants would appear or vanish. Enter as many plants leaving as arriving; note a loss under “Pots lost or found”.`,
  sign: (context) => {
    const { max, other_value: reason } = context.fault;
    const because =
      typeof reason === 'string' && reason ? `the reason “${answerName(['reason'], shorten(reason))}”` : 'the reason';
    return max === undefined
      ? `${valueOf(context)} removes pots, but ${because} adds them. Enter a number above 0, or another reason.`
      : `${valueOf(context)} adds pots, but ${because} removes them. Enter a number below 0, or another reason.`;
  },
  empty: () =>
    'The reading has no value. Enter it again with at least one: pH, conductivity, light, a temperature or humidity.',
  envelope: (context) =>
    `${name(context)}: the note names one outside and another inside. Update the app and enter it again with one.`,
  overlap: (context) =>
    `${name(context)}: a part begins before the one above it has ended. Send the parts in order of time, and each reading once.`,
  ends_before: () => 'The work ended before it began. Enter the later time as its end, or leave out when it began.',
  not_cuttings: () =>
    'The note has a number of cuttings, but says that something else was done. Enter it again under “Take cuttings”, or without the number.',
  unknown_lot: unknownThing('lot', 'Choose a lot from the list, or add the lot first.'),
  unknown_bed: unknownThing('bed', 'Choose a bed from the list, or ask the supervisor to add it.'),
  unknown_walk: unknownThing('walk', 'Start the walk before you note its pots.'),
  unknown_span: unknownThing('stretch of bed', 'Note where the lot is first, or leave the stretch out.'),
  outside_bed: (context) => {
    const most = edge(context);
    const isAcross = context.path.at(-1) === 'across';
    const [where, what] = isAcross ? ['outside the bed', 'a place'] : ['past the end of the bed', 'a row'];
    return `${valueOf(context)} is ${where}${most ? `, which ends at ${most}` : ''}. Enter ${what} from 1${most ? ` to ${most}` : ' on'}.`;
  },
  role: () =>
    'Only a supervisor or the owner can write this. It is kept, and counts once one of them merges it on the Phones page.',
  person: () =>
    'This note carries the name of someone this phone is not paired for. It is kept. If that person did write it, a supervisor can merge it on the Phones page; then it counts.',
  not_utf8: unreadable('its letters are damaged'),
  bad_json: unreadable('its text is damaged'),
  trailing_data: unreadable('there is more text after its end'),
  duplicate_key: unreadable('it gives one value twice'),
  not_integer: unreadable('it has a number that is not whole'),
  number_too_large: unreadable('it has a number that is too large'),
  not_entry: unreadable('it is not in the form of a note'),
  too_deep: unreadable('it has too many parts inside each other'),
  lone_surrogate: unreadable('one character is cut in half'),
  too_large: (context) =>
    `The note is too large${edge(context) ? `: ${edge(context)} bytes fit` : ''}. ${kept}; write it again in shorter parts.`,
  opaque: () => `The phone could not send the note properly and sent its bytes. ${kept}; write it again by hand.`,
  not_canonical: () =>
    `The note is not in the one form that every device uses. ${kept}; update the phone’s app and write it again.`,
  wrong_place: () => `The note’s number does not match its place among the phone’s notes. ${kept}; write it again.`,
  record_full: (context) =>
    `One phone has already written ${given(context, sign(context)) || 'too much'} about the same thing. ${kept}; the supervisor can merge it on the Phones page.`,
  unsettled: (context) =>
    `One phone has left ${given(context) || 'several'} different values of this field. ${kept}; choose one of them and write it again.`,
  id_taken: () => 'Another note already has this one’s id. Both are kept; write this one again.',
  unwritable: () =>
    `With this note, the record it belongs to could no longer be written. ${kept}; write it again in another way.`,
  no_receipt: () =>
    'A phone returned this note of another phone, and nothing shows that the server ever had it. It is kept until the supervisor has reviewed it.',
  revoked: () => 'This phone’s access was revoked. The note is kept until the supervisor has reviewed it.',
} satisfies FaultSentences;
