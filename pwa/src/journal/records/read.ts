/** Reads what is too much to hold in memory: pots and facts of a walk, a bed or a lot, and one's own notes. */
import { useEffect, useLayoutEffect, useMemo, useState } from 'preact/hooks';
import type { Fact, Pot } from '../../../../schema/types';
import { base, within, type Reading } from '../store/base';
import { subscribe, type Changed } from '../store/changes';
import { decodeRows } from '../recovery/damaged';
import { packsIn, packsScript } from '../store/packs/script';
import { allUnder } from '../store/pages';
import { nextTask } from '../store/pause';
import { decodeRow, type PartialWalks, type RecordRow } from '../store/shape';

export interface PotRow extends Pot {
  id: string;
}

export interface FactRow extends Fact {
  id: string;
}

/** A walk's pots as they were noted, struck out ones too. Null while some were lost here and are being read again: no number comes of the rest. */
export async function potsOfWalk(walk: string): Promise<PotRow[] | null> {
  const { rows, isPartial } = await rowsOfWalk(walk);
  return isPartial ? null : potsIn(rows);
}

interface RowsOfWalk {
  rows: RecordRow[];
  /** True while some of its pots were lost here and are being read again. */
  isPartial: boolean;
}

async function rowsOfWalk(walk: string): Promise<RowsOfWalk> {
  const { kept, packed, isPartial } = await within('readonly', ['entries', 'records', 'meta'], async (work) => {
    const index = work.objectStore('records').index('walk');
    const [kept, partial] = await Promise.all([
      allUnder(index, walk, (row) => row.key),
      work.objectStore('meta').get('partial') as Promise<PartialWalks | undefined>,
    ]);
    const packs = await packsIn(work);
    packs?.onDamagedPack(seeToPacks);
    const packed = packs ? await packs.packedRecordsOfWalk(work, walk) : [];
    return { kept, packed, isPartial: !packed || (partial !== undefined && (await isLackedBy(work, walk, partial))) };
  }).catch(async (error: unknown) => {
    // A pack of which the browser refuses the bytes has ended the reading; without it there is another.
    if (!(await packsScript()).isLost(error)) throw error;
    return { kept: [], packed: [], isPartial: true };
  });
  const known = new Set(kept.map(({ key }) => key));
  return { rows: [...decodeRows(kept), ...(packed ?? []).filter(({ key }) => !known.has(key))], isPartial };
}

/** True for a walk of which pots were lost, or may have been. */
async function isLackedBy(work: Reading, walk: string, { walks, own }: PartialWalks): Promise<boolean> {
  if (walks !== 'all') return walks.has(walk);
  const row = await work.objectStore('records').get(`walk:${walk}`);
  const begun = row && decodeRow(row)?.record.walk?.by?.entry;
  const mine = (await work.objectStore('entries').get(begun ?? ''))?.own;
  return !own || mine?.[0] !== own[0] || indexedDB.cmp(mine, own) <= 0;
}

function seeToPacks(): void {
  // Where it fails, as on a phone that is full, the next reading finds the pack again.
  void import('../recovery/packs').then((it) => it.repairPacks()).catch(() => undefined);
}

function potsIn(rows: readonly RecordRow[]): PotRow[] {
  return rows
    .flatMap(({ key, record }) => (record.pot ? [{ ...record.pot, id: key.slice('pot:'.length) }] : []))
    .sort((a, b) => a.first.stamp.at - b.first.stamp.at || Number(isPending(a)) - Number(isPending(b)));
}

function isPending(pot: PotRow): boolean {
  return pot.first.stamp.quality === 'pending';
}

/**
 * A walk's pots and skips, read once and then kept up from what every save tells: reading a walk again after each pot
 * would take longer than saving it. Undefined until they are first there.
 */
export function useWalk(walk: string): { pots: PotRow[]; skips: FactRow[]; isPartial: boolean } | undefined {
  const [held, hold] = useState<{ walk: string; rows: readonly RecordRow[]; isPartial: boolean } | undefined>(
    undefined,
  );
  // Not after the next frame: the first card of a walk waits for this.
  useLayoutEffect(() => followWalk(walk, (rows, isPartial) => hold({ walk, rows, isPartial })), [walk]);
  return useMemo(
    () =>
      held?.walk === walk ? { pots: potsIn(held.rows), skips: facts(held.rows), isPartial: held.isPartial } : undefined,
    [held, walk],
  );
}

/** Tells a walk's rows now and after each change, until the returned function is called; and whether some are being read again. */
export function followWalk(walk: string, tell: (rows: readonly RecordRow[], isPartial: boolean) => void): () => void {
  let rows: Map<string, RecordRow> | undefined;
  let isPartial = false;
  let asked = 0;
  /** Changes that came while the database was read, and may be missing in what it gives. */
  let meanwhile: Pick<Changed, 'rows' | 'gone'>[] = [];
  const read = async () => {
    const mine = ++asked;
    meanwhile = [];
    const found = await rowsOfWalk(walk);
    // Computed and drawn in another task than the reading, which is long enough.
    await nextTask();
    if (mine !== asked) return;
    rows = new Map(found.rows.map((row) => [row.key, row]));
    isPartial = found.isPartial;
    for (const each of meanwhile) change(rows, each);
    asked = 0;
    tell([...rows.values()], isPartial);
  };
  const change = (into: Map<string, RecordRow>, { rows: changed, gone }: Pick<Changed, 'rows' | 'gone'>): void => {
    for (const key of gone) into.delete(key);
    for (const row of changed) if (row.record) into.set(row.key, row as RecordRow);
  };
  const stop = subscribe((changes) => {
    const mine = { rows: changes.rows.filter((row) => row.walk === walk), gone: changes.gone };
    if (changes.partial || mine.rows.some((row) => !row.record)) return void read();
    if (asked > 0) meanwhile.push(mine);
    if (!rows || (mine.rows.length === 0 && !mine.gone.some((key) => rows?.has(key)))) return;
    change(rows, mine);
    tell([...rows.values()], isPartial);
  });
  void read();
  return () => {
    asked = -1;
    stop();
  };
}

/** Facts of one kind about a bed or a lot, newest first. */
export async function factsOf(by: 'bed' | 'lot', kind: string, id: string): Promise<FactRow[]> {
  const { store } = (await base()).transaction('records');
  const index = store.index(by === 'bed' ? 'factBed' : 'factLot');
  const rows = await allUnder(index, [kind, id], (row) => row.key);
  return facts(decodeRows(rows)).sort((a, b) => b.by.stamp.at - a.by.stamp.at);
}

function facts(rows: readonly RecordRow[]): FactRow[] {
  return rows.flatMap(({ key, record }) => (record.fact ? [{ ...record.fact, id: key.slice('fact:'.length) }] : []));
}

/**
 * A value read from the database, read again after every change; undefined until it is first there.
 * @param kind the records that it is made of, where they are of one kind: no other change has it read again
 */
export function useStored<T>(read: () => Promise<T>, on: readonly unknown[], kind?: string): T | undefined {
  const [held, hold] = useState<{ on: readonly unknown[]; value: T } | undefined>(undefined);
  useEffect(() => {
    let current = true;
    let reads = 0;
    const refresh = async () => {
      const mine = ++reads;
      const value = await read();
      // A slow reading must not replace the newer one that overtook it.
      if (current && mine === reads) hold({ on, value });
    };
    void refresh();
    const stop = subscribe(({ rows, gone, partial }) => {
      const isOfIt = (key: string) => !kind || key.startsWith(`${kind}:`);
      if (rows.some(({ key }) => isOfIt(key)) || gone.some(isOfIt) || partial) void refresh();
    });
    return () => {
      current = false;
      stop();
    };
  }, on);
  return held && held.on.every((value, index) => value === on[index]) ? held.value : undefined;
}
