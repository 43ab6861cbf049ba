/** A sheet of bookings, row by row: what each books, or what has to be put right first. A row with a mistake stops no other row. */
import type { Booking, Lot } from '../../../../../schema/types';
import { cropKey } from '../../../../../sync/bed/crop';
import { judgedOf } from '../../../journal/records/input';
import { bookings, lots, type Plain } from '../../../journal/records/registers';
import type { Intent } from '../../../journal/store/shape';
import { randomId } from '../../../journal/store/device';
import { intent } from '../../../journal/outbox/write';
import { potSize } from '../../../words/entry';
import { list, shipWeek } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { cropOf, cultivarsOf, gradesOf, knownCrops } from '../crops/crops';
import { moreThanThere } from '../lot/potsThere';
import { weekOf } from '../lot/weeks';
import { Asked, type Units } from '../sheet/asked';
import { readCells, type Cells, type Line } from '../sheet/cells';
import { bookingHeadings, fold, type Heading } from '../sheet/headings';
import { seenOf, stops, type Answers, type ReadSheet, type SheetRow } from '../sheet/reading';

export interface BookingRow extends SheetRow {
  said: string;
  /** What it writes; undefined where it has a mistake or is booked already. */
  intent: Intent | undefined;
}

/** @param answers what somebody said that its columns are */
export function readBookings(text: string, units: Units, now: number, answers: Answers): ReadSheet<BookingRow> {
  const cells = readCells(text, answers.columns, bookingHeadings);
  const lacking: Heading[] = (['buyer', 'pots'] as const).filter((heading) => !cells.given.has(heading));
  if (!cells.given.has('lot') && !(cells.given.has('crop') && cells.given.has('pot'))) lacking.push('lot');
  const seen = seenOf(cells, lacking);
  if (stops(seen) !== '') return { ...seen, rows: [], intents: [] };
  const booked = [...bookings.value.values()].filter(({ cancelled }) => cancelled !== true).map(same);
  const rows = cells.lines.map((line) => readRow(line, cells, units, now, booked));
  return { ...seen, rows, intents: rows.flatMap((row) => row.intent ?? []) };
}

function readRow(line: Line, cells: Cells, units: Units, now: number, booked: string[]): BookingRow {
  const words = supervisorWords.value.supply.sheet;
  const ask = new Asked(line, cells, units, 'open');
  const buyer = ask.words('buyer', 'booking', 'buyer', true);
  const pots = ask.count('pots', 'booking', 'pots');
  if (ask.is('pots') !== '' && pots === 0 && ask.problems.length === 0) ask.problem(words.noPots);
  const of = ask.is('lot') === '' ? anyLot(ask) : oneLot(ask);
  const week = ask.week('ship') || of.week;
  if (week !== '' && week < weekOf(now)) ask.problem(words.past(shipWeek(week)));
  if (week === '' && of.lot === '' && ask.is('ship') === '') ask.problem(supervisorWords.value.promise.weekMissing);
  const grades = gradesOf(judgedOf(of.crop).grades, of.potMM).map(({ name }) => name);
  const grade = grades.find((name) => fold(name) === fold(ask.is('grade'))) ?? '';
  if (grade === '' && grades.length > 0) ask.problem(words.grade(ask.is('grade'), list(grades)));
  const price = ask.money('price', 'booking', 'price_c');
  const reference = ask.words('order', 'booking', 'reference', false);
  const body = {
    of: randomId(),
    ...of.names,
    buyer,
    pots,
    ...(grade === '' ? {} : { grade }),
    ...(week === '' ? {} : { ship_week: week }),
    ...(price === undefined ? {} : { price_c: price }),
    ...(reference === '' ? {} : { reference }),
  };
  const said = words.row(buyer, pots, grade, of.said, week === '' ? '' : shipWeek(week));
  const read = { row: line.row, place: buyer, said, problems: ask.problems, intent: undefined };
  if (ask.problems.length > 0) return read;
  const key = same(body);
  if (booked.includes(key)) return { ...read, said: `${said} ${words.there}` };
  booked.push(key);
  const { lot = '', crop = '', cultivar = '', pot_mm: potMM = 0 } = of.names;
  const more = moreThanThere(pots, { lot, crop, cultivar, potMM, week });
  if (more) read.said = `${said} ${more}`;
  return { ...read, intent: intent('booking', body, of.lot === '' ? {} : { lot: of.lot }) };
}

/** What makes two bookings one: a sheet that is read again books nothing twice. */
function same(of: Partial<Plain<Booking>>): string {
  const { lot = '', crop = '', cultivar = '', pot_mm = 0, buyer = '', pots = 0, grade = '', ship_week = '' } = of;
  const { reference = '' } = of;
  return [
    lot,
    cropKey(crop),
    cropKey(cultivar),
    pot_mm,
    fold(buyer),
    pots,
    fold(grade),
    ship_week,
    fold(reference),
  ].join('\n');
}

interface Of {
  lot: string;
  crop: string;
  potMM: number;
  week: string;
  said: string;
  names: Partial<Pick<Plain<Booking>, 'lot' | 'crop' | 'cultivar' | 'pot_mm'>>;
}

function oneLot(ask: Asked): Of {
  const tag = ask.tag();
  const found = [...lots.value.values()].filter((each: Plain<Lot>) => fold(each.tag ?? '') === fold(tag));
  const [lot] = found;
  if (found.length !== 1 && tag !== '') ask.problem(supervisorWords.value.supply.sheet.lot(tag, found.length));
  if (lot?.shipped_on || lot?.stock) ask.problem(supervisorWords.value.supply.sheet.notForSale(tag));
  const { id = '', crop = '', pot_mm = 0, ship_week = '' } = lot ?? {};
  return { lot: id, crop, potMM: pot_mm, week: ship_week, said: tag, names: { lot: id } };
}

/** Crop, cultivar and pot size are those that lots and crops have: another spelling would book what nobody grows. */
function anyLot(ask: Asked): Of {
  const words = supervisorWords.value.supply.sheet;
  const crops = knownCrops().map(({ name }) => name);
  const crop = crops.find((name) => cropKey(name) === cropKey(ask.is('crop'))) ?? '';
  if (crop === '') ask.problem(words.crop(ask.is('crop'), list(crops)));
  const potMM = ask.length('pot', 'booking', 'pot_mm');
  const sizes = crop === '' ? [] : cropOf(crop).sizes;
  if (potMM > 0 && crop !== '' && !sizes.includes(potMM)) ask.problem(words.size(crop, list(sizes.map(potSize))));
  const cultivars = cultivarsOf(crop).map(({ name }) => name);
  const cultivar = cultivars.find((name) => cropKey(name) === cropKey(ask.is('cultivar'))) ?? '';
  if (cultivar === '' && ask.is('cultivar') !== '') ask.problem(words.cultivar(ask.is('cultivar'), list(cultivars)));
  const said = supervisorWords.value.supply.anyOf(`${cultivar || crop}, ${potSize(potMM)}`);
  return {
    lot: '',
    crop,
    potMM,
    week: '',
    said,
    names: { crop, pot_mm: potMM, ...(cultivar === '' ? {} : { cultivar }) },
  };
}
