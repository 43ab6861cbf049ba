import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { speak } from '.';
import { faultCodes } from '../../../schema/kinds';
import { limits } from '../../../schema/limits';
import type { Fault, FaultCode, Kind } from '../../../schema/types';
import { english as supervisorEnglish, spanish as supervisorSpanish } from './supervisor';
import { en } from './en';
import { fault as englishSentences } from './en/fault';
import { fieldNames as englishNames } from './en/fields';
import { work as englishWork } from './en/work';
import { es } from './es';
import { fault as spanishSentences } from './es/fault';
import { fieldNames as spanishNames } from './es/fields';
import { describeFault } from './fault';
import { walk as englishWalk } from './en/walk';
import { walk as spanishWalk } from './es/walk';
import { work as spanishWork } from './es/work';

afterEach(() => speak('en'));

const SERVER = 'What the server says.';

function at(field: string, code: FaultCode, rest: Partial<Fault> = {}): Fault {
  return { field: `body.${field}`, code, message: SERVER, ...rest };
}

const languages = {
  en: {
    sentences: englishSentences,
    names: englishNames,
    app: en,
    supervisor: supervisorEnglish,
    work: englishWork,
    walk: englishWalk,
  },
  es: {
    sentences: spanishSentences,
    names: spanishNames,
    app: es,
    supervisor: supervisorSpanish,
    work: spanishWork,
    walk: spanishWalk,
  },
} as const;

describe.each(['en', 'es'] as const)('in %s', (language) => {
  const { sentences, names, app, supervisor, work, walk } = languages[language];
  beforeEach(() => speak(language));

  // The codes are the closed list that schema/fault.go generates.
  test.each(faultCodes)('the code %s has a sentence of its own, which is not the server’s', (code) => {
    expect((sentences as { [code: string]: unknown })[code]).toBeTypeOf('function');
    expect(describeFault({ field: 'body.words', code, message: SERVER })).not.toBe(SERVER);
  });

  test('there is no sentence for a code that no fault has, and no two codes say the same', () => {
    expect(Object.keys(sentences).sort()).toEqual([...faultCodes].sort());
    const said = faultCodes.map((code) => describeFault({ field: 'body.words', code, message: SERVER }));
    expect(new Set(said).size).toBe(said.length);
  });

  test('nothing in a note makes a sentence that is not one', () => {
    const fields = [
      '',
      'entry',
      'body',
      'body.buds',
      'body.place.row',
      'body.legs[1].change',
      'body.basis[a.1]',
      'body.x[',
      '..',
    ];
    const values = [undefined, null, '', 'x'.repeat(99_999), 7, 1e300, true, [], [null], {}];
    const bad = new Set<string>();
    for (const code of faultCodes) {
      for (const field of fields) {
        for (const value of values) {
          for (const rest of [{}, { min: 1, max: 2, unit: 'bp' }, { unit: 'furlong', want: 'x' }, { one_of: [] }]) {
            const fault = { field, code, value, other: field, other_value: value, message: SERVER, ...rest } as Fault;
            const said = describeFault(fault, { kind: value ?? 'move' });
            if (!/^.{20,500}\.$/su.test(said) || /undefined|NaN|\[object/.test(said))
              bad.add(`${code} ${field}: ${said}`);
          }
        }
      }
    }
    expect([...bad]).toEqual([]);
  });

  test('a field is called as the screens call it', () => {
    const { common } = app;
    const { lot, bed, crops } = supervisor;
    const { pot_mm: _, ...ofLots } = lot.field;
    const shown = {
      ...ofLots,
      ...crops.field,
      pot_mm: work.lot.pot,
      row: common.row,
      root_cover: bed.line.root_cover_min,
      root_life: bed.line.root_life_min,
      chlorosis: common.chlorosis,
      tips_bare: walk.bare,
      severity: undefined,
      scratch: bed.scratch,
      disease: bed.diseaseMark,
      lower_brown: bed.lowerBrownMark,
      soft_flush: bed.softFlushMark,
      bypass: walk.bypass,
      buds: walk.buds,
      from_row: work.pick.fromRow,
      to_row: work.pick.toRow,
      counted: work.recount.counted,
      ph_c: work.reading.ph,
      ec_us_cm: work.reading.ec,
      light_umol: work.reading.light,
      temp_dc: work.reading.air,
      medium_dc: work.reading.medium,
      humid_bp: work.reading.humidity,
      words: work.form.words,
      on: work.form.day,
    };
    const lower = (given: object) => Object.entries(given).map(([field, name]) => [field, String(name).toLowerCase()]);
    const wanted = Object.fromEntries(lower(shown).filter(([, name]) => name !== 'undefined'));
    expect(Object.fromEntries(lower(names))).toMatchObject(wanted);
  });

  test('an answer is called as its button calls it', () => {
    const lists = {
      'count reason': work.loss.reasons,
      'event what': work.event.whats,
      'application purpose': work.application.purposes,
      'reading method': work.reading.methods,
      'lot route': supervisor.lot.route,
      'void why': app.common.voidWhy,
      'skip why': walk.skipWhy,
    };
    for (const [of, buttons] of Object.entries(lists)) {
      const [kind = '', field = ''] = of.split(' ');
      const answers =
        (limits as unknown as Record<string, Record<string, { oneof?: string[] }>>)[kind]?.[field]?.oneof ?? [];
      const said = describeFault(
        { field: `body.${field}`, code: 'not_one_of', value: '?', one_of: [...answers], message: SERVER },
        { kind },
      );
      expect(answers.length).toBeGreaterThan(1);
      for (const answer of answers) expect(said).toContain((buttons as Record<string, string>)[answer]);
    }
  });

  test('every field that people fill in has a name', () => {
    // Ids, lists of ids, marks and hashes are written by the app alone: they keep the names that the records have.
    const ofTheApp =
      /^(of|saw|names|records|replaces|settles|basis|seed|hash|import|id|notes|ended|left|cancelled|retired|done|x_mm|y_mm|round_min_bp|budded_min_bp|\w+_min|\w+_max)$/;
    const fields = Object.values(limits).flatMap((each) => Object.keys(each));
    const last = new Set(fields.map((field) => field.replaceAll('[]', '').split('.').at(-1) ?? ''));
    expect([...last].filter((field) => !(field in names) && !ofTheApp.test(field))).toEqual([]);
  });
});

describe('in Spanish', () => {
  // The faults are those that schema/message_test.go holds the server to.
  test.each<[Kind, Fault, string | RegExp]>([
    [
      'observation',
      at('head_a_mm', 'out_of_range', { value: 4000, min: 5, max: 2000, unit: 'mm' }),
      'Copa, primer diámetro: 4,000 mm está fuera de lo que se admite, de 5 a 2,000 mm. Anótelo otra vez con un número de ahí, o sin ese dato si no se sabe.',
    ],
    [
      'reading',
      at('temp_dc', 'out_of_range', { value: 900, min: -400, max: 700, unit: 'dc' }),
      /^Temperatura del aire: 90 °C .*de -40 a 70 °C/,
    ],
    [
      'profile',
      at('head_tolerance_bp', 'out_of_range', { value: 6000, min: 100, max: 5000, unit: 'bp' }),
      /^Tolerancia de copa: 60 % .*de 1 a 50 %/,
    ],
    ['observation', at('buds', 'out_of_range', { value: -3, min: 0 }), /^Botones: -3 .*desde 0\./],
    [
      'observation',
      at('chlorosis', 'not_one_of', { value: 'purple', one_of: ['none', 'young', 'old', 'whole'] }),
      /^Clorosis: «purple» .*ninguna, hojas nuevas, venas verdes, hojas viejas.* toda la planta\./,
    ],
    [
      'observation',
      at('head_a_mm', 'wrong_type', { value: 28.5, want: 'whole_number' }),
      /28.5 no sirve: hace falta un número entero/,
    ],
    ['observation', at('Buds', 'spelling', { other: 'buds' }), /«Buds» se escribe «buds»/],
    [
      'lot',
      at('ship_week', 'form', { value: '2026-W54', want: 'isoweek' }),
      /^Semana de embarque: «2026-W54» no es una semana/,
    ],
    [
      'note',
      at('words', 'too_long', { value: 4001, max: 4000, unit: 'characters' }),
      /tiene \S*4[.,\s]?001 caracteres; caben 4[.,\s]?000/,
    ],
    [
      'move',
      at('legs', 'too_short', { value: 0, min: 2, max: 16, unit: 'items' }),
      /^Traslado de macetas: tiene 0; hacen falta 2/,
    ],
    ['move', at('legs', 'unbalanced', { value: 1, min: 0, max: 0 }), /las partes suman 1 en vez de 0/],
    [
      'count',
      at('change', 'sign', { value: 4, max: -1, other: 'body.reason', other_value: 'lost_root' }),
      /^Cuántas macetas: 4 suma .*«pudrición de raíz».*menor que 0/,
    ],
    [
      'count',
      at('change', 'sign', { value: -4, min: 1, other: 'body.reason', other_value: 'found' }),
      /^Cuántas macetas: -4 quita .*«encontradas».*mayor que 0/,
    ],
    ['observation', at('buds', 'states_over_buds', { value: 10, min: 11 }), /suman 11, más que los 10 contados/],
    [
      'rooting',
      at('rooted', 'above_other', { value: 68, max: 60, other: 'body.struck' }),
      /^Esquejes enraizados: 68 es más que .*60 o menos/,
    ],
    [
      'span',
      at('to_row', 'below_other', { value: 39, min: 40, other: 'body.from_row' }),
      /^Hasta la hilera: 39 es menos que «Desde la hilera», 40/,
    ],
    ['void', at('records[1]', 'twice', { other: 'body.records[0]' }), /«records»: el número 2 repite/],
    [
      'span',
      at('to_row', 'outside_bed', { value: 180, min: 1, max: 100 }),
      /^Hasta la hilera: 180 .*llega a 100\. .*de 1 a 100/,
    ],
    [
      'observation',
      at('place.across', 'outside_bed', { value: 7, min: 1, max: 6 }),
      /^Lugar desde el lado cercano: 7 .*llega a 6/,
    ],
    [
      'correction',
      at('now.head_a_mm', 'out_of_range', { value: 2001, min: 5, max: 2000, unit: 'mm' }),
      /^Copa, primer diámetro: 2[.,\s]?001 mm/,
    ],
    ['site', at('order_of_a_newer_app', 'null'), /^«order_of_a_newer_app»: llegó vacío/],
  ])('a %s with %o says what is wrong and what to do', async (kind, fault, wanted) => {
    await speak('es');
    expect(describeFault(fault, { kind })).toMatch(wanted);
  });

  test('the value of an envelope’s own field is said', async () => {
    await speak('es');
    expect(describeFault({ field: 'lot', code: 'unknown_lot', value: 'abc', message: SERVER })).toMatch(
      /^Lote: .*«abc»/,
    );
  });
});

test.each<[Kind, Fault, string]>([
  [
    'observation',
    at('head_a_mm', 'out_of_range', { value: 4000, min: 5, max: 2000, unit: 'mm' }),
    'Head, first diameter: 4,000 mm is outside 5 to 2,000 mm. Enter it again within that, or leave it out if it is not known.',
  ],
  [
    'reading',
    at('temp_dc', 'out_of_range', { value: 900, min: -400, max: 700, unit: 'dc' }),
    'Air temperature: 90 °C is outside -40 to 70 °C. Enter it again within that, or leave it out if it is not known.',
  ],
  [
    'span',
    at('to_row', 'outside_bed', { value: 180, min: 1, max: 100 }),
    'To row: 180 is past the end of the bed, which ends at 100. Enter a row from 1 to 100.',
  ],
  [
    'count',
    at('change', 'sign', { value: 4, max: -1, other: 'body.reason', other_value: 'lost_root' }),
    'How many pots: 4 adds pots, but the reason “root rot” removes them. Enter a number below 0, or another reason.',
  ],
])('in English a %s with %o says what is wrong and what to do', (kind, fault, wanted) => {
  expect(describeFault(fault, { kind })).toBe(wanted);
});

describe('the server’s sentence is shown', () => {
  const fault = (code: string) => ({ field: 'body.buds', code, message: SERVER }) as Fault;

  test.each(['en', 'es'] as const)('for a code of a newer server, in %s', async (language) => {
    await speak(language);
    for (const code of ['not_thought_of_yet', 'constructor', 'toString', ''])
      expect(describeFault(fault(code))).toBe(SERVER);
  });
});
