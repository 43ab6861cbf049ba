/**
 * What this phone knows of the notes that it has let go: they have passed, so they stay in the sums of their lots, and the records
 * made from them stay in the sum of all records. Only what is kept here shrinks; what the cursor stands for never does.
 */
import { addSum, parseSum, subSum, sumHex } from '../../../../sync/journal/journal';
import { unheard, within, type Reading, type Work } from '../store/base';
import { recordSum } from '../store/folding';
import type { Gone, LotSum, Meta, Writer } from '../store/shape';

/** One of the maps of meta, empty where nothing was written yet. */
export async function mapOf<K extends 'gone' | 'owed' | 'kept'>(work: Reading, of: K): Promise<Meta[K]> {
  return ((await work.objectStore('meta').get(of)) as Meta[K] | undefined) ?? (new Map() as Meta[K]);
}

export const nothingGone: Gone = { count: 0, sum: sumHex(0n), records: sumHex(0n), last: 0 };

/** Adds to the sum of all records; a negative change is a sum to be taken out. */
export async function moveRecordSum(
  work: Work,
  { add = '', take = '' }: { add?: string; take?: string },
): Promise<void> {
  let sum = parseSum(await recordSum(work));
  if (add) sum = addSum(sum, parseSum(add));
  if (take) sum = subSum(sum, parseSum(take));
  unheard(work.objectStore('meta').put(sumHex(sum), 'recordSum'));
}

/** All that was let go of a lot is here again. @param gone as it stands, which loses the lot */
export async function isBack(work: Work, gone: Meta['gone'], lot: string): Promise<void> {
  const meta = work.objectStore('meta');
  const { records } = gone.get(lot) ?? nothingGone;
  gone.delete(lot);
  unheard(meta.put(gone, 'gone'));
  unheard(meta.delete(`summary:${lot}`));
  await moveRecordSum(work, { take: records });
}

/** True on a phone that has let notes go, or that owes what came late for them. */
export async function hasAny(what: 'gone' | 'owed'): Promise<boolean> {
  return within('readonly', ['meta'], async (work) => (await mapOf(work, what)).size > 0);
}

/** The highest position of a note that was let go, or that was counted into what was. */
export async function lastGone(work: Work): Promise<number> {
  return [...(await mapOf(work, 'gone')).values()].reduce((last, gone) => Math.max(last, gone.last), 0);
}

/** The sums of lots as far as they are of notes that are not here. */
export async function sumsOfGone(work: Work): Promise<Record<string, LotSum>> {
  const gone = await mapOf(work, 'gone');
  return Object.fromEntries([...gone].map(([lot, { count, sum }]) => [lot, { count, sum }]));
}

/**
 * Nothing is gone any more: for when the whole journal is read again, and brings all notes back. The records of what was gone
 * leave the sum, since they are added again as they come. How many notes such a lot had stays known: a server that was set back may
 * have fewer, which nobody could see once the sums follow it. Comes before the sums are written again.
 */
export async function forgetGone(work: Work): Promise<void> {
  const meta = work.objectStore('meta');
  const gone = await mapOf(work, 'gone');
  if (gone.size > 0) await keepCounted(work, [...gone.keys()]);
  for (const { records } of gone.values()) await moveRecordSum(work, { take: records });
  for (const key of ['gone', 'owed']) unheard(meta.delete(key));
}

async function keepCounted(work: Work, of: readonly string[]): Promise<void> {
  const meta = work.objectStore('meta');
  const [sums, before, writer] = (await Promise.all(['sums', 'counted', 'writer'].map((key) => meta.get(key)))) as [
    Meta['sums'] | undefined,
    Meta['counted'] | undefined,
    Writer | undefined,
  ];
  const lots = new Map(before?.lots);
  for (const lot of of) lots.set(lot, Math.max(lots.get(lot) ?? 0, sums?.[lot]?.count ?? 0));
  unheard(meta.put({ since: before?.since ?? writer?.floor ?? 0, lots } satisfies Meta['counted'], 'counted'));
}

/** How long other devices have to give back what a server that was set back has lost, by the server's clock. */
const OTHERS_HAVE_MS = 24 * 60 * 60_000;

/**
 * What this phone had counted of lots before it read the journal again, once it is time to tell; undefined before, while anything is
 * still missing, and after it was told.
 */
export async function countedBefore(work: Reading): Promise<Meta['counted'] | undefined> {
  const meta = work.objectStore('meta');
  const [counted, writer, unconfirmed] = (await Promise.all(
    ['counted', 'writer', 'unconfirmed'].map((key) => meta.get(key)),
  )) as [Meta['counted'] | undefined, Writer | undefined, unknown];
  if (!counted || !writer || unconfirmed !== undefined) return undefined;
  return writer.floor < counted.since + OTHERS_HAVE_MS ? undefined : counted;
}
