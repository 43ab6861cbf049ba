/** What an item of the attention list says: a head in bold, and what follows it. */
import type { AttentionItem, BedBrief, Estimate } from '../../../../../schema/types';
import { potSize, word } from '../../../words/entry';
import { atWhen, day, list, percent, points, shipWeek, untilWhen } from '../../../words/format';
import { lotLine, nameOfCrop } from '../../../words/names';
import { appWords } from '../../../words';
import { supervisorWords } from '../../../words/supervisor';
import { tenths } from '../lot/planWords';
import { bedName, sentence, traitName } from '../names';

/** A lot that makes its week less often than one time in twenty. */
const SELDOM = 0.05;

export interface Said {
  head: string;
  rest: string;
}

type FlagCode = 'rot' | 'chlorosis' | 'disease';

/** The kinds of finding that the plan can be filtered by. */
export const findingGroups = ['rot', 'chlorosis', 'disease', 'dropped', 'uneven', 'late', 'mistyped'] as const;
/** '' for what no bed shows. */
export type FindingGroup = (typeof findingGroups)[number] | '';

export function groupOf(code: string): FindingGroup {
  if (code === 'gradient' || code === 'across' || code === 'edge' || code === 'two_groups') return 'uneven';
  return findingGroups.find((group) => group === code) ?? '';
}

/** True of what was found on one bed, which somebody can be sent to look at again. */
export function isOfBed({ finding, now }: AttentionItem): boolean {
  return finding !== undefined || now !== undefined;
}

/** Names of beds are unique within a house only; in the list the house is left out where the name says enough. */
function where(item: AttentionItem): string {
  return bedName(item.beds[0]?.name ?? '');
}

export function describe(item: AttentionItem, bed: BedBrief | undefined): Said {
  const words = supervisorWords.value.morning;
  const about = bed ?? { id: '', spans: [], entry_end: '', far_end: '' };
  const place = item.where ? sentence(item.where, about) : '';
  switch (item.code) {
    case 'rot':
    case 'chlorosis':
    case 'disease':
      return flag(item, item.code, place);
    case 'dropped':
      return dropped(item, place);
    case 'uneven':
      return uneven(item, place);
    case 'late':
      return late(item);
    case 'overbooked':
      return {
        head: words.overbooked(
          shipWeek(item.week ?? ''),
          nameOfCrop(item.crop ?? ''),
          potSize(item.pot_mm ?? 0),
          item.count ?? 0,
        ),
        rest:
          item.chance === undefined
            ? ''
            : words.tooFew(supervisorWords.value.plan.chanceShort(tenths(item.chance ?? 0))),
      };
    case 'disagree_field':
      return {
        head: words.disagree(lotLine(item), word(supervisorWords.value.lot.field, item.field ?? '')),
        rest: '',
      };
    case 'quarantined':
      return { head: words.quarantined(item.count ?? 0, item.devices?.[0] ?? ''), rest: '' };
    case 'backup':
      return {
        head: item.since === 0 ? words.noBackup : words.oldBackup(untilWhen(item.since)),
        rest: join([words.backupLacks(item.count ?? 0), item.can_back_up ? '' : words.backupHow]),
      };
    case 'silent':
      return {
        head: words.silent(item.count ?? 0, list([...(item.devices ?? [])])),
        rest: join([
          item.pending ? words.silentPending(item.pending) : '',
          words.silentSince(item.count ?? 0, untilWhen(item.since)),
        ]),
      };
    case 'webhook':
      return { head: words.webhook(item.devices?.[0] ?? ''), rest: words.webhookHow };
    case 'mistyped':
      return { head: words.mistyped(item.count ?? 0, list(item.beds.map(({ name }) => bedName(name)))), rest: '' };
    default:
      return { head: words.inBed(where(item), item.finding ? sentence(item.finding, about) : ''), rest: '' };
  }
}

function join(parts: readonly string[]): string {
  return parts.filter(Boolean).join(' ');
}

function flag(item: AttentionItem, code: FlagCode, place: string): Said {
  const words = supervisorWords.value.morning;
  const at = (name: string) => item.finding?.numbers[name] ?? 0;
  const interval =
    'high' in (item.finding?.numbers ?? {}) ? words.interval(points(at('low')), percent(at('high'))) : '';
  return {
    head: words.inBed(where(item), words.flag[code](at('x'), words.pots(at('n')))),
    rest: join([
      interval,
      item.before_n ? words.before(item.before_x ?? 0, item.before_n) : '',
      item.lot ? words.onlyLot(lotLine(item)) : '',
      place,
      code === 'rot' ? words.rotCare : code === 'disease' ? words.diseaseCare : '',
    ]),
  };
}

function dropped(item: AttentionItem, place: string): Said {
  const words = supervisorWords.value.morning;
  const { now, before } = item;
  if (!now || !before) return { head: where(item), rest: place };
  const between = ({ interval }: Estimate) =>
    interval.known ? words.bounds(points(interval.low), points(interval.high)) : '';
  return {
    head: words.inBed(where(item), words.dropped(traitName(item.trait), points(now.value), points(before.value))),
    rest: join([words.droppedBounds(between(now), between(before)), place, item.other_scout ? words.otherScout : '']),
  };
}

function uneven(item: AttentionItem, place: string): Said {
  const words = supervisorWords.value.morning;
  const { value = 0, interval } = item.now ?? {};
  const aim = points((item.aim_bp ?? 0) / 10_000);
  return {
    head: words.inBed(where(item), words.uneven(traitName(item.trait), points(value))),
    rest: join([
      interval ? words.interval(points(interval.low), points(interval.high)) : '',
      item.own_aim ? words.ownAim(aim) : words.startAim(aim),
      words.ships(lotLine(item), shipWeek(item.week ?? '')),
      place,
    ]),
  };
}

function late(item: AttentionItem): Said {
  const words = supervisorWords.value.morning;
  const week = shipWeek(item.week ?? '');
  const step = word(supervisorWords.value.plan.step, item.step ?? '');
  return {
    head: item.days
      ? words.late(lotLine(item), step, item.days)
      : ((item.chance ?? 0) < SELDOM ? words.surely : words.hardly)(lotLine(item), week),
    rest: join([
      words.chance(percent(item.chance ?? 0), week),
      item.ready ? words.ready(day(item.ready)) : '',
      item.not_own ? words.notOwn(item.not_own, item.to_come ?? 0) : '',
    ]),
  };
}

/** Why an item is in the list although somebody put it away, or who did while it is away. */
export function describeAnswer({ answer, back }: AttentionItem): string {
  const words = supervisorWords.value.morning;
  if (!answer) return '';
  const name = answer.name || appWords.value.common.unknown;
  if (back === 'day' || back === 'worse' || back === 'found') return words.back[back](name);
  return answer.settled ? words.settledBy(name, atWhen(answer.at)) : words.snoozedBy(name, day(answer.snoozed_to));
}
