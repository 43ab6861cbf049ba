import { readFileSync } from 'node:fs';
import { array, assert, integer, property } from 'fast-check';
import { expect, test, vi } from 'vitest';
import { partsOf, readLogger, shared, type Answers, type Reading } from './logger';
import { readLines } from './loggerLines';
import { CLOCKS, ClockFace } from './loggerTimes';
import { turnByTurn, type InPieces } from './pieces';

const NEW_YORK = 'America/New_York';
const NOW = Date.UTC(2027, 11, 1);
const asked: Answers = { clock: 'nursery', unit: 'C', dayFirst: false };

function read(text: string, answers: Answers = asked, zone = NEW_YORK): Reading {
  return atOnce(readLogger(atOnce(readLines(text, answers)), answers, zone, NOW));
}

/** What comes of work in pieces, done in one go. How much is done only grows, from 0 to 1. */
function atOnce<T>(work: InPieces<T>): T {
  let before = 0;
  for (;;) {
    const piece = work.next();
    if (piece.done) return piece.value;
    if (piece.value < before || piece.value > 1) throw new Error(`${piece.value} is done after ${before}`);
    before = piece.value;
  }
}

interface Case {
  id: string;
  inputs: { text: string; clock: 'nursery' | 'standard' | 'utc'; time_zone: string; day_first: boolean };
  expected: { samples?: number[][]; empty?: number; unit?: string; problem?: string; line?: number };
}

// The cases carry their sources: arithmetic by hand, and what the zone's clock does by definition (IANA).
const cases = JSON.parse(readFileSync('fixtures/checks/plan/loggers.json', 'utf8')) as Case[];

test.each(cases)('$id', ({ inputs, expected }) => {
  const reading = read(inputs.text, { clock: inputs.clock, dayFirst: inputs.day_first, unit: 'C' }, inputs.time_zone);
  if (expected.problem) {
    expect(reading.problem).toMatchObject({ code: expected.problem, line: expected.line });
    expect(reading.values).toEqual([]);
    return;
  }
  expect(reading.problem).toBeUndefined();
  expect(reading.values).toEqual(expected.samples);
  expect(reading).toMatchObject({ empty: expected.empty, unit: expected.unit });
});

const first = Date.UTC(2027, 0, 10, 5);
const hour = 3_600_000;
const three = [
  [first, 41],
  [first + hour, 42],
  [first + 2 * hour, 40],
];

test.each([
  [
    'semicolons and decimal commas',
    'Zeit;Temperatur °C\n10.01.2027 00:00;4,1\n10.01.2027 01:00;4,2\n10.01.2027 02:00;4,0\n',
  ],
  [
    'tabs, a preamble and CRLF',
    'Logger 7\r\nSerial\t991\r\n\r\nDate\tTime\tTemp (°C)\tRH (%)\r\n2027-01-10\t00:00\t4.1\t88\r\n2027-01-10\t01:00:00\t4.2\t88\r\n2027-01-10\t02:00\t4.0\t87\r\n',
  ],
  [
    'quoted cells and an index',
    '"#","Date Time","Temp, °C"\n"1","01/10/2027 12:00:00 AM","4.1"\n"2","01/10/2027 01:00:00 AM","4.2"\n"3","01/10/2027 02:00:00 AM","4.0"\n',
  ],
  [
    'offsets written out',
    'time,celsius\n2027-01-10T05:00:00Z,4.1\n2027-01-10T01:00:00-05:00,4.2\n2027-01-10T07:00:00Z,4.0\n',
  ],
  [
    'newest first, and a remark at the end',
    'time;C\n2027-01-10 02:00;4.0\n2027-01-10 01:00;4.2\n2027-01-10 00:00;4.1\nEnd of data\n',
  ],
  ['degrees beside each value', 'when;value\n2027/1/10 0:00;4.1 °C\n2027/1/10 1:00;4.2 °C\n2027/1/10 2:00;4.0 °C\n'],
  ['no headings at all', '2027-01-10 00:00,4.1\n2027-01-10 01:00,4.2\n2027-01-10 02:00,4.0\n'],
])('%s', (_, text) => {
  expect(read(text).problem).toBeUndefined();
  expect(read(text).values).toEqual(three);
  expect(read(text).every).toBe(3600);
});

test('the clock is asked unless the file tells; the unit too', () => {
  expect(read('time,temp\n2027-01-10 00:00,4.1\n2027-01-10 01:00,4.2', {}).asks).toEqual(['unit', 'clock']);
  expect(read('time,temp °C\n2027-01-10T00:00Z,4.1\n2027-01-10T01:00Z,4.2', {}).asks).toEqual([]);
  expect(read('time,temp °C\n2027-01-10 00:00,4.1\n2027-01-10 01:00,4.2', {}).values).toEqual([]);
});

test('day or month first is asked unless a line decides', () => {
  const open = 'time,C\n03/04/2027 00:00,4.1\n03/04/2027 01:00,4.2';
  expect(read(open, { ...asked, dayFirst: undefined }).asks).toContain('order');
  expect(read(open, { ...asked, dayFirst: true }).values[0]?.[0]).toBe(Date.UTC(2027, 3, 3, 4));
  expect(read(open, { ...asked, dayFirst: false }).values[0]?.[0]).toBe(Date.UTC(2027, 2, 4, 5));
  const told = read(`${open}\n13/04/2027 00:00,4.1`, { ...asked, dayFirst: undefined });
  expect(told.asks).not.toContain('order');
  expect(told.values[0]?.[0]).toBe(Date.UTC(2027, 3, 3, 4));
  expect(read(`${open}\n13/04/2027 00:00,4.1\n03/14/2027 00:00,4.1`).problem).toMatchObject({
    code: 'order_mixed',
    line: 5,
  });
});

test('the hour that comes twice in autumn is known by the order of its lines', () => {
  const rows = ['00:30', '01:00', '01:30', '01:00', '01:30', '02:00'];
  const text = `time,C\n${rows.map((at, i) => `2027-11-07 ${at},${i}.0`).join('\n')}`;
  // Summer time ends at 06:00 UTC on that day: every half hour is there, once.
  const from = Date.UTC(2027, 10, 7, 4, 30);
  expect(read(text).values).toEqual(rows.map((_, i) => [from + (i * hour) / 2, i * 10]));
  const turned = `time,C\n${rows
    .map((at, i) => `2027-11-07 ${at},${i}.0`)
    .toReversed()
    .join('\n')}`;
  expect(read(turned).values).toEqual(rows.map((_, i) => [from + (i * hour) / 2, i * 10]));
});

test('a file with two whole times or two temperatures asks which', () => {
  const text =
    'Local,UTC,Probe °C,Air °C\n2027-01-10 00:00,2027-01-10 05:00,4.1,5.1\n2027-01-10 01:00,2027-01-10 06:00,4.2,5.2';
  const reading = read(text, {});
  expect(reading.asks).toEqual(['time', 'temp']);
  expect(reading.times.map((each) => each.name)).toEqual(['Local', 'UTC']);
  expect(reading.temps.map((each) => each.name)).toEqual(['Probe °C', 'Air °C']);
  expect(read(text, { time: 1, temp: 3, clock: 'utc' }).values).toEqual([
    [first, 51],
    [first + hour, 52],
  ]);
});

test.each([
  ['a day with two times of day', 'Day,Local,UTC,°C\n2027-01-10,00:00,05:00,4.1', ['Day, Local', 'Day, UTC'], 2, 5],
  [
    'a day and a time of day beside a whole time',
    'Day,Time,Logged,°C\n2027-01-10,00:00,2027-01-10 03:00,4.1',
    ['Logged', 'Day, Time'],
    1,
    0,
  ],
  [
    'two days with a time of day each',
    'Day,Time,Day UTC,Time UTC,°C\n2027-01-09,19:00,2027-01-10,00:00,4.1',
    ['Day, Time', 'Day UTC, Time UTC'],
    3,
    0,
  ],
])('%s: asks which counts', (_what, text, names, time, hours) => {
  expect(read(text, {}).asks).toContain('time');
  expect(read(text, {}).times.map((each) => each.name)).toEqual(names);
  const later = text.split('\n')[1]?.replaceAll(':00', ':30');
  const chosen = read(`${text}\n${later}`, { time, clock: 'utc' });
  expect(chosen.values?.[0]).toEqual([Date.UTC(2027, 0, 10, hours), 41]);
});

const head = 'time,C\n2027-01-10 00:00,4.1\n';

test.each([
  ['two temperatures of one moment', `${head}2027-01-10 00:00,4.2\n`, { code: 'clash', line: 3, other: 2 }],
  [
    'a number with a comma between commas',
    'time,C\n2027-01-10 00:00,4,1\n2027-01-10 01:00,4,2\n',
    { code: 'columns', line: 2, cells: 3, headings: 2 },
  ],
  [
    'another separator from a line on',
    `${head}2027-01-10 01:00,4.2\n2027-01-10 02:00;4.2\n2027-01-10 03:00,4.2\n`,
    { code: 'separators', line: 4 },
  ],
  [
    'another separator from a line on to the end',
    `${head}2027-01-10 01:00,4.2\n2027-01-10 02:00;4.2\n2027-01-10 03:00;4.2\n`,
    { code: 'separators', line: 4 },
  ],
  [
    'the other separator for most of the file',
    `${head}2027-01-10 01:00;4.2\n2027-01-10 02:00;4.2\n`,
    { code: 'separators', line: 3 },
  ],
  ['a line without a time', `${head}later,4.2\n2027-01-10 03:00,4.2\n`, { code: 'no_time', line: 3 }],
  ['a day that is not', `${head}2027-02-30 03:00,4.2\n`, { code: 'no_such_day', line: 3 }],
  ['days without a time', 'day,C\n2027-01-10,4.1\n2027-01-11,4.2\n', { code: 'no_time_of_day', line: 2 }],
  ['a clock that was never set', `${head}1970-01-01 00:10,4.2\n`, { code: 'long_ago', line: 3 }],
  ['next year', `${head}2028-01-10 01:00,4.2\n`, { code: 'future', line: 3 }],
  ['one value alone', head, { code: 'few' }],
  ['no values', 'time,C\n', { code: 'no_values' }],
  [
    'times without a temperature',
    'time;temp (°C)\n2027-01-10 00:00;\n2027-01-10 01:00;---\n',
    { code: 'no_temps', line: 2, said: '2027-01-10 00:00;' },
  ],
  [
    'days and times of day without a temperature',
    'date,time,temp\n10.01.2027,00:00,\n10.01.2027,01:00,n/a\n',
    { code: 'no_temps', line: 2 },
  ],
  ['times alone', '2027-01-10 00:00\n2027-01-10 01:00\n', { code: 'no_temps', line: 1 }],
  [
    'a humidity and no temperature',
    'time,rh %\n2027-01-10 00:00,81\n2027-01-10 01:00,82\n',
    { code: 'no_temps', line: 2 },
  ],
  ['something else altogether', '%PDF-1.7 \u0000\u0001 binary', { code: 'no_values' }],
  ['months by name', 'time,C\n10-01-27 at noon,4.1\n', { code: 'no_time', line: 2 }],
])('%s is refused whole', (_, text, problem) => {
  const reading = read(text);
  expect(reading.problem).toMatchObject(problem);
  expect(reading.values).toEqual([]);
});

test('the same time and temperature twice is one', () => {
  const reading = read(`${head}2027-01-10 00:00,4.1\n2027-01-10 01:00,4.2\n`);
  expect(reading).toMatchObject({
    twice: 1,
    values: [
      [first, 41],
      [first + hour, 42],
    ],
  });
});

test('what stands after the last value is left out and said; where a logger says how many there were, with commas, that is no value', () => {
  const reading = read(`${head}2027-01-10 01:00,4.2\n\nEnd of data\nRead out 2027-01-11; 2 values\n`);
  expect(reading).toMatchObject({ after: { count: 2, line: 5, said: 'End of data' } });
  expect(reading.values).toHaveLength(2);
  expect(read(`${head}2027-01-10 01:00,4.2\n\n`).after).toBeUndefined();
});

test('a line without a temperature is a gap, counted, and no value', () => {
  const reading = read(`${head}2027-01-10 01:00,---\n2027-01-10 02:00,-999\n2027-01-10 03:00,4.0\n`);
  expect(reading).toMatchObject({
    empty: 2,
    firstEmpty: 3,
    values: [
      [first, 41],
      [first + 3 * hour, 40],
    ],
  });
});

test('a sensor that was silent for most of the file is found by its heading, not by the humidity beside it', () => {
  const silent = Array.from({ length: 9 }, (_, i) => `2027-01-10 0${i}:00,80,\n`).join('');
  const reading = read(`time,rh %,temp °C\n${silent}2027-01-10 09:00,80,4.0\n2027-01-10 10:00,80,4.1\n`);
  expect(reading.problem).toBeUndefined();
  expect(reading.values.map(([, dc]) => dc)).toEqual([40, 41]);
});

test('degrees F read as degrees C are asked about, and the other way round', () => {
  const warm = 'time,temp\n2027-01-10 00:00,40.1\n2027-01-10 01:00,41.0';
  expect(read(warm)).toMatchObject({ asks: ['unit', 'clock', 'sure'], values: [] });
  expect(read(warm, { ...asked, unit: 'F' }).values.map(([, dc]) => dc)).toEqual([45, 50]);
  expect(read(warm, { ...asked, sure: true }).values.map(([, dc]) => dc)).toEqual([401, 410]);
  expect(read('time,temp\n2027-01-10 00:00,4.1\n2027-01-10 01:00,4.0', { ...asked, unit: 'F' }).asks).toContain('sure');
});

test('200,000 lines are read, and written in notes that hold them', () => {
  const lines = Array.from({ length: 200_000 }, (_, i) => {
    const at = new Date(Date.UTC(2026, 0, 1) + i * 120_000).toISOString();
    return `${at.slice(0, 10)} ${at.slice(11, 19)},${((i % 60) / 10).toFixed(1)}`;
  });
  const reading = read(`time,C\n${lines.join('\n')}`, { ...asked, clock: 'utc' });
  expect(reading.values).toHaveLength(200_000);
  const notes = shared(partsOf(reading.values, reading.every));
  expect(notes).toHaveLength(50);
  expect(notes.flat().reduce((sum, part) => sum + part.dc.length, 0)).toBe(200_000);
  expect(read('x'.repeat(30_000_001)).problem).toMatchObject({ code: 'too_large' });
});

test('long work hands over after each turn and says how far it is; it stops where nobody wants it any more', async () => {
  let clock = 0;
  vi.spyOn(performance, 'now').mockImplementation(() => (clock += 10));
  let pieces = 0;
  function* work(): InPieces<string> {
    for (; pieces < 10; pieces++) yield pieces / 10;
    return 'all';
  }
  const heard: number[] = [];
  const hear = (done: number) => heard.push(done);
  await expect(turnByTurn(work(), hear, () => true)).resolves.toBe('all');
  expect(heard.length).toBeGreaterThan(1);
  expect(heard).toEqual(heard.toSorted((a, b) => a - b));
  pieces = 0;
  await expect(turnByTurn(work(), hear, () => false)).resolves.toBeUndefined();
  expect(pieces).toBeLessThan(9);
  vi.restoreAllMocks();
});

test('parts keep every value, in order, within a tenth of a step, and none overlaps', () => {
  assert(
    property(array(integer({ min: 1, max: 4000 }), { minLength: 1, maxLength: 200 }), (seconds) => {
      let at = first;
      const values = seconds.map((step, i) => [(at += step * 1000), i] as const);
      const parts = partsOf(values, 600);
      expect(parts.flatMap((part) => part.dc)).toEqual(values.map(([, dc]) => dc));
      let end = -1;
      let n = 0;
      for (const part of parts) {
        expect(part.at).toBeGreaterThan(end);
        part.dc.forEach((_, i) => {
          expect(Math.abs(part.at + i * 600_000 - (values[n]?.[0] ?? 0))).toBeLessThanOrEqual(60_001);
          n++;
        });
        end = part.at + (part.dc.length - 1) * 600_000;
      }
    }),
  );
});

test('every moment is one of those at which the clock showed what it showed', () => {
  const format = new Intl.DateTimeFormat('sv-SE', { timeZone: NEW_YORK, dateStyle: 'short', timeStyle: 'medium' });
  const minute = 60_000;
  assert(
    property(integer({ min: Date.UTC(2026, 0) / minute, max: Date.UTC(2028, 0) / minute }), (at) => {
      const wall = Date.parse(`${format.format(at * minute).replace(' ', 'T')}Z`);
      for (const clock of CLOCKS) {
        const moments = new ClockFace(clock, NEW_YORK, Date.UTC(2026, 0), Date.UTC(2028, 0)).momentsOf(wall);
        if (clock === 'nursery') expect(moments).toContain(at * minute);
        else expect(moments).toEqual([wall + (clock === 'utc' ? 0 : 5 * hour)]);
      }
    }),
    { numRuns: 60 },
  );
});
