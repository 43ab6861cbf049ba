/** Reads what is too much to hold in memory: pots and facts of a walk, a bed or a lot, and one's own notes. */
import { useEffect, useState } from 'preact/hooks';
import type { Fact, Pot } from '../../../schema/types';
import { base } from './base';
import { hear } from './changes';
import type { EntryRow, RecordRow } from './shape';

export interface PotRow extends Pot {
  id: string;
}

export interface FactRow extends Fact {
  id: string;
}

/** A walk's pots as they were noted, struck out ones too. */
export async function potsOfWalk(walk: string): Promise<PotRow[]> {
  const rows = await (await base()).getAllFromIndex('records', 'walk', walk);
  return rows
    .flatMap(({ key, record }) => (record.pot ? [{ ...record.pot, id: key.slice('pot:'.length) }] : []))
    .sort((a, b) => a.first.stamp.at - b.first.stamp.at || Number(isPending(a)) - Number(isPending(b)));
}

function isPending(pot: PotRow): boolean {
  return pot.first.stamp.quality === 'pending';
}

export async function skipsOfWalk(walk: string): Promise<FactRow[]> {
  return facts(await (await base()).getAllFromIndex('records', 'walk', walk));
}

/** Facts of one kind about a bed or a lot, newest first. */
export async function factsOf(by: 'bed' | 'lot', kind: string, id: string): Promise<FactRow[]> {
  const rows = await (await base()).getAllFromIndex('records', by === 'bed' ? 'factBed' : 'factLot', [kind, id]);
  return facts(rows).sort((a, b) => b.by.stamp.at - a.by.stamp.at);
}

function facts(rows: readonly RecordRow[]): FactRow[] {
  return rows.flatMap(({ key, record }) => (record.fact ? [{ ...record.fact, id: key.slice('fact:'.length) }] : []));
}

/** The newest notes written on this phone, newest first. */
export async function ownNotes(device: string, most: number): Promise<EntryRow[]> {
  const range = IDBKeyRange.bound([device], [device, []]);
  let cursor = await (await base()).transaction('entries').store.index('own').openCursor(range, 'prev');
  const rows: EntryRow[] = [];
  while (cursor && rows.length < most) {
    rows.push(cursor.value);
    cursor = await cursor.continue();
  }
  return rows;
}

/** A value read from the database, read again after every change; undefined until it is first there. */
export function useStored<T>(read: () => Promise<T>, on: readonly unknown[]): T | undefined {
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
    const stop = hear(() => void refresh());
    return () => {
      current = false;
      stop();
    };
  }, on);
  return held && held.on.every((value, index) => value === on[index]) ? held.value : undefined;
}
