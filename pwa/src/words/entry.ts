/** What an entry says, for people to read: made from its kind and body. */
import type {
  Application,
  Booking,
  Count,
  Event,
  Lot,
  Move,
  Note,
  Observation,
  Photo,
  Pin,
  Reading,
  Recount,
  Rooting,
  Skip,
  Span,
  Trace,
} from '../../../schema/types';
import { appWords, units } from '.';
import { headWords } from './es/head';
import { workWords } from './rooms';
import { supervisorWords } from './supervisor';
import { describeObservation, QUARTER_INCH } from './observation';
import { describePlace } from './place';
import { atWhen, day, length, lengthUnit, list, number, percent, shipWeek, temperature } from './format';
import { dayOf } from '../forms/days';
import { nameOfCrop, nameOfLot } from './names';

type Names = { [word: string]: string | undefined };

export function kindName(kind: string): string {
  const names: Names = supervisorWords.value.lot.kind;
  return names[kind] ?? supervisorWords.value.lot.laterKind;
}

export function word(names: Names, given: string | undefined | null): string {
  return given ? (names[given] ?? given) : '';
}

/** One field of a lot, as people write it. */
export function lotField(field: string, value: unknown, lotName: (id: string) => string = nameOfLot): string {
  if (value === null || value === undefined) return supervisorWords.value.lot.emptied;
  if (field.startsWith('pin_')) return day((value as Pin).on);
  const written = String(value);
  if (field === 'pot_mm') return potSize(Number(value));
  if (field.endsWith('_on'))
    return dayOf(Date.now()) === written ? supervisorWords.value.promise.todayDay(day(written)) : day(written);
  if (field === 'ship_week') return shipWeek(written);
  if (field === 'route') return word(supervisorWords.value.lot.route, written);
  if (field === 'stock') return supervisorWords.value.lot.yesNo[value === true ? 'yes' : 'no'];
  if (field === 'crop') return nameOfCrop(written);
  if (field === 'parent' || field === 'mother') return lotName(written);
  return written;
}

/** A pot's size as the trade writes it: "16.5 cm"; in inches whole quarters as a fraction, "4¼ in". */
export function potSize(mm: number): string {
  if (mm <= 0) return appWords.value.common.unknown;
  const quarters = Math.round(mm / QUARTER_INCH);
  if (units.value.length === 'cm') return length(mm, mm % 10 === 0 ? 0 : 1);
  // Kept in whole millimetres, so half of one may be missing.
  if (Math.abs(quarters * QUARTER_INCH - mm) > 0.5) return length(mm);
  const whole = Math.floor(quarters / 4);
  return `${whole === 0 ? '' : number(whole)}${['', '¼', '½', '¾'][quarters % 4]}\u202f${lengthUnit()}`;
}

type DescribeBody = (body: never) => string[];

const descriptions: { [kind: string]: DescribeBody | undefined } = {
  lot: (body: Lot) => {
    const names: Names = supervisorWords.value.lot.field;
    return Object.entries(body)
      .filter(([field]) => field !== 'of' && field !== 'saw')
      .map(([field, value]) => `${names[field] ?? field}: ${lotField(field, value)}`);
  },
  span: (body: Span) => {
    if (body.ended) return [supervisorWords.value.lot.spanEnded];
    return body.from_row && body.to_row ? [appWords.value.common.strip.rows(body.from_row, body.to_row)] : [];
  },
  // A later write of a booking holds only what it changed.
  booking: (body: Booking) => {
    const words = supervisorWords.value.promise;
    const { buyer, pots, grade, ship_week: week, cancelled } = body;
    const what = [body.cultivar, body.crop && nameOfCrop(body.crop), body.pot_mm && potSize(body.pot_mm)]
      .filter(Boolean)
      .join(', ');
    return [
      cancelled === true ? words.states.cancelled : '',
      cancelled === false ? words.renew : '',
      buyer === undefined || pots === undefined ? '' : supervisorWords.value.lot.booked(pots ?? 0, buyer ?? ''),
      buyer !== undefined && pots === undefined ? `${words.buyer}: ${buyer ?? ''}` : '',
      pots !== undefined && buyer === undefined ? `${words.pots}: ${number(pots ?? 0)}` : '',
      what,
      body.reference ? `${words.reference}: ${body.reference}` : '',
      body.price_c ? `${words.price}: ${number(body.price_c / 100, 2)}` : '',
      grade === undefined ? '' : `${words.grade}: ${grade ?? supervisorWords.value.lot.emptied}`,
      week === undefined ? '' : week ? shipWeek(week) : `${words.week}: ${supervisorWords.value.lot.emptied}`,
    ];
  },
  observation: (body: Observation) => [describeObservation(body)],
  correction: ({ now }: { now: Observation }) => [describeObservation(now)],
  void: ({ why, words }: { why: string; words?: string }) => [word(appWords.value.common.voidWhy, why), words ?? ''],
  count: (body: Count) => [signed(body.change), word(supervisorWords.value.lot.reason, body.reason), body.words ?? ''],
  recount: (body: Recount) => [supervisorWords.value.lot.recounted(number(body.counted))],
  move: (body: Move) => {
    const moved = body.legs.reduce((sum, leg) => sum + Math.max(0, leg.change), 0);
    return [supervisorWords.value.lot.moved(moved, word(supervisorWords.value.lot.reason, body.why)), body.words ?? ''];
  },
  skip: (body: Skip) => [
    supervisorWords.value.lot.skipped(
      describePlace(body.bed, body.place),
      word(supervisorWords.value.lot.skipWhy, body.why),
    ),
    body.words ?? '',
  ],
  event: (body: Event) => [
    word(supervisorWords.value.lot.event, body.what),
    body.cuttings === undefined ? '' : supervisorWords.value.lot.cuttings.count(body.cuttings),
    day(body.on),
    body.words ?? '',
  ],
  application: (body: Application) => [
    supervisorWords.value.lot.application(
      word(supervisorWords.value.lot.purpose, body.purpose),
      body.active,
      atWhen(body.ended_at),
      body.entry_hours,
    ),
    body.product ?? '',
    body.words ?? '',
  ],
  reading: (body: Reading) => {
    const say = supervisorWords.value.lot.reading;
    return [
      body.ph_c === undefined ? '' : say.ph(number(body.ph_c / 100, 2)),
      body.ec_us_cm === undefined ? '' : say.ec(number(body.ec_us_cm)),
      body.light_umol === undefined ? '' : say.light(number(body.light_umol)),
      body.light_fc === undefined
        ? ''
        : say.lightFc(number(body.light_fc), word(workWords.value.work.reading.lamps, body.light_by ?? '')),
      body.temp_dc === undefined ? '' : say.air(temperature(body.temp_dc)),
      body.medium_dc === undefined ? '' : say.medium(temperature(body.medium_dc)),
      body.humid_bp === undefined ? '' : say.humid(percent(body.humid_bp / 10_000)),
      body.words ?? '',
    ];
  },
  rooting: (body: Rooting) => [
    supervisorWords.value.lot.rooting(body.rooted, body.struck),
    day(body.on),
    body.words ?? '',
  ],
  trace: ({ parts, spot }: Trace) => [
    supervisorWords.value.lot.traced(
      number(parts.reduce((sum, { dc }) => sum + dc.length, 0)),
      day(dayOf(parts[0]?.at ?? 0)),
      day(dayOf(parts.at(-1)?.at ?? 0)),
    ),
    spot ?? '',
  ],
  note: (body: Note) => [body.words],
  photo: (body: Photo) => [
    supervisorWords.value.lot.photo(number(body.bytes / 1000)),
    body.words ?? '',
    body.head ? headWords.value.fact(length(body.head.diameter_mm), length(body.head.within_mm)) : '',
  ],
};

export function describeEntry(kind: string, body: unknown): string {
  const describe = descriptions[kind] as ((body: unknown) => string[]) | undefined;
  return describe && typeof body === 'object' && body !== null ? describe(body).filter(Boolean).join(', ') : '';
}

export function signed(change: number): string {
  if (change === 0) return number(0);
  return `${change > 0 ? '+' : '−'}${number(Math.abs(change))}`;
}

/** Several lots or beds in one breath. */
export function several(names: readonly string[]): string {
  return list(names.filter(Boolean));
}
