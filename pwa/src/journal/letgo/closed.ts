/**
 * Which lots a phone may be without, by records that every phone keeps: the lot with its shipping day, its stretches of bed and its ledger,
 * and the houses of the beds. Others are not let go, and one that is wanted again comes back.
 */
import { elsewhere } from '../../../../sync/fold/elsewhere';
import type { Reading } from '../store/base';
import { allBetween } from '../store/pages';
import { decodeRow, housesIn, type Writer } from '../store/shape';
import type { Field, Record as Folded } from '../../../../schema/types';
import { carriedOf } from './carried';
import { isLongShipped, QUIET_MS } from './shipped';

export interface Unwanted {
  /** Shipped a month ago or longer, by one word that nobody disputes; no pot left; every stretch of bed ended. */
  closed: ReadonlySet<string>;
  /** Alive or not, they have stood in none of this phone's houses for a month; none on a phone that has all houses. */
  away: ReadonlySet<string>;
}

export async function unwantedLots(work: Reading): Promise<Unwanted> {
  const records = work.objectStore('records');
  const between = async (prefix: string) =>
    (await allBetween(records, `${prefix}:`, `${prefix}:\uffff`, (row) => row.key)).map(
      (row) => decodeRow(row)?.record,
    );
  const carried = await carriedOf(work);
  const writer = (await work.objectStore('meta').get('writer')) as Writer | undefined;
  const [lots, spans, stocks, beds] = await Promise.all([
    between('lot'),
    between('span'),
    between('stock'),
    carried ? between('bed') : [],
  ]);
  const standing = new Set(spans.flatMap((span) => lotsOn(span)));
  const empty = new Set(stocks.flatMap((stock) => (stock?.stock?.pots === 0 ? [idOf(stock)] : [])));
  // A stretch that cannot be read may be any lot's.
  if (spans.includes(undefined)) return { closed: new Set(), away: new Set() };
  const now = writer?.floor ?? 0;
  const away = elsewhere(spans, beds, new Set(housesIn(carried)), now - QUIET_MS);
  const closed = new Set(
    lots.flatMap((lot) => {
      if (!lot || !isShipped(lot.register?.fields['shipped_on'], now)) return [];
      const id = idOf(lot);
      return empty.has(id) && !standing.has(id) ? [id] : [];
    }),
  );
  return { closed, away };
}

/** True where one live write names a day that is long past. */
function isShipped(shipped: Field | undefined, now: number): boolean {
  if (typeof shipped?.value !== 'string' || shipped.value === '') return false;
  return shipped.live.length === 1 && isLongShipped(shipped.value, now);
}

/** The lots that stand on a stretch, or of which somebody says so; none once it has ended without dispute. */
function lotsOn(span: Folded | undefined): string[] {
  const fields = span?.register?.fields;
  const ended = fields?.['ended'];
  if (!fields || (ended?.value === true && ended.live.length === 1)) return [];
  const lot = fields['lot'];
  return [lot?.value, ...(lot?.others ?? []).map(({ value }) => value)].filter((id) => typeof id === 'string');
}

function idOf({ key }: Folded): string {
  return key.slice(key.indexOf(':') + 1);
}
