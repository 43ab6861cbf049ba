/** Lots that somebody wants on this phone: for a day, or until they are unpinned. */
import { within } from '../store/base';
import { publish } from '../store/changes';
import type { LotSummary, Writer } from '../store/shape';
import { wake } from '../worker/wake';
import { mapOf } from './gone';

const DAY_MS = 24 * 60 * 60_000;

/** What a screen shows of a lot's notes. */
export interface Whereabouts {
  /** How many notes of the lot are not on this phone, and what is known of it without them. */
  gone: number;
  summary?: LotSummary;
  pinned: boolean;
  /** True while notes that are not here are wanted: they come as soon as the server is in range. */
  asked: boolean;
}

export async function whereabouts(lot: string): Promise<Whereabouts> {
  return within('readonly', ['meta'], async (work) => {
    const meta = work.objectStore('meta');
    const writer = (await meta.get('writer')) as Writer | undefined;
    const summary = (await meta.get(`summary:${lot}`)) as LotSummary | undefined;
    const gone = (await mapOf(work, 'gone')).get(lot)?.count ?? 0;
    const until = (await mapOf(work, 'kept')).get(lot) ?? 0;
    return {
      gone,
      ...(summary && { summary }),
      pinned: until === Infinity,
      asked: gone > 0 && until > (writer?.floor ?? 0),
    };
  });
}

/** Asks for a lot for a day (by the server's clock), pins it, or lets it go again by itself. */
export async function keepLot(lot: string, how: 'day' | 'pinned' | 'free'): Promise<void> {
  await within('readwrite', ['meta'], async (work) => {
    const kept = await mapOf(work, 'kept');
    const writer = (await work.objectStore('meta').get('writer')) as Writer | undefined;
    if (how === 'free') kept.delete(lot);
    else kept.set(lot, how === 'pinned' ? Infinity : (writer?.floor ?? 0) + DAY_MS);
    await work.objectStore('meta').put(kept, 'kept');
  });
  publish({ queue: true });
  wake('asked');
}
