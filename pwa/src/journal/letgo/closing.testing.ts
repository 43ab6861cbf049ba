/**
 * The server in memory with what it does for phones that do not hold everything: backups, a first pull that leaves out the notes of closed
 * lots, the sums of these, and the notes of a lot or of some records. Written from the wire's words in DEVELOPERS.md, and by no line of the phone's.
 */
import type { Entry, GoneLot, Me, Pulled, Stamp, Stamped } from '../../../../schema/types';
import { fold, keys, recordHash } from '../../../../sync/fold/fold';
import { addSum, canonical, entryHash, sumHex } from '../../../../sync/journal/journal';
import { json, problem } from '../answers.testing';
import { Nursery } from '../nursery.testing';

export const DAY = 24 * 60 * 60_000;

export class Closing extends Nursery {
  backedUpTo = 0;
  /** Devices that are not scouts'. */
  readonly desks = new Set<string>();
  /** An older server knows none of this. */
  isOld = false;
  /** What a faulty server gives in place of a lot's notes. */
  spoil: (items: Pulled[]) => Pulled[] = (items) => items;
  #seq = 0;
  /** By position: when it came, ms since 1970. */
  #received: number[] = [];

  override me(device: string, person: string): Me {
    return { ...super.me(device, person), role: this.desks.has(device) ? 'owner' : 'scout' };
  }

  now(): number {
    return this.me('', '').server_now;
  }

  /** A note of somebody else, as it lies in the journal. */
  hears(kind: string, body: object, where: { lot?: string; bed?: string; id?: string } = {}): Entry {
    const seq = ++this.#seq;
    const entry = {
      id: where.id ?? idOf(0xe, seq),
      device: '00000000000000ff',
      inc: 1,
      seq,
      v: 1,
      kind,
      person: 'b'.repeat(32),
      ...(where.lot && { lot: where.lot }),
      ...(where.bed && { bed: where.bed }),
      wall: this.now(),
      session: 's',
      mono: seq,
      floor: 0,
      body,
    } as unknown as Entry;
    this.minutesPass(1);
    this.merge({ at: this.now(), quality: 'exact', from: this.now(), to: this.now() }, entry);
    return entry;
  }

  override merge(stamp: Stamp, entry: Entry): void {
    // A server that was set back has forgotten these too.
    this.#received.length = this.journal.length;
    this.#received.push(this.now());
    super.merge(stamp, entry);
  }

  backsUp(): void {
    this.backedUpTo = this.journal.length;
  }

  override async answer(device: string, person: string, path: string, init: RequestInit = {}): Promise<Response> {
    const url = new URL(path, 'http://nursery');
    if (!this.isOld && this.trouble === 'none') {
      const own = this.#own(url, person);
      if (own) {
        this.asked.push(url.pathname);
        return own;
      }
    }
    const answer = await super.answer(device, person, path, init);
    if (!['/api/pull', '/api/push', '/api/digest'].includes(url.pathname) || answer.status !== 200) return answer;
    const body = (await answer.json()) as object;
    return json({ ...body, backed_up_to: this.backedUpTo });
  }

  #own({ pathname, searchParams }: URL, person: string): Response | undefined {
    if (pathname === '/api/pull' && searchParams.has('alive')) return this.#firstPull(searchParams, person);
    if (pathname === '/api/gone') {
      const pull = this.#beginning(searchParams, person);
      const old = this.#received.findLastIndex((at) => at < pull.at - 30 * DAY) + 1;
      const lots = this.gone(pull);
      const page = { resume: resumeOf(pull), up_to: pull.upTo, lots, more: false, made_at: pull.at, old_up_to: old };
      return json(page);
    }
    const upTo = Number(searchParams.get('upto'));
    const after = Number(searchParams.get('after'));
    const lot = /^\/api\/lots\/(.+)\/entries$/.exec(pathname)?.[1];
    const asked = new Set(searchParams.getAll('key'));
    if (lot === undefined && pathname !== '/api/entries') return undefined;
    if (upTo > this.journal.length)
      return problem(409, 'rewind', { epoch: this.epoch, forked_at: this.journal.length });
    const all = this.spoil(
      this.journal.filter((item) => {
        const entry = item.entry as Entry;
        return lot === undefined ? keys(entry).some((key) => asked.has(key)) : entry.lot === lot;
      }),
    );
    const items = all.filter(({ position }) => position > after && position <= upTo);
    return json({ epoch: this.epoch, items: items.slice(0, 7), more: items.length > 7, receipts: '' });
  }

  #beginning(query: URLSearchParams, person: string): FirstPull {
    const [upTo, at, houses = ''] = (query.get('alive') ?? '').split('.');
    if (at !== undefined) return { upTo: Number(upTo), at: Number(at), houses };
    const asked = query.get('houses') ?? '';
    const own = fold(`person:${person}`, this.journal as Stamped[])?.register?.fields['houses']?.value;
    return {
      upTo: this.journal.length,
      at: this.now(),
      houses: asked === 'own' ? ((own ?? []) as string[]).join(',') : asked,
    };
  }

  #firstPull(query: URLSearchParams, person: string): Response {
    const pull = this.#beginning(query, person);
    const { upTo } = pull;
    const [after, limit] = [Number(query.get('after')), Number(query.get('limit'))];
    const left = this.#leftOut(pull);
    const passed = after < upTo ? Math.min(upTo, after + limit) : Math.min(this.journal.length, after + limit);
    const items = this.journal.slice(after, passed).filter(({ entry }) => !left.has((entry as Entry).id));
    const first = { resume: resumeOf(pull), up_to: upTo, passed, proof: '' };
    return json({
      epoch: this.epoch,
      head: this.journal.length,
      items,
      receipts: items.map(() => 'aaaaaa').join(''),
      more: passed < this.journal.length,
      server_now: this.now(),
      backed_up_to: this.backedUpTo,
      ...(after < upTo && { first }),
    });
  }

  gone(pull: FirstPull): GoneLot[] {
    const left = this.#leftOut(pull);
    const lots = new Map<string, Stamped[]>();
    for (const each of left.values()) lots.set(each.entry.lot ?? '', [...(lots.get(each.entry.lot ?? '') ?? []), each]);
    return [...lots].map(([lot, items]) => {
      const sum = items.map(({ entry, stamp }) => entryHash(canonical(entry), stamp)).reduce(addSum, 0n);
      const records = [...new Set(items.flatMap(({ entry }) => keys(entry)))].flatMap((key) => fold(key, items) ?? []);
      return {
        lot,
        count: items.length,
        sum: sumHex(sum),
        records: records.length,
        record_sum: sumHex(records.map(recordHash).reduce(addSum, 0n)),
        summary: { tag: 'A-1', crop: 'azalea', cultivar: 'Wren', shipped_on: '2026-05-14', shipped: 3 },
      };
    });
  }

  /** By id. */
  #leftOut({ upTo, at, houses }: FirstPull): Map<string, Stamped> {
    const all = this.journal.slice(0, upTo) as Stamped[];
    const byKey = new Map<string, Stamped[]>();
    for (const each of all) for (const key of keys(each.entry)) byKey.set(key, [...(byKey.get(key) ?? []), each]);
    const closed = new Set([...byKey.keys()].filter((key) => key.startsWith('lot:')).map((key) => key.slice(4)));
    for (const lot of closed) {
      const shipped = fold(`lot:${lot}`, all)?.register?.fields['shipped_on'];
      if (!shipped?.value || shipped.live.length !== 1 || fold(`stock:${lot}`, all)?.stock?.pots !== 0)
        closed.delete(lot);
      if (all.some(({ entry, stamp }) => entry.lot === lot && stamp.at > at - 30 * DAY)) closed.delete(lot);
    }
    for (const lot of elsewhere(all, byKey, houses, at - 30 * DAY)) closed.add(lot);
    const left = new Map<string, Stamped>();
    for (const [key, items] of byKey) {
      const [, id] = /^(?:pot|fact):(.+)$/.exec(key) ?? [];
      const first = items.find(({ entry }) => entry.id === id)?.entry;
      if (!first?.lot || !closed.has(first.lot)) continue;
      if (items.every(({ entry }) => entry.lot === first.lot && keys(entry).length === 1))
        for (const each of items) left.set(each.entry.id, each);
    }
    return left;
  }
}

/** What a first pull is: up to where, begun when (ms since 1970), of which houses (with commas between them; none for all). */
interface FirstPull {
  upTo: number;
  at: number;
  houses: string;
}

function resumeOf({ upTo, at, houses }: FirstPull): string {
  return `${upTo}.${at}.${houses}`;
}

/** The lots with a stretch, none of which lies in these houses; or that left them before a time and stand in another. */
function elsewhere(
  all: readonly Stamped[],
  byKey: ReadonlyMap<string, unknown>,
  houses: string,
  before: number,
): Set<string> {
  if (houses === '') return new Set();
  const field = (key: string, name: string) => fold(key, all)?.register?.fields[name];
  const text = (key: string, name: string) => String(field(key, name)?.value ?? '');
  const stretches = [...byKey.keys()]
    .filter((key) => key.startsWith('span:'))
    .map((key) => {
      const house = text(`bed:${text(key, 'bed')}`, 'house');
      const ended = field(key, 'ended');
      const isOver = ended?.value === true && ended.live.length === 1;
      const isOurs = house === '' || houses.split(',').includes(house);
      return { lot: text(key, 'lot'), isOurs, isOver, isLongOver: isOver && ended.by.stamp.at <= before };
    });
  const isElsewhere = (lot: string) => {
    const own = stretches.filter((each) => each.lot === lot && each.isOurs);
    return (
      own.length === 0 ||
      (own.every(({ isLongOver }) => isLongOver) &&
        stretches.some((each) => each.lot === lot && !each.isOurs && !each.isOver))
    );
  };
  return new Set(stretches.map(({ lot }) => lot).filter(isElsewhere));
}

export function idOf(what: number, n: number): string {
  return what.toString(16).padStart(2, '0') + n.toString(16).padStart(30, '0');
}

/** Numbers from a seed (mulberry32). */
export function rolls(seed: number): (below: number) => number {
  let state = seed;
  return (below) => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return Math.floor((((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32) * below);
  };
}
