/** Beds that differ in their number alone, written once and read as rows of a sheet. */
import Papa from 'papaparse';
import { supervisorWords } from '../../../words/supervisor';
import type { Units } from '../sheet/asked';
import type { Heading } from '../sheet/headings';

/** What is typed of a series; every text as it stands in its field. */
export interface Series {
  /** Names with commas between them: each house gets all the beds. */
  houses: string;
  first: string;
  count: string;
  length: string;
  width: string;
  rows: string;
  across: string;
  entry: string;
  far: string;
}

/** More beds than this in one house are a slip of the finger. */
export const MOST_BEDS = 200;

/** Names counted on from the first, as wide as it: H08, H09, H10. One without a number is counted from 1 behind it. */
export function namesFrom(first: string, count: number): string[] {
  const [, stem = '', digits = ''] = /^(.*?)(\d*)$/.exec(first.trim()) ?? [];
  if (count === 1) return [first.trim()];
  const from = digits === '' ? 1 : Number(digits);
  const stemmed = digits === '' && stem !== '' ? `${stem} ` : stem;
  return Array.from({ length: count }, (_, at) => stemmed + String(from + at).padStart(digits.length, '0'));
}

/** The houses that are typed, each once. */
export function housesOf(typed: string): string[] {
  return [...new Set(typed.split(/[,;\n]/).map((name) => name.trim()))].filter((name) => name !== '');
}

/** The series as a sheet, a row for each bed. */
export function sheetOf(series: Series, count: number, units: Units): string {
  const words = supervisorWords.value.sheet.heading;
  const columns: [Heading, string][] = [
    ['length', series.length],
    ['width', series.width],
    ['rows', series.rows],
    ['across', series.across],
    ['entry', series.entry],
    ['far', series.far],
  ];
  const unit = (heading: Heading) => (heading === 'length' || heading === 'width' ? ` (${units.long})` : '');
  const rows = housesOf(series.houses).flatMap((house) =>
    namesFrom(series.first, count).map((bed) => [house, bed, ...columns.map(([, typed]) => typed.trim())]),
  );
  const head = [words.house, words.bed, ...columns.map(([heading]) => words[heading] + unit(heading))];
  return Papa.unparse([head, ...rows], { delimiter: '\t' });
}
