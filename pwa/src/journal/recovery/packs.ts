/**
 * Packs that cannot be read, or that do not say what they hold. All that is in a pack came from the server: the lots
 * of a pack that is lost count as not here, so the next digest names them, and each is read again with its proof (lots.ts).
 */
import { unheard, within, type Work } from '../store/base';
import { publish } from '../store/changes';
import { hashOf } from '../store/made';
import { Pack, type PackBody } from '../store/packs/columns';
import {
  bodyNamed,
  countNote,
  damagedPacks,
  HEADS,
  headOf,
  headsOf,
  isLost,
  isSeenTo,
  keysOf,
  LOT,
  openPack,
  placesIn,
  replaceHead,
  rowAt,
  WALK,
} from '../store/packs/packs';
import type { EntryRow, LotSum, PackHead } from '../store/shape';
import { wake } from '../worker/wake';
import { dropPack, lose, loseUnknown } from './dropPack';

/** Puts right what a reading found. What lost one may have lost others. */
export async function repairPacks(): Promise<void> {
  await pairPacks().catch((error: unknown) => {
    if (!isLost(error)) throw error;
  });
  if (damagedPacks().some(([name]) => name === HEADS)) {
    await dropRefusedHeads();
    await pairPacks();
  }
  await dropDamagedPacks();
}

/** Takes away the heads that the browser refuses, each with its body: of a head alone that is gone no number would show that pots are lost. */
async function dropRefusedHeads(): Promise<void> {
  const names = await within('readonly', ['entries'], (work) => keysOf(work.objectStore('packs')));
  let dropped = 0;
  for (const name of names) {
    // A question that is refused ends its transaction.
    await within('readonly', ['entries'], (work) => work.objectStore('packs').get(name)).catch(async (error) => {
      if (!isLost(error)) throw error;
      await readOrNot(async (work, read) => {
        // Another thread may have found it too.
        if ((await work.objectStore('packs').getKey(name)) === undefined) return;
        unheard(work.objectStore('packs').delete(name));
        const body = bodyNamed(name);
        if (!body || !(await loseBody(work, body, read))) await loseUnknown(work);
      });
      dropped++;
    });
  }
  isSeenTo(HEADS);
  if (dropped > 0) tell();
}

function tell(): void {
  publish({ queue: true, partial: true });
  wake('asked');
}

/** Takes away what this thread could not read. */
async function dropDamagedPacks(): Promise<void> {
  const names = damagedPacks();
  if (names.length === 0) return;
  await within('readwrite', ['entries', 'meta'], async (work) => {
    for (const [name, refused] of names) {
      const head = await work.objectStore('packs').get(name);
      if (head && (refused || !(await openPack(work, head)))) await dropPack(work, head);
      else isSeenTo(name);
    }
  });
  tell();
}

/** Each head has its body, and each body its head. */
async function pairPacks(): Promise<void> {
  const { alone, lost } = await within('readwrite', ['entries', 'meta'], async (work) => {
    const bodies = new Set(await keysOf(work.objectStore('packed')));
    const lost = (await headsOf(work)).filter(({ body }) => !bodies.delete(body));
    for (const head of lost) await dropPack(work, head);
    return { alone: bodies, lost: lost.length };
  });
  // Body and head are written and taken away together: one that is alone stays so.
  for (const body of alone) await readOrNot((work, read) => loseBody(work, body, read));
  // Who reads again where nothing has changed would find the same.
  if (lost + alone.size > 0) tell();
}

/** Takes a body away; where the browser refuses to give it, which ends the transaction that asks, without reading it. */
async function readOrNot(drop: (work: Work, read: boolean) => Promise<unknown>): Promise<void> {
  const once = (read: boolean) => within('readwrite', ['entries', 'meta'], (work) => drop(work, read));
  await once(true).catch(async (error: unknown) => {
    if (!isLost(error)) throw error;
    await once(false);
  });
}

/** A body without its head: nobody finds its notes. @returns false where it is gone too */
async function loseBody(work: Work, body: string, read: boolean): Promise<boolean> {
  const kept = read ? await work.objectStore('packed').get(body) : undefined;
  if (read && !kept) return false;
  unheard(work.objectStore('packed').delete(body));
  const pack = kept && readable(kept);
  if (pack) await lose(work, [...new Set(pack.cells(LOT) as string[])], new Set(pack.cells(WALK) as string[]));
  else await loseUnknown(work);
  return true;
}

function readable(body: PackBody): Pack | undefined {
  try {
    return new Pack(body);
  } catch {
    return undefined;
  }
}

/**
 * Holds a pack to what its head says of it, and takes out what has a row.
 * @param unconfirmed true where the server may have lost all that is in it
 * @returns the notes that are in; undefined for a pack that could not be read and is gone
 */
export async function checkPack(
  work: Work,
  head: PackHead,
  unconfirmed = head.unconfirmed,
): Promise<EntryRow[] | undefined> {
  const pack = await openPack(work, head);
  if (!pack) {
    await dropPack(work, head);
    return undefined;
  }
  const places = placesIn(head);
  const there = await Promise.all(places.map((at) => work.objectStore('entries').getKey(pack.id(at))));
  const twice = places.filter((_, i) => there[i] !== undefined);
  const rows = places.filter((_, i) => there[i] === undefined).map((at) => rowAt(head, pack, at));
  const sums = new Map<string, LotSum>();
  for (const row of rows) countNote(sums, row.entry.lot ?? '', hashOf(row), 1);
  const next = { ...head, out: [...head.out, ...twice].sort((a, b) => a - b), ...(unconfirmed && { unconfirmed }) };
  if (rows.length === 0 || !isSame(headOf(next, pack, sums), head)) replaceHead(work, head.name, next, pack, sums);
  return rows;
}

function isSame(one: PackHead, other: PackHead): boolean {
  const said = ({ name: _name, ids, sums, walks, lots, ...rest }: PackHead) =>
    JSON.stringify([Object.entries(rest).sort(), [...ids], [...sums].sort(), [...walks].sort(), [...lots].sort()]);
  return said(one) === said(other);
}
