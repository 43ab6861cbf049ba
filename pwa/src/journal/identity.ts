/** Who this phone is: kept beside the notes, so that a phone out of range knows it too. */
import type { Me } from '../../../schema/types';
import { rekey } from './recovery/rekey';
import { requeueAfter } from './recovery/unfinished';
import { base, within } from './store/base';
import { publish } from './store/changes';
import { wall } from './store/device';
import type { Cursor, KnownMe, Writer } from './store/shape';
import { incarnation } from './wire';

export async function knownMe(): Promise<KnownMe | undefined> {
  return (await (await base()).get('meta', 'me')) as KnownMe | undefined;
}

/** True where notes are written here as the device and the person that the server names. */
export async function isWriter({ device, person }: Me): Promise<boolean> {
  const writer = (await (await base()).get('meta', 'writer')) as Writer | undefined;
  return writer?.device === device && writer.person === person;
}

/**
 * Takes the server's word on who this device is. A device whose storage was cleared or set back has fewer notes than
 * the server has of it: it goes on under a new incarnation, so that no two notes ever share a number.
 */
export async function become(me: Me): Promise<void> {
  const before = await keep(me);
  if (before && before.device === me.device && before.person === me.person) {
    if (before.inc === me.inc && me.high > before.seq) await restart(me);
    // Less than it once acknowledged: its disk was set back, whether it knows that or not.
    else await requeueAfter(me.device, me.inc, me.high);
    return;
  }
  if (before) await rekey((old) => renamed(old, me));
  else if (me.high > 0) await restart(me);
}

function renamed(old: Writer, me: Me): Writer {
  const earlier = [...(old.earlier ?? []), ...(old.device === me.device ? [] : [old.device])];
  return { ...old, device: me.device, person: me.person, inc: me.inc, seq: 0, chain: '', earlier };
}

async function restart(me: Me): Promise<void> {
  const inc = await incarnation();
  await rekey((old) => ({ ...old, device: me.device, inc, seq: 0, chain: '' }));
}

/** Writes what the server says, and a writer where there was none. @returns the writer as it was before */
async function keep(me: Me): Promise<Writer | undefined> {
  const before = await within('readwrite', ['meta'], async (work) => {
    const meta = work.objectStore('meta');
    const writer = (await meta.get('writer')) as Writer | undefined;
    const cursor = (await meta.get('cursor')) as Cursor | undefined;
    await meta.put({ ...me, heard: wall() } satisfies KnownMe, 'me');
    const fromHere = { epoch: me.epoch, position: 0, head: me.head, backedUpTo: 0, whole: false, began: me.server_now };
    if (!cursor) await meta.put(fromHere satisfies Cursor, 'cursor');
    const fresh = { device: me.device, inc: me.inc, person: me.person, seq: 0, chain: '', floor: me.server_now };
    if (!writer) await meta.put(fresh, 'writer');
    return writer;
  });
  publish({ queue: true });
  return before;
}
