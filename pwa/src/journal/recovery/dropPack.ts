/** A pack that is lost: its lots count as not here, so the next digest names them, and each is read again with its proof (lots.ts). */
import { sumHex } from '../../../../sync/journal/journal';
import { unheard, type Work } from '../store/base';
import { isSeenTo } from '../store/packs/packs';
import type { LotSum, Meta, PackHead } from '../store/shape';

/** Takes a pack away that cannot be read, and has its lots asked for again. */
export async function dropPack(work: Work, { name, body, lots }: PackHead): Promise<void> {
  unheard(work.objectStore('packs').delete(name));
  unheard(work.objectStore('packed').delete(body));
  isSeenTo(name);
  await lose(work, lots);
}

/** Counts lots as not here. What the server last said of all of them holds no more. */
export async function lose(work: Work, lots: readonly string[]): Promise<void> {
  const meta = work.objectStore('meta');
  const [sums, digest] = (await Promise.all(['sums', 'digest'].map((key) => meta.get(key)))) as [
    Record<string, LotSum> | undefined,
    Meta['digest'] | undefined,
  ];
  const none = lots.map((lot) => [lot, { count: 0, sum: sumHex(0n) }] as const);
  unheard(meta.put({ ...sums, ...Object.fromEntries(none) }, 'sums'));
  if (digest) unheard(meta.put({ ...digest, equal: false }, 'digest'));
}
