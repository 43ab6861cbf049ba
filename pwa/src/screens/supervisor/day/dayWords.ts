/** What the lines of a day say. */
import type {
  Bed,
  Booking,
  Cultivar,
  DayLine,
  DayNamed,
  DayTask,
  DayView,
  DayWalk,
  House,
  Matter,
  Person,
  Profile,
  Round,
  Site,
  Task,
} from '../../../../../schema/types';
import { beds, bookings, cultivars, houses, people, profiles } from '../../../journal/records/registers';
import { language, appWords } from '../../../words';
import { fieldNames as english } from '../../../words/en/fields';
import { fieldNames as spanish } from '../../../words/es/fields';
import { describeEntry, kindName, word } from '../../../words/entry';
import { day, list, locale } from '../../../words/format';
import { nameOfCrop } from '../../../words/names';
import { supervisorWords } from '../../../words/supervisor';
import { groupOf } from '../beds/attentionWords';
import { bedName } from '../names';

/** "Sunday, November 29"; with its year where that is not the one of today. */
export function dayName(written: string, today: string): string {
  const isThisYear = written.slice(0, 4) === today.slice(0, 4);
  const options: Intl.DateTimeFormatOptions = { weekday: 'long', day: 'numeric', month: 'long', timeZone: 'UTC' };
  return new Intl.DateTimeFormat(locale(), isThisYear ? options : { ...options, year: 'numeric' }).format(
    Date.parse(`${written}T00:00:00Z`),
  );
}

/** The calendar day so many days after one. */
export function dayAfter(written: string, days: number): string {
  return new Date(Date.parse(`${written}T00:00:00Z`) + days * 86_400_000).toISOString().slice(0, 10);
}

/** The day that it is at the nursery, which the view does not know any more where it was kept since an earlier visit. */
function todayIn(zone: string | undefined, otherwise: string): string {
  try {
    // Swedes write days as the schema does.
    return new Intl.DateTimeFormat('sv-SE', zone ? { timeZone: zone } : {}).format(Date.now());
  } catch {
    return otherwise;
  }
}

export function titleOf({ day: of, today: then, zone }: DayView): string {
  const words = supervisorWords.value.dayPage;
  const today = todayIn(zone, then);
  const said = dayName(of, today);
  if (of === today) return words.titleToday(said);
  return of === dayAfter(today, -1) ? words.titleYesterday(said) : words.title(said);
}

/** The time of day by the nursery's own clocks, which may not be this device's. */
export function clockOf(zone: string | undefined): Intl.DateTimeFormat {
  const options: Intl.DateTimeFormatOptions = { hour: 'numeric', minute: '2-digit' };
  const make = (timeZone?: string) => new Intl.DateTimeFormat(locale(), timeZone ? { ...options, timeZone } : options);
  try {
    return make(zone);
  } catch {
    // A zone that this browser does not know.
    return make();
  }
}

/** When it was noted: from the first pot of a walk to the last, or the span that is all that is known. */
export function timeOf({ at, from, to, walk }: DayLine, clock: Intl.DateTimeFormat): string {
  if (from !== undefined && to !== undefined) {
    return supervisorWords.value.dayPage.between(clock.format(from), clock.format(to));
  }
  return clock.formatRange(at, walk?.until ?? at);
}

export interface Said {
  head: string;
  rest: string;
}

export function describeLine(line: DayLine, clock: Intl.DateTimeFormat): Said {
  const words = supervisorWords.value.dayPage;
  const kind = line.kind ?? '';
  if (line.walk) return describeWalk(line.walk);
  const said = describeMore(kind, line.body, line.task) ?? describeEntry(kind, line.body);
  if (line.sheet) return { head: words.sheet, rest: [said, words.sheetNotes(line.sheet)].filter(Boolean).join(' · ') };
  if (!line.named) return { head: kindName(kind), rest: said };
  const what = describeNamed(line.named, line.at, clock);
  return { head: kind === 'void' ? words.struckOut : words.restored, rest: [what, said].filter(Boolean).join('; ') };
}

function describeWalk(walk: DayWalk): Said {
  const words = supervisorWords.value.dayPage;
  const { pots, skipped, corrected, started, end } = walk;
  if (!started && !end && pots === 0 && skipped === 0) return { head: words.walk, rest: words.corrected(corrected) };
  const state = end ? word(words.ended, end) : words.notEnded;
  const said = words.walkSeen(pots, skipped, corrected) || words.walkNothing;
  return { head: words.walk, rest: [said, started ? '' : words.wentOn, state].filter(Boolean).join(', ') };
}

/** The time of a note made within half a day before is enough to know it by. Both are by the nursery's clocks. */
function describeNamed(named: DayNamed, at: number, clock: Intl.DateTimeFormat): string {
  const said = describeMore(named.kind, named.body) ?? describeEntry(named.kind, named.body);
  const when = at - named.at < 12 * 3_600_000 ? clock.format(named.at) : dayAndTime(named.at, at, clock);
  const of = named.person_name === '' ? '' : ` (${supervisorWords.value.dayPage.of(named.person_name, when)})`;
  return `${kindName(named.kind)}${said === '' ? '' : `, ${said}`}${of}`;
}

function dayAndTime(ms: number, now: number, clock: Intl.DateTimeFormat): string {
  const { timeZone } = clock.resolvedOptions();
  const year = new Intl.DateTimeFormat('sv-SE', { year: 'numeric', timeZone });
  return new Intl.DateTimeFormat(locale(), {
    ...(year.format(ms) !== year.format(now) && { year: 'numeric' }),
    day: 'numeric',
    month: 'short',
    hour: 'numeric',
    minute: '2-digit',
    timeZone,
  }).format(ms);
}

type Describe = (body: never, task: DayTask | undefined) => (string | undefined)[];

/** What is noted at the desk and stands in no lot's history. A later note of the same thing holds only what it changed, so its name is that of now. */
const more: { [kind: string]: Describe | undefined } = {
  task: (body: Task, task) => {
    const words = supervisorWords.value.dayPage.task;
    const step = body.step ?? task?.step;
    return [
      (body.words || task?.words)?.replace(/\.$/, '') || (step ? word(supervisorWords.value.plan.step, step) : ''),
      typeof body.done_on === 'string' ? words.done(day(body.done_on)) : '',
      body.done_on === null ? words.reopened : '',
      body.due_on ? words.due(day(body.due_on)) : '',
      body.person ? words.handed(nameOf(body.person)) : '',
      body.person === null ? words.takenBack : '',
      body.cancelled ? words.cancelled : '',
    ];
  },
  matter: (body: Matter) => {
    const words = supervisorWords.value.dayPage.matter;
    const group = groupOf(body.about ?? '');
    return [
      group === '' ? '' : supervisorWords.value.morning.findings[group],
      body.settled === true ? words.settled : '',
      body.snoozed_to ? words.snoozed(day(body.snoozed_to)) : '',
      body.settled === true || body.snoozed_to ? '' : words.open,
    ];
  },
  round: (body: Round) => {
    const words = supervisorWords.value.dayPage.second;
    return [body.done ? words.done : words.asked, body.by ? nameOf(body.by) : ''];
  },
  person: (body: Person) => [
    body.name ?? nameOf(body.of),
    body.role ? appWords.value.common.roles[body.role] : '',
    body.left ? supervisorWords.value.dayPage.left : '',
  ],
  booking: (body: Booking) => [
    body.buyer === undefined ? (bookings.value.get(body.of)?.buyer ?? '') : '',
    describeEntry('booking', body),
  ],
  site: (body: Site) => [body.name ?? '', fieldsOf(body)],
  house: (body: House) => [body.name ?? houses.value.get(body.of)?.name ?? '', fieldsOf(body)],
  bed: (body: Bed) => [bedName(body.name ?? beds.value.get(body.of)?.name ?? ''), fieldsOf(body)],
  profile: (body: Profile) => [nameOfCrop(body.crop ?? profiles.value.get(body.of)?.crop ?? ''), fieldsOf(body)],
  cultivar: (body: Cultivar) => [body.name ?? cultivars.value.get(body.of)?.name ?? '', fieldsOf(body)],
};

function describeMore(kind: string, body: unknown, task?: DayTask): string | undefined {
  const describe = more[kind] as ((body: unknown, task?: DayTask) => (string | undefined)[]) | undefined;
  if (!describe || typeof body !== 'object' || body === null) return undefined;
  return describe(body, task).filter(Boolean).join(', ');
}

/** The fields of a register that were written, but for those that only name it. */
function fieldsOf(body: object): string {
  const names: { readonly [field: string]: string } = language.value === 'es' ? spanish : english;
  const stages: { readonly [stage: string]: string } = supervisorWords.value.plan.stage;
  const said = Object.keys(body)
    .filter((field) => !['of', 'saw', 'name', 'crop', 'of_crop', 'house'].includes(field))
    .flatMap((field) => names[field] ?? stages[field] ?? []);
  return said.length === 0 ? '' : supervisorWords.value.dayPage.fields(list([...new Set(said)]));
}

export function nameOf(person: string): string {
  return people.value.get(person)?.name ?? appWords.value.common.unknown;
}
