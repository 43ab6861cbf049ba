/** Tells the server what this phone holds, and keeps its verdict: "equal at position N, at time T". */
import { within } from './base';
import { publish } from './changes';
import { wall } from './clock';
import { waitingPhotos } from './photos';
import type { Cursor, LotSum, Writer } from './shape';
import { digest } from './wire';

let lastTold = '';

/** @returns true when the server holds the same; also true, unasked, when nothing changed since it last said so */
export async function tellDigest(cursor: Cursor): Promise<boolean> {
  const { writer, sums, pending } = await within('readonly', ['meta', 'entries'], async (work) => ({
    writer: (await work.objectStore('meta').get('writer')) as Writer | undefined,
    sums: ((await work.objectStore('meta').get('sums')) as Record<string, LotSum> | undefined) ?? {},
    pending: await work.objectStore('entries').index('pending').count(),
  }));
  if (!writer) return true;
  const photos = await waitingPhotos();
  const told = `${cursor.epoch} ${cursor.position} ${pending} ${photos}`;
  if (told === lastTold) return true;
  const answer = await digest({
    device: writer.device,
    epoch: cursor.epoch,
    position: cursor.position,
    lots: Object.entries(sums).map(([lot, sum]) => ({ lot, ...sum })),
    pending,
    photos,
    sent_wall: wall(),
  });
  await within('readwrite', ['meta'], async (work) => {
    await work.objectStore('meta').put({ equal: answer.equal, position: cursor.position, at: wall() }, 'told');
  });
  lastTold = answer.equal ? told : '';
  publish({ queue: true });
  return answer.equal;
}
