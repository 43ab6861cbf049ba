/** All that a phone holds, whether it lies in rows or in packs. */
import { textHash } from '../../../sync/fold/fold';
import { sumHex } from '../../../sync/journal/journal';
import type { openTab } from './nursery.testing';
import { madeOf, rowOf } from './store/made';
import { Pack } from './store/packs/columns';
import { rowsIn } from './store/packs/packs';
import type { EntryRow, KeptRow, PackHead } from './store/shape';

type Phone = Awaited<ReturnType<typeof openTab>>;

/** What lies in packs, in the order of their names. */
export async function packsOf(phone: Phone): Promise<{ head: PackHead; rows: EntryRow[] }[]> {
  const open = await phone.base.base();
  const heads = await open.getAll('packs');
  return Promise.all(
    heads.map(async (head) => {
      const body = await open.get('packed', head.body);
      return { head, rows: body ? rowsIn(head, new Pack(body)) : [] };
    }),
  );
}

export async function packedIds(phone: Phone): Promise<string[]> {
  return (await packsOf(phone)).flatMap(({ rows }) => rows.map(({ id }) => id)).sort();
}

/** Notes in the order of their ids; what has a row is what the row says. */
export async function entriesOn(phone: Phone): Promise<EntryRow[]> {
  const rows = await (await phone.base.base()).getAll('entries');
  const all = new Map((await packsOf(phone)).flatMap((pack) => pack.rows).map((row) => [row.id, row]));
  for (const row of rows) all.set(row.id, row);
  return [...all.values()].sort((a, b) => (a.id < b.id ? -1 : 1));
}

/** Records in the order of their keys. */
export async function recordsOn(phone: Phone): Promise<KeptRow[]> {
  const rows = await (await phone.base.base()).getAll('records');
  const packed = (await packsOf(phone)).flatMap((pack) => pack.rows);
  const all = new Map(packed.flatMap(keptOf).map((row) => [row.key, row]));
  for (const row of rows) all.set(row.key, row);
  return [...all.values()].sort((a, b) => (a.key < b.key ? -1 : 1));
}

function keptOf(row: EntryRow): KeptRow[] {
  const made = madeOf(`pot:${row.id}`, [row]);
  if (!made?.record) return [];
  const { record: _kept, ...kept } = rowOf(made.record);
  return [{ ...kept, text: made.text, hash: sumHex(textHash(made.text)) }];
}
