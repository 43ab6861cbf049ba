/**
 * A pack that is lost: its lots count as not here, so the next digest names them, and each is read again with its proof (lots.ts). Until the
 * server has said that all notes are here again, its walks are here in part, and no number comes of them.
 */
import { sumHex } from '../../../../sync/journal/journal';
import { unheard, type Work } from '../store/base';
import { randomId, wall } from '../store/device';
import { isSeenTo } from '../store/packs/packs';
import type { LotSum, Meta, PackHead, PartialWalks, Writer } from '../store/shape';
import { askToReread } from './mark';

/** Takes a pack away that cannot be read, and has its lots asked for again. */
export async function dropPack(work: Work, { name, body, lots, walks }: PackHead): Promise<void> {
  unheard(work.objectStore('packs').delete(name));
  unheard(work.objectStore('packed').delete(body));
  isSeenTo(name);
  await lose(work, lots, new Set(walks));
}

/** Counts lots as not here. What the server last said of all of them holds no more. */
export async function lose(work: Work, lots: readonly string[], walks: PartialWalks['walks']): Promise<void> {
  const meta = work.objectStore('meta');
  const kept = ['sums', 'digest', 'partial', 'writer'].map((key) => meta.get(key));
  const [sums, digest, before, writer] = (await Promise.all(kept)) as [
    Record<string, LotSum> | undefined,
    Meta['digest'] | undefined,
    PartialWalks | undefined,
    Writer | undefined,
  ];
  const none = lots.map((lot) => [lot, { count: 0, sum: sumHex(0n) }] as const);
  unheard(meta.put({ ...sums, ...Object.fromEntries(none) }, 'sums'));
  // They matched when they were last compared: since now they do not.
  if (digest) unheard(meta.put({ ...digest, equal: false, at: wall() }, 'digest'));
  const all = before?.walks === 'all' || walks === 'all' ? 'all' : new Set([...(before?.walks ?? []), ...walks]);
  const own: PartialWalks['own'] = writer && [writer.device, writer.inc, writer.seq];
  unheard(meta.put({ name: randomId(), walks: all, ...(own && { own }) } satisfies PartialWalks, 'partial'));
}

/** Of what was lost nobody can say which lots it had. No sum would show it, so the whole journal is read again. */
export async function loseUnknown(work: Work): Promise<void> {
  await lose(work, [], 'all');
  await askToReread(work);
}
