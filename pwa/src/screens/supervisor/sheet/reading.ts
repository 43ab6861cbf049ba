/**
 * A sheet of beds and lots, row by row: what each adds to what is known, or what has to be put right first. A row that
 * cannot be taken adds nothing and stops no other row.
 */
import { cropKey } from '../../../../../sync/bed/crop';
import type { Bed, EntryBody, House, Lot, Span } from '../../../../../schema/types';
import { randomId } from '../../../journal/store/device';
import type { Intent } from '../../../journal/store/shape';
import type { Plain } from '../../../journal/records/registers';
import { intent } from '../../../journal/outbox/write';
import { supervisorWords } from '../../../words/supervisor';
import { lotField } from '../../../words/entry';
import { number } from '../../../words/format';
import { dayOrderOf, readCells, type Cells, type Chosen, type DayOrder, type Line } from './cells';
import { Asked, headingName, type Units } from './asked';
import { fold, headings, type Heading } from './headings';
import { placed } from './placing';

/** What the nursery has already. */
export interface There {
  houses: readonly Plain<House>[];
  beds: readonly Plain<Bed>[];
  lots: readonly Plain<Lot>[];
  spans: readonly Plain<Span>[];
}

export interface ReadRow extends SheetRow {
  house: string;
  bed: string;
  lot: string;
  cultivar: string;
  pots: number;
  adds: readonly ('house' | 'bed' | 'lot' | 'stretch')[];
}

/** What somebody said of the sheet that it does not say by itself. */
export interface Answers {
  columns: Chosen;
  order?: 'day' | 'month' | undefined;
}

/** So many rows are read at once: each of up to five notes, all saved together. */
export const MOST_ROWS = 2000;

/** What a sheet is, whatever its rows are about. */
export interface Seen extends Pick<Cells, 'columns' | 'mixed' | 'others' | 'twice'> {
  /** How many rows there are, where they are more than are read at once. */
  tooMany: number | undefined;
  /** Headings without which no row can be read. */
  lacking: readonly Heading[];
}

export function seenOf({ columns, mixed, others, twice, lines }: Cells, lacking: readonly Heading[]): Seen {
  return { columns, mixed, others, twice, lacking, tooMany: lines.length > MOST_ROWS ? lines.length : undefined };
}

/** Why nothing of the sheet can be read, and what to do; '' where it can. */
export function stops({ columns, lacking, tooMany, mixed }: Seen): string {
  const words = supervisorWords.value.sheet;
  if (mixed !== undefined) return words.mixed(mixed);
  // A first row of which some is known does hold headings.
  const say = columns.some(({ heading }) => heading !== '') ? words.lackingSome : words.lacking;
  if (lacking.length > 0) return say(lacking.map(headingName).join(', '));
  return tooMany === undefined ? '' : words.tooMany(number(MOST_ROWS));
}

/** A row of any sheet. */
export interface SheetRow {
  row: number;
  /** What a mistake in it is told apart by, besides its number; '' where that is enough. */
  place: string;
  problems: readonly string[];
}

/** A sheet of any kind, read: what it would write, without the rows that have a mistake. */
export interface ReadSheet<Row extends SheetRow> extends Seen {
  rows: readonly Row[];
  /** How its dates are written, where that has to be said or chosen. */
  order?: DayOrder | undefined;
  intents: readonly Intent[];
}

export interface Reading extends ReadSheet<ReadRow> {
  houses: number;
  beds: number;
  lots: number;
  pots: number;
}

interface KnownBed {
  id: string;
  rows: number;
  across: number;
  taken: { from: number; to: number; lot: string }[];
}

/** A lot of the sheet, and the row that said what it is. */
interface SheetLot {
  id: string;
  row: number;
  body: Partial<Plain<Lot>>;
}

/** What makes a lot one lot: rows of one tag may leave these out, and must not contradict each other. */
const ofLot = [
  ['crop', 'crop'],
  ['cultivar', 'cultivar'],
  ['pot', 'pot_mm'],
  ['struck', 'struck_on'],
  ['potted', 'potted_on'],
  ['ship', 'ship_week'],
] as const satisfies readonly (readonly [Heading, keyof Lot])[];

export function readSheet(text: string, there: There, units: Units, answers: Answers = { columns: {} }): Reading {
  const cells = readCells(text, answers.columns);
  const lacking = (['house', 'bed'] as const).filter((heading) => !cells.given.has(heading));
  const order = dayOrderOf(cells.lines.flatMap((line) => days.map((heading) => line.cell(heading))));
  const seen = { ...seenOf(cells, lacking), order };
  if (stops(seen) !== '') return { ...seen, rows: [], intents: [], houses: 0, beds: 0, lots: 0, pots: 0 };
  const sheet = new Sheet(cells, there, units, order === 'open' ? answers.order : order);
  const rows = cells.lines.map((line) => sheet.take(line));
  return { ...seen, rows, ...sheet.total() };
}

const days = ['struck', 'potted'] as const satisfies readonly Heading[];

class Sheet {
  readonly #cells: Cells;
  readonly #there: There;
  readonly #units: Units;
  readonly #order: DayOrder;
  readonly #houses = new Map<string, string>();
  readonly #beds = new Map<string, KnownBed>();
  readonly #lots = new Map<string, SheetLot>();
  readonly #added = {
    houses: [] as EntryBody['house'][],
    beds: [] as EntryBody['bed'][],
    lots: [] as Intent[],
    pots: 0,
  };

  constructor(cells: Cells, there: There, units: Units, order: DayOrder = 'open') {
    this.#cells = cells;
    this.#there = there;
    this.#units = units;
    this.#order = order;
    // A retired house or bed keeps its name, and may be followed by a new one of that name.
    for (const house of there.houses) if (!house.retired) this.#houses.set(fold(house.name ?? ''), house.id);
    for (const bed of there.beds) {
      if (bed.retired) continue;
      const taken = there.spans
        .filter((span) => span.bed === bed.id && !span.ended)
        .map((span) => ({
          from: span.from_row ?? 1,
          to: span.to_row ?? bed.rows ?? 1,
          lot: there.lots.find((lot) => lot.id === span.lot)?.tag ?? '',
        }));
      this.#beds.set(`${bed.house} ${fold(bed.name ?? '')}`, {
        id: bed.id,
        rows: bed.rows ?? 0,
        across: bed.across ?? 0,
        taken,
      });
    }
  }

  take(line: Line): ReadRow {
    const said: ReadRow = {
      row: line.row,
      place: [line.cell('house'), line.cell('bed')].filter(Boolean).join(', '),
      house: line.cell('house'),
      bed: line.cell('bed'),
      lot: line.cell('lot'),
      cultivar: line.cell('cultivar'),
      pots: 0,
      adds: [],
      problems: [],
    };
    const ask = new Asked(line, this.#cells, this.#units, this.#order);
    const houseName = ask.words('house', 'house', 'name', true);
    const bedName = ask.words('bed', 'bed', 'name', true);
    const house = this.#houses.get(fold(houseName));
    const known = house === undefined ? undefined : this.#beds.get(`${house} ${fold(bedName)}`);
    const fresh = known ? undefined : this.#newBed(ask);
    const bed = known ?? (fresh as NonNullable<typeof fresh>).bed;
    const lot = headings.some(({ heading, of }) => of === 'lot' && line.cell(heading) !== '')
      ? this.#newStretch(ask, bed)
      : undefined;
    if (ask.problems.length > 0) return { ...said, problems: ask.problems };
    // Nothing was wrong with any cell: only now does the row count.
    const adds: ReadRow['adds'][number][] = [];
    const inHouse = house ?? randomId();
    if (house === undefined) {
      this.#houses.set(fold(houseName), inHouse);
      this.#added.houses.push({ of: inHouse, name: houseName, order: this.#houses.size });
      adds.push('house');
    }
    if (fresh) {
      this.#beds.set(`${inHouse} ${fold(bedName)}`, fresh.bed);
      this.#added.beds.push({ ...fresh.body, house: inHouse, name: bedName, order: this.#beds.size });
      adds.push('bed');
    }
    if (lot) {
      if (lot.made) adds.push('lot');
      adds.push('stretch');
      bed.taken.push(lot.stretch);
      if (lot.made) this.#lots.set(fold(lot.tag), lot.lot);
      this.#added.lots.push(...lot.intents);
      this.#added.pots += lot.pots;
    }
    return { ...said, adds, pots: lot?.pots ?? 0 };
  }

  total(): Pick<Reading, 'intents' | 'houses' | 'beds' | 'lots' | 'pots'> {
    const { houses, beds, lots, pots } = this.#added;
    const intents = [
      ...houses.map((house) => intent('house', house)),
      ...placed(beds, this.#there.beds).map((bed) => intent('bed', bed)),
      ...lots,
    ];
    return {
      intents,
      houses: houses.length,
      beds: beds.length,
      lots: lots.filter(({ kind }) => kind === 'lot').length,
      pots,
    };
  }

  #newBed(ask: Asked): { bed: KnownBed; body: EntryBody['bed'] } {
    const id = randomId();
    const rows = ask.count('rows', 'bed', 'rows');
    const across = ask.count('across', 'bed', 'across');
    const body = {
      of: id,
      length_mm: ask.length('length', 'bed', 'length_mm'),
      width_mm: ask.length('width', 'bed', 'width_mm'),
      rows,
      across,
      aisles: 'both' as const,
      ...some('entry_end', ask.words('entry', 'bed', 'entry_end', false)),
      ...some('far_end', ask.words('far', 'bed', 'far_end', false)),
      ...some('near_side', ask.words('near', 'bed', 'near_side', false)),
      ...some('far_side', ask.words('beyond', 'bed', 'far_side', false)),
    };
    return { bed: { id, rows, across, taken: [] }, body };
  }

  #newStretch(ask: Asked, bed: KnownBed) {
    const words = supervisorWords.value.sheet.problem;
    const tag = ask.tag();
    const before = this.#lots.get(fold(tag));
    if (tag !== '' && this.#there.lots.some((lot) => fold(lot.tag ?? '') === fold(tag)))
      ask.problem(words.lotThere(tag));
    const id = before?.id ?? randomId();
    const body = {
      of: id,
      tag,
      crop: ask.words('crop', 'lot', 'crop', !before),
      cultivar: ask.words('cultivar', 'lot', 'cultivar', !before),
      ...(before && ask.is('pot') === '' ? {} : { pot_mm: ask.length('pot', 'lot', 'pot_mm') }),
      ...some('struck_on', ask.day('struck')),
      ...some('potted_on', ask.day('potted')),
      ...some('ship_week', ask.week('ship')),
    };
    if (before) for (const problem of contradictions(tag, before, body, ask)) ask.problem(problem);
    if (body.struck_on && body.potted_on && body.potted_on < body.struck_on) ask.problem(words.before);
    const from = ask.is('from') === '' ? 1 : ask.count('from', 'span', 'from_row');
    const to = ask.is('to') === '' ? bed.rows : ask.count('to', 'span', 'to_row');
    const pots = ask.pots();
    if (bed.rows > 0) {
      if (to > bed.rows) ask.problem(words.past(to, bed.rows));
      if (to < from) ask.problem(words.turned(from, to));
      const over = bed.taken.find((other) => other.from <= to && from <= other.to);
      if (over) ask.problem(words.taken(over.from, over.to, over.lot));
      const places = (to - from + 1) * bed.across;
      if (places > 0 && pots > places) ask.problem(words.crowded(pots, places));
    }
    const span = randomId();
    const intents: Intent[] = [
      ...(before ? [] : [intent('lot', body)]),
      intent('span', { of: span, lot: id, bed: bed.id, from_row: from, to_row: to }),
      intent('count', { lot: id, span, change: pots, reason: 'opening' }, { bed: bed.id }),
    ];
    const lot = { id, row: ask.row, body };
    return { made: !before, tag, lot, intents, pots, stretch: { from, to, lot: tag } };
  }
}

/** Where a row says another thing of a lot than the row that brought it in: then it is another lot, or one row is wrong. */
function contradictions(tag: string, before: SheetLot, now: Partial<Plain<Lot>>, ask: Asked): string[] {
  return ofLot
    .filter(([heading, field]) => ask.is(heading) !== '' && !isSame(before.body[field], now[field]))
    .map(([heading, field]) => {
      const first = before.body[field];
      const kept = first === undefined ? '' : lotField(field, first);
      return supervisorWords.value.sheet.problem.otherLot(
        tag,
        `${headingName(heading)} ${ask.is(heading)}`,
        ask.row,
        before.row,
        kept,
      );
    });
}

function isSame(a: string | number | undefined, b: string | number | undefined): boolean {
  return typeof a === 'string' && typeof b === 'string' ? cropKey(a) === cropKey(b) : a === b;
}

function some<K extends string>(key: K, value: string): Partial<Record<K, string>> {
  return value === '' ? {} : ({ [key]: value } as Record<K, string>);
}
