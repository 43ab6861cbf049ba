import { readFileSync } from 'node:fs';
import { afterEach, describe, expect, test } from 'vitest';
import { speak } from '.';
import { faultCodes, limits } from '../../../schema/limits';
import type { Fault } from '../../../schema/types';
import { spanish as deskWords } from './desk';
import { es } from './es';
import { fault as sentences } from './es/fault';
import { fieldNames } from './es/fields';
import { faultSaid } from './fault';
import { work } from './es/work';

afterEach(() => speak('en'));

const SERVER = 'What the server says.';
const spanish: { [code: string]: unknown } = sentences;

describe('in Spanish', () => {
  test.each(faultCodes)('the code %s has a sentence of its own', (code) => {
    expect(spanish[code]).toBeTypeOf('function');
  });

  // A note that cannot be read as an entry is told in the words of sync/journal, one that has no place in the server's.
  test.each([
    ['server/journal/arrive.go', /^\tCode\w+\s+= "(\w+)"/gm, 6],
    ['sync/journal/error.go', /^\t\w+\s+Code = "(\w+)"/gm, 9],
  ] as const)('the codes of %s have theirs too', (file, constant, least) => {
    const codes = [...readFileSync(file, 'utf8').matchAll(constant)].map(([, code = '']) => code);
    expect(codes.length).toBeGreaterThanOrEqual(least);
    expect(codes.filter((code) => !(code in spanish))).toEqual([]);
  });

  test('no two codes say the same, and none says what only the server knows', async () => {
    await speak('es');
    const fault = (code: string): Fault => ({ field: 'body.words', code, message: SERVER });
    const said = Object.keys(spanish).map((code) => faultSaid(fault(code)));
    expect(new Set(said).size).toBe(said.length);
    expect(said).not.toContain(SERVER);
  });

  // The faults are those that schema/message_test.go holds the server to.
  test.each([
    [
      'observation',
      { head_a_mm: 4000 },
      'body.head_a_mm',
      'out_of_range',
      '5 to 2000 mm',
      'Copa, primer diámetro: 4,000 mm está fuera de lo que se admite, de 5 a 2,000 mm. Anótelo otra vez con un número de ahí, o sin ese dato si no se sabe.',
    ],
    [
      'reading',
      { temp_dc: 900 },
      'body.temp_dc',
      'out_of_range',
      '-40 to 70 °C',
      /^Temperatura del aire: 90 °C .*de -40 a 70 °C/,
    ],
    [
      'profile',
      { head_tolerance_bp: 6000 },
      'body.head_tolerance_bp',
      'out_of_range',
      '1 to 50 %',
      /^Tolerancia de copa: 60 % .*de 1 a 50 %/,
    ],
    // Without the fault's own limit, this build's: schema/limits.ts.
    ['observation', { buds: -3 }, 'body.buds', 'out_of_range', undefined, /^Botones: -3 .*desde 0 hasta 2,000/],
    [
      'observation',
      { chlorosis: 'purple' },
      'body.chlorosis',
      'not_one_of',
      'none, young, old, whole',
      /^Clorosis: «purple» .*ninguna, hojas nuevas, venas verdes, hojas viejas.* toda la planta\./,
    ],
    [
      'observation',
      { head_a_mm: 28.5 },
      'body.head_a_mm',
      'wrong_type',
      'a whole number',
      /28.5 no sirve: hace falta un número entero/,
    ],
    ['observation', { Buds: 5 }, 'body.Buds', 'spelling', 'buds', /«Buds» se escribe «buds»/],
    [
      'lot',
      { ship_week: '2026-W54' },
      'body.ship_week',
      'form',
      '',
      /^Semana de embarque: «2026-W54» no es una semana/,
    ],
    [
      'note',
      { words: 'x'.repeat(4001) },
      'body.words',
      'too_long',
      'at most 4000 characters',
      /tiene \S*4[.,\s]?001 caracteres; caben 4[.,\s]?000/,
    ],
    ['move', { legs: [] }, 'body.legs', 'too_short', 'at least 2', /^Traslado de macetas: tiene 0; hacen falta 2/],
    [
      'move',
      { legs: [{ change: -200 }, { change: 201 }] },
      'body.legs',
      'unbalanced',
      'a sum of 0',
      /las partes suman 1 en vez de 0/,
    ],
    [
      'count',
      { change: 4, reason: 'lost_root' },
      'body.change',
      'sign',
      'below 0',
      /^Cuántas macetas: 4 suma .*«pudrición de raíz».*menor que 0/,
    ],
    [
      'count',
      { change: -4, reason: 'found' },
      'body.change',
      'sign',
      'above 0',
      /^Cuántas macetas: -4 quita .*«encontradas».*mayor que 0/,
    ],
    ['observation', { buds: 10 }, 'body.buds', 'contradicts', 'at least 11', /suman 11, más que los 10 contados/],
    ['rooting', { rooted: 68 }, 'body.rooted', 'contradicts', '', /^Esquejes enraizados: 68 son más que los clavados/],
    ['void', { records: ['a', 'a'] }, 'body.records[1]', 'twice', 'each once', /«records»: el número 2 repite/],
    [
      'span',
      { to_row: 180 },
      'body.to_row',
      'outside_bed',
      '1 to 100',
      /^Hasta la hilera: 180 .*llega a 100\. .*de 1 a 100/,
    ],
    [
      'observation',
      { place: { row: 1, across: 7 } },
      'body.place.across',
      'outside_bed',
      '1 to 6',
      /^Lugar desde el pasillo: 7 .*llega a 6/,
    ],
    [
      'correction',
      { now: { head_a_mm: 2001 } },
      'body.now.head_a_mm',
      'out_of_range',
      '5 to 2000 mm',
      /^Copa, primer diámetro: 2[.,\s]?001 mm/,
    ],
    [
      'site',
      { order_of_a_newer_app: 1 },
      'body.order_of_a_newer_app',
      'null',
      '',
      /^«order_of_a_newer_app»: llegó vacío/,
    ],
  ] as const)('a %s with %o says what is wrong and what to do', async (kind, body, field, code, limit, wanted) => {
    await speak('es');
    const fault: Fault = { field, code, message: SERVER, ...(limit === undefined ? {} : { limit }) };
    expect(faultSaid(fault, { kind, body })).toMatch(wanted);
  });

  test('the value of an envelope’s own field is found', async () => {
    await speak('es');
    const note = { kind: 'observation', lot: 'abc', body: {} };
    expect(faultSaid({ field: 'lot', code: 'unknown_lot', message: SERVER }, note)).toMatch(/^Lote: .*«abc»/);
  });

  test('nothing in a note makes a sentence that is not one', async () => {
    await speak('es');
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
    for (const code of Object.keys(spanish)) {
      for (const field of fields) {
        for (const value of values) {
          for (const limit of ['', '1.2.3', 'at least', 'each once', '5 to x']) {
            const body = { buds: value, place: value, legs: value, basis: value, reason: value };
            const said = faultSaid(
              { field, code, limit, message: SERVER },
              { kind: value ?? 'move', body: value ?? body },
            );
            if (!/^.{20,500}\.$/su.test(said) || /undefined|NaN|\[object/.test(said))
              bad.add(`${code} ${field}: ${said}`);
          }
        }
      }
    }
    expect([...bad]).toEqual([]);
  });

  test('a field is called as the screens call it', () => {
    const { common, scout } = es;
    const { lot, bed, crops } = deskWords;
    const { pot_mm: _, ...ofLots } = lot.field;
    const shown = {
      ...ofLots,
      ...crops.field,
      pot_mm: work.lot.pot,
      row: common.row,
      root_cover: common.rootCover,
      root_life: common.rootLife,
      chlorosis: common.chlorosis,
      tips_bare: scout.walk.bare,
      severity: undefined,
      scratch: bed.scratch,
      disease: bed.diseaseMark,
      lower_brown: bed.lowerBrownMark,
      soft_flush: bed.softFlushMark,
      bypass: scout.walk.bypass,
      buds: scout.walk.buds,
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
    const lower = (names: object) => Object.entries(names).map(([field, name]) => [field, String(name).toLowerCase()]);
    const wanted = Object.fromEntries(lower(shown).filter(([, name]) => name !== 'undefined'));
    expect(Object.fromEntries(lower(fieldNames))).toMatchObject(wanted);
  });

  test('an answer is called as its button calls it', async () => {
    await speak('es');
    const lists = {
      'count reason': work.loss.reasons,
      'event what': work.event.whats,
      'application purpose': work.application.purposes,
      'reading method': work.reading.methods,
      'lot route': deskWords.lot.route,
      'void why': es.common.voidWhy,
      'skip why': es.scout.walk.skipWhy,
    };
    for (const [of, names] of Object.entries(lists)) {
      const [kind = '', field = ''] = of.split(' ');
      const answers =
        (limits as unknown as Record<string, Record<string, { oneof?: string[] }>>)[kind]?.[field]?.oneof ?? [];
      const said = faultSaid(
        { field: `body.${field}`, code: 'not_one_of', message: SERVER },
        { kind, body: { [field]: '?' } },
      );
      expect(answers.length).toBeGreaterThan(1);
      for (const answer of answers) expect(said).toContain((names as Record<string, string>)[answer]);
    }
  });

  test('every field that people fill in has a name', () => {
    // Ids, lists of ids, marks and hashes are written by the app alone: they keep the names that the records have.
    const ofTheApp =
      /^(of|saw|names|records|replaces|settles|basis|seed|hash|ended|left|cancelled|done|x_mm|y_mm|round_min_bp|budded_min_bp|\w+_min|\w+_max)$/;
    const fields = Object.values(limits).flatMap((each) => Object.keys(each));
    const last = new Set(fields.map((field) => field.replaceAll('[]', '').split('.').at(-1) ?? ''));
    expect([...last].filter((field) => !(field in fieldNames) && !ofTheApp.test(field))).toEqual([]);
  });
});

describe('the server’s sentence is shown', () => {
  const fault = (code: string): Fault => ({ field: 'body.buds', code, limit: '0 to 2000', message: SERVER });

  test.each(['en', 'es'] as const)('for a code of a newer server, in %s', async (language) => {
    await speak(language);
    for (const code of ['not_thought_of_yet', 'constructor', 'toString', ''])
      expect(faultSaid(fault(code))).toBe(SERVER);
  });

  test('in English, where it is exact', () => {
    const own = faultCodes.filter((code) => faultSaid(fault(code)) !== SERVER);
    expect(own).toEqual(['role', 'person']);
  });
});
