/**
 * The one HTTP client, of sync, views and uploads. It believes only what is surely an answer of the server: status 200, JSON by
 * its type, and the shape that was asked for. A portal page, a proxy's error or half an answer is a Refusal, the one error of all
 * requests, and nothing counts as delivered.
 */
import type {
  DigestAnswer,
  Gone,
  Me,
  Page,
  PairAsk,
  Problem,
  Pull,
  Pulled,
  Push,
  PushAnswer,
  QuarantinedNote,
  Receipt,
} from '../../../schema/types';
import { readTables, TableError, TABLES_VERSION, type ReadPage } from '../../../sync/tables/tables';
import { patienceFor, wasAnswered, wasTooSlow } from './patience';

/** Why there is no answer. */
export type Why =
  | 'offline' // nobody answered
  | 'slow' // somebody may have, but not in the time that the phone waits
  | 'portal' // somebody answered, but not the server
  | 'unpaired' // 401: the pairing is over or was never made
  | 'revoked' // 403, code revoked: the device was revoked
  | 'busy' // 429 or 5xx: later
  | 'refused'; // the server says why in a problem

export class Refusal extends Error {
  override readonly name = 'Refusal';
  readonly why: Why;
  readonly problem: Problem | undefined;

  constructor(why: Why, problem?: Problem) {
    super(problem ? `${problem.code}: ${problem.detail} ${problem.remedy}` : why);
    this.why = why;
    this.problem = problem;
  }
}

/** A batch as it is sent. Entries travel as the bytes that were chained, never as re-written JSON. */
export interface Batch {
  push: Push;
  texts: readonly string[];
}

export async function push({ push: batch, texts }: Batch): Promise<PushAnswer> {
  const head = JSON.stringify({ ...batch, entries: [] });
  const answer = await ask('/api/push', await packed(`${head.slice(0, head.lastIndexOf(']'))}${texts.join(',')}]}`));
  if (!isPushAnswer(answer, batch)) throw new Refusal('portal');
  return answer;
}

/** Where a pull goes on. */
interface From {
  epoch: string;
  position: number;
  /** The hash and the receipt of the entry at the cursor: without it the server does not believe a cursor past its end. */
  proof?: string;
  /** Names a first pull that leaves out the notes of closed lots; 1 begins one. */
  first?: string;
}

/**
 * Pages come as tables until one of them cannot be believed; from then on, until the app starts again, with each entry as it is.
 */
let areTablesAsked = true;

/** A page of the journal; with the hashes of its entries where they were computed, to hold the page to its own. */
export type PulledPage = Pull & { hashes?: readonly bigint[] };

export async function pull({ epoch, position: after, proof, first }: From, limit: number): Promise<PulledPage> {
  const query = new URLSearchParams({
    epoch,
    after: String(after),
    limit: String(limit),
    ...(proof && { proof }),
    ...(first && { alive: first }),
    // The server knows which they are; this phone has not read it yet.
    ...(first === '1' && { houses: 'own' }),
    ...(areTablesAsked && { tables: String(TABLES_VERSION) }),
  });
  const answer = await ask(`/api/pull?${query.toString()}`);
  // A server of an earlier release answers without tables.
  const read = isObject(answer) && 'tables' in answer ? fromTables(answer) : undefined;
  const page: unknown = read ?? answer;
  if (!isPull(page, after)) throw new Refusal('portal');
  // A server that went back to an earlier release gives none.
  const receipts = typeof page.receipts === 'string' ? page.receipts : '';
  const { hashes: _said, ...rest } = page as PulledPage;
  // Only hashes that this phone made itself count.
  return { ...rest, receipts, ...(read && { hashes: read.hashes }) };
}

/** @throws Refusal, and has the next page come without tables, where these cannot be believed */
function fromTables(answer: unknown): ReadPage {
  try {
    return readTables(answer);
  } catch (error) {
    if (!(error instanceof TableError)) throw error;
    areTablesAsked = false;
    throw refusedHere(error.code, error.detail, error.remedy);
  }
}

function refusedHere(code: string, detail: string, remedy: string): Refusal {
  return new Refusal('refused', {
    type: 'about:blank',
    title: 'Refused by the phone',
    status: 200,
    code,
    detail,
    remedy,
  });
}

/** An answer that is surely the server's, of which a part has not the form that it should have. */
function unreadable(part: string): Refusal {
  return refusedHere(
    UNREADABLE,
    `The server's answer has a part that this phone cannot read (${part}).`,
    'Nothing of the answer is taken. The phone asks again by itself; if this stays, update the server.',
  );
}

export const UNREADABLE = 'unreadable_answer';

/**
 * A page of the lots of which a first pull leaves notes out.
 * @param pull what names it, or 1 for one that would begin now @param houses those that it is about; none for all
 */
export async function goneLots(
  pull: string,
  houses: readonly string[],
  after: string,
): Promise<Omit<Gone, 'old_up_to'> & Partial<Gone>> {
  const query = new URLSearchParams({
    alive: pull,
    ...(houses.length > 0 && { houses: houses.join(',') }),
    ...(after && { after }),
  });
  const answer = await ask(`/api/gone?${query.toString()}`);
  if (!isObject(answer) || typeof answer['more'] !== 'boolean' || !isCount(answer['made_at']))
    throw new Refusal('portal');
  if (!Array.isArray(answer['lots']) || !answer['lots'].every(isGoneLot)) throw unreadable('lots');
  return answer as unknown as Gone;
}

function isGoneLot(lot: unknown): boolean {
  return isObject(lot) && isSumOfLot(lot) && isSum(lot['record_sum']) && isObject(lot['summary']);
}

/** All entries of a lot up to a position, each with its receipt. */
export function entriesOfLot(lot: string, epoch: string, upTo: number): Promise<Received[]> {
  return allPages(`/api/lots/${lot}/entries`, new URLSearchParams({ epoch, upto: String(upTo) }));
}

/** All entries of some records up to a position. */
export function entriesOfRecords(keys: readonly string[], epoch: string, upTo: number): Promise<Received[]> {
  const query = new URLSearchParams({ epoch, upto: String(upTo) });
  for (const key of keys) query.append('key', key);
  return allPages('/api/entries', query);
}

/** An entry as it is pulled, with its receipt. */
export type Received = Pulled & { receipt: string };

async function allPages(path: string, query: URLSearchParams): Promise<Received[]> {
  const all: Received[] = [];
  for (;;) {
    const after = all.at(-1)?.position ?? 0;
    query.set('after', String(after));
    const answer = await ask(`${path}?${query.toString()}`);
    if (!isObject(answer) || !isEpoch(answer['epoch'])) throw new Refusal('portal');
    if (!isPage(answer, after) || (answer.more && answer.items.length === 0)) throw unreadable('items');
    // A server that went back to an earlier release gives none.
    const receipts = typeof answer.receipts === 'string' ? answer.receipts : '';
    all.push(...withReceipts({ ...answer, receipts }));
    if (!answer.more) return all;
  }
}

/** A page's receipts stand in one text: this many characters an item. */
const RECEIPT_CHARS = 6;

/** The entries of a page, each with its own receipt, '' where it has none. */
export function withReceipts({ items, receipts }: Pick<Page, 'items' | 'receipts'>): Received[] {
  return items.map((item, i) => ({ ...item, receipt: receipts.slice(i * RECEIPT_CHARS, (i + 1) * RECEIPT_CHARS) }));
}

export async function digest(sums: unknown): Promise<DigestAnswer> {
  // A line a lot: of ten thousand lots about a megabyte, and less than half of it packed.
  const answer = await ask('/api/digest', await packed(JSON.stringify(sums)));
  if (!isObject(answer) || typeof answer['equal'] !== 'boolean' || !isCount(answer['head']))
    throw new Refusal('portal');
  const lists = Object.fromEntries(Object.entries(isOfList).map(([of, is]) => [of, listOf(answer, of, is)]));
  const more = answer['more'] ?? false;
  if (typeof more !== 'boolean') throw unreadable('more');
  return { ...answer, ...lists, more } as unknown as DigestAnswer;
}

const isName = (value: unknown) => typeof value === 'string';
const isOfList = { differ: isName, lots: isSumOfLot, records_differ: isName };

/** A list of an answer; one that is not there, or null, is empty, as servers of earlier releases leave it. */
function listOf(answer: Record<string, unknown>, of: string, is: (value: unknown) => boolean): unknown[] {
  const list = answer[of] ?? [];
  if (!Array.isArray(list) || !list.every(is)) throw unreadable(of);
  return list;
}

function isSumOfLot(lot: unknown): boolean {
  return isObject(lot) && typeof lot['lot'] === 'string' && isCount(lot['count']) && isSum(lot['sum']);
}

function isSum(value: unknown): boolean {
  return typeof value === 'string' && /^[0-9a-f]{32}$/.test(value);
}

/** Gives back others' notes, as bytes, that the server has lost, each with its receipt. @returns the ids of what it did not keep */
export async function handBack(epoch: string, texts: readonly string[], receipts: Receipt[]): Promise<string[]> {
  const tail = JSON.stringify({ receipts }).slice(1);
  const answer = await ask(
    '/api/in/lost',
    await packed(`{"epoch":${JSON.stringify(epoch)},"entries":[${texts.join(',')}],${tail}`),
  );
  if (!isObject(answer) || !isCount(answer['merged']) || !isCount(answer['quarantined'])) throw new Refusal('portal');
  const refused: unknown = answer['refused'];
  return Array.isArray(refused) ? refused.filter((id): id is string => typeof id === 'string') : [];
}

/** What became of notes in quarantine, of those that it has. */
export async function quarantineStates(ids: readonly string[]): Promise<QuarantinedNote[]> {
  const answer = await ask('/api/quarantine', sent({ ids }));
  if (!isObject(answer) || !Array.isArray(answer['notes'])) throw new Refusal('portal');
  return answer['notes'].filter((note): note is QuarantinedNote => isObject(note) && typeof note['state'] === 'string');
}

/** Who this device is to the server; undefined where it has no pairing to show. */
export async function me(): Promise<Me | undefined> {
  const answer = await ask('/api/me');
  return answer === undefined ? undefined : asMe(answer);
}

/** The secret is this phone's own for this code, the epoch that of the notes that it holds: see `pairing.ts`. */
export async function pair(asked: PairAsk): Promise<Me> {
  return asMe(await ask('/api/pair', sent(asked)));
}

/** Asks for a new incarnation, after the chain has shown that this device was copied or set back. */
export async function incarnation(): Promise<number> {
  const answer = await ask('/api/incarnation', { method: 'POST' });
  if (!isObject(answer) || !isCount(answer['inc']) || answer['inc'] < 1) throw new Refusal('portal');
  return answer['inc'];
}

/**
 * Asks the server for JSON. A large body may need more time than the answer to a question: leastMs is how long it has at the least.
 * @returns undefined for an answer without content. @throws Refusal
 */
export async function ask(path: string, init: RequestInit = {}, leastMs = 0): Promise<unknown> {
  const { answer, body } = await request(path, init, leastMs);
  if (answer.status === 204) return undefined;
  if (answer.status !== 200 && answer.status !== 201) throw refusalOf(answer, body);
  if (body === undefined) throw new Refusal('portal');
  return body;
}

/**
 * The one way to the server: with a limit to the waiting, and past every cache.
 * @returns the answer with its JSON, undefined where it has none. @throws Refusal offline or slow, where there is no answer
 */
export async function request(
  path: string,
  init: RequestInit,
  leastMs = 0,
): Promise<{ answer: Response; body: unknown }> {
  const wait = patienceFor(path);
  const signal = AbortSignal.timeout(Math.max(wait, leastMs));
  try {
    const answer = await fetch(path, { cache: 'no-store', signal, ...init });
    const body = await bodyOf(answer);
    wasAnswered(path);
    return { answer, body };
  } catch {
    if (!signal.aborted) throw new Refusal('offline');
    wasTooSlow(path, wait);
    throw new Refusal('slow');
  }
}

/**
 * What an answer other than the wanted one means. The server gives its reasons as problems (RFC 9457); what has none is somebody
 * else's, unless another mark shows that it is the server's own.
 */
export function refusalOf(answer: Response, body: unknown, isOurs = false): Refusal {
  const problem = isProblem(body) ? body : undefined;
  if (answer.status === 429 || answer.status >= 500) return new Refusal('busy', problem);
  if (!problem && !isOurs) return new Refusal('portal');
  if (answer.status === 401) return new Refusal('unpaired', problem);
  if (answer.status === 403 && (!problem || problem.code === 'revoked')) return new Refusal('revoked', problem);
  return new Refusal('refused', problem);
}

/** Undefined for what is not JSON. @throws where the answer breaks off */
async function bodyOf(answer: Response): Promise<unknown> {
  const type = answer.headers.get('content-type') ?? '';
  if (answer.status === 204 || !/^application\/(problem\+)?json/.test(type)) return undefined;
  const text = await answer.text();
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

function sent(body: unknown): RequestInit {
  return { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify(body) };
}

/** A body gzipped where the browser can; notes of one walk shrink to a tenth. */
async function packed(text: string): Promise<RequestInit> {
  const json = { 'content-type': 'application/json' };
  if (typeof CompressionStream === 'undefined') return { method: 'POST', headers: json, body: text };
  const stream = new Blob([text]).stream().pipeThrough(new CompressionStream('gzip'));
  return {
    method: 'POST',
    headers: { ...json, 'content-encoding': 'gzip' },
    body: await new Response(stream).arrayBuffer(),
  };
}

function isPushAnswer(answer: unknown, batch: Push): answer is PushAnswer {
  if (!isObject(answer) || !isEpoch(answer['epoch']) || !isCount(answer['high']) || !isCount(answer['head']))
    return false;
  if (!Array.isArray(answer['given']) || answer['given'].length !== batch.entries.length) return false;
  if (answer['high'] < batch.from + batch.entries.length - 1) return false;
  return answer['given'].every((given: unknown, index) => {
    const entry = batch.entries[index] as { id: string };
    if (!isObject(given) || typeof given['state'] !== 'string' || !isObject(given['stamp'])) return false;
    // The server cannot name the id of bytes that it could not read; it quarantines them, in the batch's order.
    return given['id'] === entry.id || (given['id'] === '' && given['state'] !== 'merged');
  });
}

function isPull(answer: unknown, after: number): answer is Pull {
  if (!isObject(answer) || !isCount(answer['head']) || !isPage(answer, after)) return false;
  const first: unknown = (answer as { first?: unknown }).first;
  if (first === undefined) return true;
  return isObject(first) && typeof first['resume'] === 'string' && isCount(first['passed']) && isCount(first['up_to']);
}

function isPage(answer: unknown, after: number): answer is Page {
  if (!isObject(answer) || !isEpoch(answer['epoch'])) return false;
  if (!Array.isArray(answer['items']) || typeof answer['more'] !== 'boolean') return false;
  let last = after;
  return answer['items'].every((item: unknown) => {
    if (!isObject(item) || !isCount(item['position']) || item['position'] <= last) return false;
    last = item['position'];
    return isObject(item['entry']) && typeof item['entry']['id'] === 'string' && isObject(item['stamp']);
  });
}

function asMe(answer: unknown): Me {
  if (!isObject(answer) || typeof answer['device'] !== 'string' || typeof answer['person'] !== 'string') {
    throw new Refusal('portal');
  }
  if (!isEpoch(answer['epoch']) || !isCount(answer['inc'])) throw new Refusal('portal');
  return answer as unknown as Me;
}

function isProblem(body: unknown): body is Problem {
  return isObject(body) && typeof body['code'] === 'string' && typeof body['detail'] === 'string';
}

function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function isCount(value: unknown): value is number {
  return typeof value === 'number' && Number.isSafeInteger(value) && value >= 0;
}

function isEpoch(value: unknown): value is string {
  return typeof value === 'string' && value !== '';
}
