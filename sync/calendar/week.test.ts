import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { easter, nthWeekday } from './holidays.ts';
import { mondayOf, weekOf } from './week.ts';

interface Case<Inputs, Expected> {
  id: string;
  computation: string;
  inputs: Inputs;
  expected: Expected;
  source: string;
}

/** The cases that week.go is held to as well; each names its source (ISO 8601, R). */
const cases = JSON.parse(readFileSync('fixtures/checks/plan/calendar.json', 'utf8')) as Case<never, never>[];
const of = <Inputs, Expected>(computation: string) =>
  cases.filter((each) => each.computation === computation) as unknown as Case<Inputs, Expected>[];

const written = (year: number, week: number) => `${year}-W${String(week).padStart(2, '0')}`;

test.each(of<{ date: string }, { iso_year: number; iso_week: number }>('iso-week'))('$id', ({ inputs, expected }) => {
  expect(weekOf(inputs.date)).toBe(written(expected.iso_year, expected.iso_week));
});

test.each(of<{ dates: string[] }, { week: [number, number, number][] }>('iso-week-list'))(
  '$id',
  ({ inputs, expected }) => {
    expect(inputs.dates.map(weekOf)).toEqual(expected.week.map(([year, week]) => written(year, week)));
  },
);

test.each(of<{ weeks: string[] }, { monday: (string | null)[] }>('monday-of-week'))('$id', ({ inputs, expected }) => {
  expect(inputs.weeks.map((week) => mondayOf(week) ?? null)).toEqual(expected.monday);
});

test.each(of<{ from: number; to: number }, { years: number[] }>('iso-53'))('$id', ({ inputs, expected }) => {
  const years = Array.from({ length: inputs.to - inputs.from + 1 }, (_, i) => inputs.from + i);
  expect(years.filter((year) => mondayOf(written(year, 53)) !== undefined)).toEqual(expected.years);
});

test.each(of<{ years: number[] }, { date: string[] }>('easter'))('$id', ({ inputs, expected }) => {
  expect(inputs.years.map(easter)).toEqual(expected.date);
});

type Nth = { years: number[]; month: number; weekday: number; nth: number };

test.each(of<Nth, { date: string[] }>('nth-weekday'))('$id', ({ inputs, expected }) => {
  const { years, month, weekday, nth } = inputs;
  expect(years.map((year) => nthWeekday(year, month, weekday, nth))).toEqual(expected.date);
});
