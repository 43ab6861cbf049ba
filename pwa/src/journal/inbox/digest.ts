/** Sends the server the digest of what this phone holds, and keeps its verdict: "equal at position N, at time T". */
import { foldVersion } from '../../../../schema/kinds';
import type { DigestAnswer } from '../../../../schema/types';
import { within } from '../store/base';
import { publish } from '../store/changes';
import { wall } from '../store/device';
import { countedBefore, mapOf } from '../letgo/gone';
import { pendingPhotos } from '../outbox/photos';
import { totalHex } from '../../../../sync/fold/fold';
import { parseSum, sumHex } from '../../../../sync/journal/journal';
import type { Cursor, LotSum, Meta, PartialWalks, Writer } from '../store/shape';
import { digest } from '../wire';

let lastSent = '';

export interface Compared {
  /** The server's, where something differs. Not there when it holds the same, also, unasked, when nothing changed since it last said so. */
  answer?: DigestAnswer;
  /** True where it has just said that the records are the same too, which it is not asked while notes of here are unsent. */
  areRecordsEqual: boolean;
}

/** @param sumsOfRecords what the records of each lot add up to, where they are to be compared lot by lot */
export async function sendDigest(
  cursor: Cursor,
  sumsOfRecords: ReadonlyMap<string, string> = new Map(),
): Promise<Compared> {
  const { writer, sums, gone, owed, pending, records, isLost, partial } = await within(
    'readonly',
    ['meta', 'entries'],
    async (work) => {
      const meta = work.objectStore('meta');
      const entries = work.objectStore('entries');
      const [writer, sums, sent, recordSum, said, partial] = await Promise.all(
        ['writer', 'sums', 'sent', 'recordSum', 'digest', 'partial'].map((of) => meta.get(of)),
      );
      const states = entries.index('state');
      const [pending, parked, quarantined, inReview, unconfirmed] = await Promise.all([
        states.count('queued'),
        states.count('parked'),
        states.count('quarantined'),
        states.count('inReview'),
        meta.get('unconfirmed'),
      ]);
      const [gone, owed] = [await mapOf(work, 'gone'), await mapOf(work, 'owed')];
      const apart = quarantined + inReview + (unconfirmed ? 1 : 0);
      // The records hold what is unsent or in quarantine too, what the server has lost, and what was sent since the last
      // page: then they are no matter of comparing. Nor are they while what a late note changed is owed.
      const ahead = ((sent as Meta['sent'] | undefined)?.position ?? 0) > cursor.position;
      return {
        writer: writer as Writer | undefined,
        sums: (sums as Record<string, LotSum> | undefined) ?? {},
        gone,
        owed: owed.size,
        pending,
        // Something that was here when it was last compared is not any more.
        isLost: (said as Meta['digest'] | undefined)?.equal === false,
        partial: partial as PartialWalks | undefined,
        records:
          pending + parked + apart + owed.size === 0 && !ahead && recordSum
            ? totalHex(parseSum(recordSum as string))
            : undefined,
      };
    },
  );
  const unasked = { areRecordsEqual: false };
  if (!writer) return unasked;
  const photos = await pendingPhotos();
  const report = `${cursor.epoch} ${cursor.position} ${pending} ${photos}`;
  const counted = await within('readonly', ['meta'], countedBefore);
  if (report === lastSent && owed === 0 && !counted && !isLost) return unasked;
  // A lot of which the server has nothing any more is named too.
  const none = { count: 0, sum: sumHex(0n) };
  const bare = [...(counted?.lots.keys() ?? []), ...sumsOfRecords.keys()];
  const lots = { ...Object.fromEntries(bare.map((lot) => [lot, none])), ...sums };
  const answer = await digest({
    device: writer.device,
    epoch: cursor.epoch,
    position: cursor.position,
    lots: Object.entries(lots).map(([lot, sum]) => {
      const away = gone.get(lot)?.count;
      const before = counted?.lots.get(lot) ?? 0;
      const record_sum = sumsOfRecords.get(lot);
      return {
        lot,
        ...sum,
        ...(away && { gone: away }),
        ...(record_sum && { record_sum }),
        ...(before > sum.count && { counted: before }),
      };
    }),
    ...(records === undefined ? {} : { records }),
    fold: foldVersion,
    pending,
    photos,
    sent_wall: wall(),
  });
  // Of other kinds other records are made: that is no difference to repair.
  const server = answer.fold ?? 0;
  const areEqual = answer.equal || (server !== foldVersion && !answer.differ?.length);
  const equal = await within('readwrite', ['meta'], async (work) => {
    const meta = work.objectStore('meta');
    const older = server > foldVersion && { older: true as const };
    const [now, recovery] = (await Promise.all([meta.get('partial'), meta.get('recovery')])) as [
      PartialWalks | undefined,
      Meta['recovery'] | undefined,
    ];
    // What was lost while the answer was on its way was counted as here; what nobody can name is missing in no sum until it is read again.
    const isSame = now?.name === partial?.name && recovery?.reread === undefined;
    const equal = areEqual && isSame;
    await meta.put({ equal, position: cursor.position, at: wall(), ...older }, 'digest');
    // The notes are here, though records may go on differing.
    if (isSame && (areEqual || !answer.differ?.length)) await meta.delete('partial');
    // Told once: the server keeps it for the supervisor.
    if (counted && ((await meta.get('counted')) as Meta['counted'] | undefined)?.since === counted.since)
      await meta.delete('counted');
    return equal;
  });
  // Once nothing is owed any more, records are compared at the same head.
  lastSent = equal && owed === 0 ? report : '';
  publish({ queue: true, partial: partial !== undefined });
  return areEqual
    ? { areRecordsEqual: equal && records !== undefined && server === foldVersion }
    : { answer, areRecordsEqual: false };
}
