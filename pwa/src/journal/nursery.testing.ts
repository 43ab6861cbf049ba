/**
 * A server in memory for the journal's tests: the wire's rules and no more (sequence, chain, epoch, stamps, pages), plus
 * whatever can go wrong with an answer. And phones, each a fresh copy of the journal's modules over its own database.
 */
import 'fake-indexeddb/auto';
import { IDBFactory } from 'fake-indexeddb';
import { vi } from 'vitest';
import { foldVersion } from '../../../schema/kinds';
import type { Entry, HandBack, Me, Pulled, Push, Stamp, Stamped } from '../../../schema/types';
import { fold, keys, recordHash, totalHex } from '../../../sync/fold/fold';
import {
  addSum,
  canonical,
  chain,
  chainHex,
  entryHash,
  noChain,
  parseChain,
  sumHex,
} from '../../../sync/journal/journal';
import { begun, json, never, orNothing, problem } from './answers.testing';

type Trouble =
  | 'none'
  | 'offline'
  | '500'
  | '401'
  | 'portal'
  | '204'
  | 'half'
  | 'lost_answer'
  | '429'
  | 'slow'
  | 'stalled'
  | 'cut'
  | 'quarantine_full'
  | 'server_clock';

interface Written {
  entry: Entry;
  text: string;
}

export class Nursery {
  trouble: Trouble = 'none';
  epoch = 'e1';
  /** The set of kinds that the server makes records of. */
  fold = foldVersion;
  forkedAt = 0;
  journal: Pulled[] = [];
  readonly held = new Set<string>();
  /** Held because their bytes could not be read, so that the answer cannot name them either. */
  readonly unread = new Set<string>();
  /** Devices whose access was taken back, and what a supervisor decided to leave out. */
  readonly revoked = new Set<string>();
  readonly left = new Set<string>();
  /** What was handed back without a receipt; and whether there is no room for more of it. */
  readonly unproven = new Set<string>();
  full = false;
  readonly digests: { equal: boolean; records: boolean }[] = [];
  /** The same as they came. */
  readonly sums: Sums[] = [];
  readonly asked: string[] = [];
  /** The one path that never answers. */
  silent = '';
  /** Refuses to read any batch that holds this entry, as a server with a fault would. */
  poison = '';
  #writers = new Map<string, Written[]>();
  #incs = new Map<string, number>();
  #given = new Map<number, Pulled[]>();
  #now = 1_800_000_000_000;

  me(device: string, person: string): Me {
    const inc = this.#incs.get(device) ?? 1;
    return {
      device,
      device_name: device,
      inc,
      person,
      person_name: person,
      role: 'scout',
      site_name: 'Quillfen',
      epoch: this.epoch,
      head: this.journal.length,
      high: this.#of(device, inc).length,
      server_now: this.#now,
      build: '',
    };
  }

  /**
   * What a backup holds, to be gone back to later. With the whole disk set back there is nothing by which the server
   * could tell that it was.
   */
  backup(): (how?: 'restored' | 'whole disk') => void {
    const journal = [...this.journal];
    const writers = new Map([...this.#writers].map(([key, list]) => [key, [...list]]));
    return (how = 'restored') => {
      this.journal = journal;
      this.#writers = writers;
      if (how === 'restored') this.#beginsEpoch(journal.length);
    };
  }

  #beginsEpoch(forkedAt: number): void {
    this.epoch = `${this.epoch}x`;
    this.forkedAt = forkedAt;
  }

  minutesPass(minutes: number): void {
    this.#now += minutes * 60_000;
  }

  /** Answers as the network would, for the device that asks. */
  async answer(device: string, person: string, path: string, init: RequestInit = {}): Promise<Response> {
    this.asked.push(path.split('?')[0] ?? path);
    this.#now += 10;
    const trouble = this.trouble;
    if (this.asked.at(-1) === this.silent) return never(init.signal);
    if (trouble === 'offline') throw new TypeError('Failed to fetch');
    if (trouble === 'portal') return new Response('<html>Welcome</html>', { headers: { 'content-type': 'text/html' } });
    if (trouble === '204') return new Response(null, { status: 204 });
    if (trouble === '500') return problem(500, 'internal');
    if (trouble === '429') return problem(429, 'too_many');
    if (trouble === '401') return problem(401, 'unpaired');
    const body = typeof init.body === 'string' ? (JSON.parse(init.body) as unknown) : undefined;
    const answer = this.#route(device, person, path, body);
    if (trouble === 'slow') return never(init.signal);
    if (trouble === 'stalled') return begun(answer, never(init.signal));
    if (trouble === 'cut') return begun(answer, Promise.reject(new TypeError('network error')));
    if (trouble === 'lost_answer') throw new TypeError('Failed to fetch');
    if (trouble === 'half') return new Response('{"high":1,"giv', { headers: { 'content-type': 'application/json' } });
    return answer;
  }

  #route(device: string, person: string, path: string, body: unknown): Response {
    const url = new URL(path, 'http://nursery');
    const { trouble } = this;
    if (url.pathname === '/api/push' && (trouble === 'quarantine_full' || trouble === 'server_clock'))
      return problem(429, trouble);
    if (url.pathname === '/api/push') return this.#push(body as Push);
    if (url.pathname === '/api/quarantine') return this.#aside(device, (body as { ids: string[] }).ids);
    if (this.revoked.has(device)) {
      const { inc, high } = this.me(device, person);
      return problem(403, 'revoked', { epoch: this.epoch, inc, high });
    }
    if (url.pathname === '/api/me') return json(this.me(device, person));
    if (url.pathname === '/api/in/lost') return this.#handedBack(body as HandBack);
    if (url.pathname === '/api/pull') return this.#pull(url.searchParams);
    if (url.pathname === '/api/digest') return this.#digest(body as Sums);
    if (url.pathname === '/api/incarnation') {
      const inc = (this.#incs.get(device) ?? 1) + 1;
      this.#incs.set(device, inc);
      return json({ inc });
    }
    return problem(404, 'not_found');
  }

  #of(device: string, inc: number): Written[] {
    const key = `${device}.${inc}`;
    const found = this.#writers.get(key) ?? [];
    this.#writers.set(key, found);
    return found;
  }

  /** The hash over the records, folded here from the journal alone. */
  #records(): string {
    const byKey = new Map<string, Stamped[]>();
    for (const item of this.journal as Stamped[])
      for (const key of new Set(keys(item.entry))) byKey.set(key, [...(byKey.get(key) ?? []), item]);
    const records = [...byKey].flatMap(([key, items]) => fold(key, items) ?? []);
    // As the server does: what cannot be written has no part in the sum.
    return totalHex(records.map((record) => orNothing(() => recordHash(record))).reduce(addSum, 0n));
  }

  #push(push: Push): Response {
    if (push.epoch !== '' && push.epoch !== this.epoch) {
      return problem(409, 'rewind', { epoch: this.epoch, forked_at: this.forkedAt });
    }
    const entries = push.entries as Entry[];
    if (entries.some((entry) => entry.id === this.poison)) return problem(400, 'bad_body');
    const written = this.#of(push.device, push.inc);
    if (push.from > written.length + 1) return problem(409, 'gap', { high: written.length });
    let link = parseChain(push.chain);
    const before = written.slice(0, push.from - 1).reduce((hash, each) => chain(hash, each.text), noChain);
    if (chainHex(link) !== chainHex(before)) return this.#fork(push.device);
    const given = entries.map((entry, index) => {
      const text = canonical(entry);
      const there = written[push.from - 1 + index];
      if (there && there.text !== text) return undefined;
      link = chain(link, text);
      if (!there) written.push({ entry, text });
      // Nothing vouches for an entry that stands at another number than its own.
      const misplaced = entry.device !== push.device || entry.inc !== push.inc || entry.seq !== push.from + index;
      return this.#give(entry, misplaced);
    });
    if (given.includes(undefined)) return this.#fork(push.device);
    return json({
      high: written.length,
      given,
      epoch: this.epoch,
      head: this.journal.length,
      server_now: this.#now,
      backed_up_to: 0,
    });
  }

  /** Takes what others give back with a receipt that it made, keeps the rest apart, and leaves their writers' chains alone. */
  #handedBack(lost: HandBack): Response {
    if (lost.epoch !== this.epoch) return problem(409, 'rewind', { epoch: this.epoch, forked_at: this.forkedAt });
    const answer = { merged: 0, known: 0, quarantined: 0, refused: [] as string[] };
    (lost.entries as Entry[]).forEach((entry, index) => {
      const shown = lost.receipts?.[index];
      const proven = shown && shown.receipt === receiptOf({ ...shown, entry });
      if (this.journal.some((item) => (item.entry as Entry).id === entry.id)) answer.known++;
      else if (this.full) answer.refused.push(entry.id);
      else if (!proven) answer.quarantined += this.unproven.add(entry.id) ? 1 : 0;
      else answer[this.#give(entry, false, shown.stamp).state === 'merged' ? 'merged' : 'quarantined']++;
    });
    return json(answer);
  }

  #aside(device: string, ids: readonly string[]): Response {
    const isMerged = (id: string) => this.journal.some((item) => (item.entry as Entry).id === id);
    const apart = this.revoked.has(device) ? 'review' : 'quarantined';
    const state = (id: string) => (isMerged(id) ? 'merged' : this.left.has(id) ? 'left' : apart);
    return json({ notes: ids.map((id) => ({ id, state: state(id), faults: [] })) });
  }

  /** A supervisor's tap on "merge it". */
  merges(entry: Entry): void {
    this.held.delete(entry.id);
    this.revoked.delete(entry.device);
    this.#give(entry);
    this.revoked.add(entry.device);
  }

  merge(stamp: Stamp, entry: Entry): void {
    const position = this.journal.length + 1;
    this.journal.push({ position, stamp, entry });
    this.#given.set(position, [...(this.#given.get(position) ?? []), { position, stamp, entry }]);
  }

  #fork(device: string): Response {
    const inc = (this.#incs.get(device) ?? 1) + 1;
    this.#incs.set(device, inc);
    return problem(409, 'fork', { inc });
  }

  #give(entry: Entry, misplaced = false, had?: Stamp) {
    const there = this.journal.find((item) => (item.entry as Entry).id === entry.id);
    const stamp = there?.stamp ?? had ?? { at: this.#now, quality: 'exact' as const, from: this.#now, to: this.#now };
    if (this.unread.has(entry.id)) return { id: '', stamp, state: 'quarantined', faults: [] };
    if (this.left.has(entry.id)) return { id: entry.id, stamp, state: 'left', faults: [] };
    if (misplaced || this.held.has(entry.id)) return { id: entry.id, stamp, state: 'quarantined', faults: [] };
    if (this.revoked.has(entry.device)) return { id: entry.id, stamp, state: 'review', faults: [] };
    if (!there) this.merge(stamp, entry);
    return { id: entry.id, position: there?.position ?? this.journal.length, stamp, state: 'merged' };
  }

  #pull(query: URLSearchParams): Response {
    const [after, limit] = [Number(query.get('after')), Number(query.get('limit'))];
    const epoch = query.get('epoch') ?? '';
    if (epoch !== '' && epoch !== this.epoch) {
      return problem(409, 'rewind', { epoch: this.epoch, forked_at: this.forkedAt });
    }
    if (after > this.journal.length) {
      if (this.#proves(after, query.get('proof') ?? '')) this.#beginsEpoch(this.journal.length);
      return problem(409, 'rewind', { epoch: this.epoch, forked_at: this.journal.length });
    }
    const items = this.journal.slice(after, after + limit);
    return json({
      epoch: this.epoch,
      head: this.journal.length,
      items,
      receipts: items.map(receiptOf).join(''),
      more: after + items.length < this.journal.length,
      server_now: this.#now,
      backed_up_to: 0,
    });
  }

  /** The real server makes the receipt again from its key; this one remembers what it ever gave. */
  #proves(position: number, proof: string): boolean {
    const given = this.#given.get(position) ?? [];
    return given.some((item) => proof === sumHex(entryHash(canonical(item.entry), item.stamp)) + receiptOf(item));
  }

  #digest(sent: Sums): Response {
    const sums = new Map<string, bigint>();
    for (const { entry, stamp } of this.journal) {
      const { lot = '' } = entry as Entry;
      // Of its bytes, which a phone may be unable to write, the server has the hash all the same: any other number.
      const hash = orNothing(() => entryHash(canonical(entry), stamp)) || 1n;
      sums.set(lot, addSum(sums.get(lot) ?? 0n, hash));
    }
    const lots =
      sent.lots.length === sums.size && sent.lots.every(({ lot, sum }) => sum === sumHex(sums.get(lot) ?? -1n));
    const isCompared = sent.records !== undefined && (sent.fold ?? 0) === this.fold;
    const equal = lots && (!isCompared || sent.records === this.#records());
    this.digests.push({ equal, records: isCompared });
    this.sums.push(sent);
    return json({ equal, head: this.journal.length, fold: this.fold, backed_up_to: 0 });
  }
}

/** Stands for the server's keyed hash: only that each is its own matters here. */
function receiptOf({ position, stamp, entry }: Pulled): string {
  return sumHex(orNothing(() => entryHash(`${position} ${canonical(entry as Entry)}`, stamp))).slice(0, 6);
}

interface Sums {
  lots: { lot: string; sum: string; counted?: number }[];
  records?: string;
  fold?: number;
}

const realTimeout = globalThis.setTimeout;
/** What phones of one nursery have planned for later. */
let planned: { nursery: Nursery; timers: ReturnType<typeof setTimeout>[] } | undefined;

/**
 * Ends what phones of an earlier nursery still had planned: the network is a global, so on a slow machine an earlier test's
 * phone would otherwise send its notes to this one's server.
 */
function endEarlierPhones(nursery: Nursery): void {
  if (planned?.nursery !== nursery) {
    planned?.timers.forEach(clearTimeout);
    planned = { nursery, timers: [] };
  }
  const { timers } = planned;
  const plan = (...args: Parameters<typeof realTimeout>) => {
    const timer = realTimeout(...args);
    timers.push(timer);
    return timer;
  };
  vi.stubGlobal('setTimeout', Object.assign(plan, realTimeout));
}

/** One tab of one phone: the journal's modules afresh, over the phone's database. */
export async function openTab(nursery: Nursery, device: string, options: { disk?: IDBFactory; person?: string } = {}) {
  const disk = options.disk ?? new IDBFactory();
  const person = options.person ?? 'a'.repeat(32);
  const use = () => {
    vi.stubGlobal('indexedDB', disk);
    vi.stubGlobal('CompressionStream', undefined);
    vi.stubGlobal('fetch', (path: string, init?: RequestInit) => nursery.answer(device, person, path, init));
  };
  endEarlierPhones(nursery);
  use();
  vi.resetModules();
  const modules = {
    base: await import('./store/base'),
    sync: await import('./worker/sync'),
    identity: await import('./identity'),
    push: await import('./outbox/push'),
    pull: await import('./inbox/pull'),
    read: await import('./records/read'),
    stash: await import('./outbox/stash'),
    registers: await import('./records/registers'),
    walks: await import('./records/walks'),
    write: await import('./outbox/write'),
    rekey: await import('./recovery/rekey'),
    unfinished: await import('./recovery/unfinished'),
    draft: await import('./outbox/draft'),
    exported: await import('./recovery/export'),
    shape: await import('./store/shape'),
  };
  await modules.identity.become(nursery.me(device, person));
  return {
    ...modules,
    disk,
    device,
    /** Makes this tab the one whose database and network the globals are. */
    use,
    async syncs() {
      use();
      await modules.sync.sync('asked');
    },
    async pending() {
      return (await modules.base.base()).countFromIndex('entries', 'pending');
    },
    async entry(id: string) {
      return (await modules.base.base()).get('entries', id);
    },
    async record(key: string) {
      const row = await (await modules.base.base()).get('records', key);
      return row && modules.shape.decodeRow(row)?.record;
    },
    async writes(words: string) {
      use();
      return modules.write.note('note', { words });
    },
  };
}
