import { readFileSync, readdirSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { amend as amendEnglish } from './en/amend';
import { amend as amendSpanish } from './es/amend';
import { languageOfDevice, language, speak, appWords, units } from '.';
import { broken as brokenEnglish } from './en/broken';
import { broken as brokenSpanish } from './es/broken';
import { guide as guideEnglish } from './en/guide';
import { guide as guideSpanish } from './es/guide';
import { help as helpEnglish } from './en/help';
import { help as helpSpanish } from './es/help';
import { english, spanish } from './supervisor';
import { en } from './en';
import { fault as faultEnglish } from './en/fault';
import { es } from './es';
import { fault as faultSpanish } from './es/fault';
import * as format from './format';
import { setup as setupEnglish } from './en/setup';
import { setup as setupSpanish } from './es/setup';
import { english as briefingEnglish, spanish as briefingSpanish } from './briefing';
import * as spotEnglish from './en/work';
import { spot, work } from './es/work';
import { walk as walkEnglish } from './en/walk';
import { walk as walkSpanish } from './es/walk';
import { counter } from './plural';

const spotSpanish = { work, spot };

type Tree = { [key: string]: unknown };

/** Every word or sentence of a tree by its dotted path. Functions are called with stand-ins, so their text shows. */
function leaves(tree: Tree, above = ''): [path: string, text: string][] {
  return Object.entries(tree).flatMap(([key, value]): [string, string][] => {
    const path = `${above}${key}`;
    if (typeof value === 'string') return [[path, value]];
    if (typeof value === 'function') return [[path, said(value as (...given: unknown[]) => unknown)]];
    return typeof value === 'object' && value !== null ? leaves(value as Tree, `${path}.`) : [];
  });
}

function said(sentence: (...given: unknown[]) => unknown): string {
  const finding = { code: '', numbers: {}, attention: false };
  const about = { lot: '7', entryEnd: 'a', farEnd: 'b', size: String };
  const tries: unknown[][] = [
    [2, 2, 2, 2, 2, 2],
    ['2', '2', '2', '2', '2', '2'],
    [finding, about],
    [{ fault: { field: 'body.buds', code: '', message: '' }, path: ['buds'], value: 2, limit: undefined }],
  ];
  for (const given of tries) {
    try {
      const text = sentence(...given);
      if (typeof text === 'string') return text;
    } catch {
      // Not what this sentence takes; the next stand-ins may be.
    }
  }
  return '';
}

const pairs = {
  app: [en, es],
  supervisor: [english, spanish],
  spot: [spotEnglish, spotSpanish],
  briefing: [briefingEnglish, briefingSpanish],
  amend: [amendEnglish, amendSpanish],
  setup: [setupEnglish, setupSpanish],
  broken: [brokenEnglish, brokenSpanish],
  guide: [guideEnglish, guideSpanish],
  help: [helpEnglish, helpSpanish],
  walk: [walkEnglish, walkSpanish],
  fault: [faultEnglish, faultSpanish],
} as const;
const spanishOf = new Map(Object.entries(pairs).flatMap(([room, [, other]]) => leaves(other as Tree, `${room}.`)));
const all = Object.entries(pairs).flatMap(([room, [one]]) => leaves(one as Tree, `${room}.`));

describe('each word', () => {
  test('is there in both languages and is not empty', () => {
    // A list of classes that begin with 1 has nothing at its place 0.
    const wanted = all.filter(([path, text]) => !(path.endsWith('.0') && text === '' && spanishOf.get(path) === ''));
    const missing = wanted.filter(([path, text]) => text.trim() === '' || (spanishOf.get(path) ?? '').trim() === '');
    expect(missing.map(([path]) => path)).toEqual([]);
  });

  test('differs between the languages, or is on the list of words that are the same in both', () => {
    // Signs, units, names of measures, and words that the trade writes alike in both.
    const alike = new RegExp(readFileSync('pwa/src/words/alike.txt', 'utf8').trim().split('\n').join('|'));
    const same = all.filter(
      ([path, text]) => spanishOf.get(path) === text && /\p{L}{2}/u.test(text) && !alike.test(path),
    );
    expect(same.map(([path, text]) => `${path}: ${text}`)).toEqual([]);
  });

  test('writes nothing as "undefined", "NaN" or "[object Object]"', () => {
    const broken = [...all, ...spanishOf].filter(([, text]) => /undefined|NaN|\[object/.test(text));
    expect(broken).toEqual([]);
  });
});

// Spanish and Canadian English end a time with a stop of its own, "2:21 p.m.": stop() sees to it.
test('a sentence that ends in a time ends in one stop', () => {
  const files = ['en', 'es'].flatMap((folder) =>
    readdirSync(`pwa/src/words/${folder}`).map((file) => `${folder}/${file}`),
  );
  const doubled = files.flatMap((file) =>
    readFileSync(`pwa/src/words/${file}`, 'utf8')
      .split('\n')
      .filter((line) => /\$\{(when|until|now|time)\}\./.test(line))
      .map((line) => `${file}: ${line.trim()}`),
  );
  expect(doubled).toEqual([]);
  expect(spanish.pages.data.kept('a las 2:21 p.m.')).toMatch(/a las 2:21 p\.m\.$/);
  expect(setupSpanish.notes.differs('a las 2:21 p.m.')).toContain('a las 2:21 p.m. El');
  expect(setupSpanish.notes.differs('el 3 nov a las 14:12')).toContain('14:12. El');
});

test('every code that sync/bed can find has its sentence', () => {
  const codes = [...readFileSync('sync/bed/codes.go', 'utf8').matchAll(/^\tCode\w+\s+= "(\w+)"/gm)].map(
    ([, code]) => code,
  );
  expect(codes.length).toBeGreaterThan(10);
  expect(Object.keys(briefingEnglish.findings).sort()).toEqual(codes.sort());
});

test('every kind of entry has its name', () => {
  const kinds = [...readFileSync('schema/kinds.go', 'utf8').matchAll(/^\t\{"(\w+)", reflect/gm)].map(
    ([, kind]) => kind,
  );
  expect(kinds.length).toBeGreaterThan(20);
  expect(Object.keys(english.lot.kind).sort()).toEqual(kinds.sort());
});

describe('the supervisor’s pages and the parts', () => {
  const written =
    /^\s*(?!\/?\*|\/\/)[A-Z][a-z]+( [a-z]+)+\.?$|>[^<>{}=();&]*[A-Za-z]{3}[^<>{}=();&]*<\/|(?:aria-label|title|alt|placeholder)="[^"]*[a-z]/;
  // The sign at a sprayed bed speaks both languages, whichever the reader has chosen.
  const sign = />(KEEP OUT|NO ENTRE)</;

  test('hold no words of their own', () => {
    const folders = ['pwa/src/screens/supervisor', 'pwa/src/parts'];
    const files = folders.flatMap((folder) =>
      readdirSync(folder, { recursive: true, encoding: 'utf8' }).map((file) => `${folder}/${file}`),
    );
    expect(files.length).toBeGreaterThan(70);
    const found = files
      .filter((file) => file.endsWith('.tsx') && !file.includes('.test.'))
      .flatMap((file) =>
        readFileSync(file, 'utf8')
          .split('\n')
          .filter((line) => written.test(line) && !sign.test(line))
          .map((line) => `${file}: ${line.trim()}`),
      );
    expect(found).toEqual([]);
  });

  test.each(['<p>Too few pots</p>', '        Too few pots seen.', '<img alt="a bed" />', '<b>Beds</b>'])(
    'would be caught with %s',
    (line) => expect(written.test(line)).toBe(true),
  );
});

describe('Spanish has one word for one thing, the one in DEVELOPERS.md', () => {
  // Common practice among crews, no source. "Saque más macetas" reads as an order to throw them out.
  const avoided =
    /\bmonitor(es)?\b|mirada\b|\bmand(ar|e|en|an|ó)\b|reingreso|\bdetiene|\bcasas?\b|esquejado|\bsaque|halladas|palabras|copia de seguridad|se pasan|café y|\bfuerzas\b/i;

  test('in every sentence', () => {
    expect([...spanishOf].filter(([, text]) => avoided.test(text))).toEqual([]);
  });

  test('and in what is said of a bed', () => {
    const about = { lot: '7', entryEnd: 'a', farEnd: 'b', size: String };
    const finding = { code: '', lot: '', attention: false, numbers: {} };
    const said = Object.values(briefingSpanish.findings).map((say) => say(finding, about));
    expect(said.filter((text) => avoided.test(text))).toEqual([]);
  });
});

describe('numbers and days', () => {
  test.each(['en', 'es'] as const)('are written in the grammar of %s', async (wanted) => {
    await speak(wanted);
    expect(document.documentElement.lang).toBe(wanted);
    expect(appWords.value.common.pots(1)).toBe(wanted === 'en' ? '1 pot' : '1 maceta');
    expect(appWords.value.common.pots(2)).toBe(wanted === 'en' ? '2 pots' : '2 macetas');
    expect(format.daysSince(Date.now())).toBe(0);
    expect(format.ago(Date.now() - 86_400_000 * 5)).toBe(wanted === 'en' ? '5 days ago' : 'hace 5 días');
  });

  test('say when in a sentence: the time alone today, the day with it on any other', async () => {
    const now = new Date(2026, 10, 28, 9).getTime();
    const [soon, tomorrow] = [new Date(2026, 10, 28, 10, 35).getTime(), new Date(2026, 10, 29, 13, 5).getTime()];
    await speak('en');
    expect(format.atWhen(soon, now)).toMatch(/^at 10:35/);
    expect(format.atWhen(tomorrow, now)).toMatch(/^on .*29.* at 1:05/);
    expect(format.untilWhen(soon, now)).toMatch(/^10:35/);
    await speak('es');
    expect(format.atWhen(soon, now)).toMatch(/^a las 10:35/);
    // One o'clock is in the singular.
    expect(format.atWhen(tomorrow, now)).toMatch(/^el 29 nov a la 1:05/);
    expect(format.untilWhen(soon, now)).toMatch(/^las 10:35/);
    expect(format.untilWhen(tomorrow, now)).toMatch(/^el 29 nov a la 1:05/);
    await speak('en');
  });

  test('count one pot as one, with its sign', async () => {
    expect(spotEnglish.work.loss.saved(-1, 'cold')).toBe('−1 pot (cold): noted.');
    expect(spotSpanish.work.loss.saved(-1, 'frío')).toBe('−1 maceta (frío): anotado.');
    expect(spotSpanish.work.loss.saved(12, 'otro')).toBe('+12 macetas (otro): anotado.');
  });

  test('give a share its interval, and say what nothing seen still allows', async () => {
    await speak('en');
    const interval = { low: 0.127, high: 0.463, known: true };
    expect(format.share({ x: 5, n: 18, value: 5 / 18, interval, known: true })).toBe('5 of 18 pots (13 to 46\u202f%)');
    const none = { x: 0, n: 20, value: 0, interval: { low: 0, high: 0.14, known: true }, known: true };
    expect(format.share(none)).toBe('none in 20 pots (could be up to 14\u202f%)');
    expect(format.share({ x: 0, n: 0, value: 0, interval, known: false })).toBe('not checked');
  });

  test('say "not known" rather than show a number that is not', async () => {
    await speak('en');
    const interval = { low: 0, high: 0, known: false };
    expect(format.estimate({ value: 0, interval, n: 0, known: false }, format.points)).toBe('not known');
    expect(format.estimate({ value: 0.81, interval, n: 1, known: true }, format.points)).toBe('81');
  });

  test('follow the person’s units', () => {
    expect(format.length(315)).toBe('31.5\u202fcm');
    expect(format.distance(42_000)).toBe('42\u202fm');
    expect(format.temperature(215)).toBe('21.5\u202f°C');
    units.value = { length: 'in', temperature: 'F', volume: 'gal' };
    // 254 mm are 10 inches, 21.5 °C are 70.7 °F, 3.785411784 L are one US gallon, all by definition.
    expect(format.length(254)).toBe('10.0\u202fin');
    expect(format.distance(30_480)).toBe('100\u202fft');
    expect(format.temperature(215)).toBe('70.7\u202f°F');
    expect(format.volume(3.785411784)).toBe('1.0\u202fgal');
    units.value = { length: 'cm', temperature: 'C', volume: 'L' };
  });

  test('write a calendar day as it was written, whatever the time zone', () => {
    expect(format.day('2026-03-14')).toMatch(/14/);
    expect(format.day('yesterday')).toBe('not known');
    expect(format.shipWeek('2026-W05')).toBe('week 5, 2026');
  });

  test('give a bracketed time as a span and an exact one as a moment', () => {
    const [from, to] = [Date.UTC(2026, 10, 3, 12), Date.UTC(2026, 10, 4, 12)];
    expect(format.stamp({ at: to, quality: 'bracketed', from, to })).toMatch(/^between .*3.* and .*4/);
    expect(format.stamp({ at: to, quality: 'exact', from: to, to })).not.toMatch(/between/);
  });
});

test('a device that speaks none of the languages gets English', () => {
  expect(languageOfDevice(['fr-CA', 'es-MX'])).toBe('es');
  expect(languageOfDevice(['fr'])).toBe('en');
});

test('a language is shown only when its words are there', async () => {
  await speak('es');
  expect(language.value).toBe('es');
  expect(appWords.value.common.save).toBe('Guardar');
  await speak('en');
});

test('zero takes the plural in both languages', () => {
  expect(counter('en', { one: 'pot', other: 'pots' })(0)).toBe('0 pots');
  expect(counter('es', { one: 'maceta', other: 'macetas' })(0)).toBe('0 macetas');
});

test('what came and went of a lot’s plants is said only where some did, and no reason is taken for another', () => {
  for (const { plants } of [english.lot, spanish.lot]) {
    expect(plants.went(0, 0)).toBe('');
    expect(plants.went(0, 5)).toMatch(/another reason|otra razón/);
    expect(plants.went(0, 5)).not.toMatch(/other lots|otros lotes/);
    expect(plants.went(7, 0)).not.toMatch(/dumped|tiradas/);
  }
});
