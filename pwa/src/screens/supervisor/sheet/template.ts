/** The empty sheet: the headings in the reader's words and units, and one row to write over. */
import Papa from 'papaparse';
import { supervisorWords } from '../../../words/supervisor';
import { headings, type Heading } from './headings';
import type { Units } from './asked';

/** As a link's address. The mark at the start makes spreadsheets read it as UTF-8. */
export function template(units: Units): string {
  return `data:text/csv;charset=utf-8,${encodeURIComponent(`\uFEFF${templateText(units)}`)}`;
}

export function templateText(units: Units): string {
  const words = supervisorWords.value.sheet;
  const unitOf: Partial<Record<Heading, string>> = { length: units.long, width: units.long, pot: units.short };
  const feet = units.long === 'ft';
  const example: Partial<Record<Heading, string>> = {
    ...words.example,
    length: feet ? '66' : '20',
    width: feet ? '5' : '1.5',
    rows: '60',
    across: '10',
    lot: 'AZ-101',
    cultivar: 'Ember Lace',
    pot: feet ? '6' : '15',
    pots: '600',
  };
  return Papa.unparse([
    headings.map(({ heading }) => words.heading[heading] + (unitOf[heading] ? ` (${unitOf[heading]})` : '')),
    headings.map(({ heading }) => example[heading] ?? ''),
  ]);
}
