/**
 * The way to packs for the first scripts: what reads packs comes as a script of its own, when there are any. A transaction cannot wait for
 * a script, so one that finds packs and no script is begun again when the script is here.
 */
import { ScriptNeeded, type Reading, type Work } from '../base';

type Script = typeof import('./takeOut');

let script: Script | undefined;

export async function packsScript(): Promise<Script> {
  return (script ??= await import('./takeOut'));
}

/** True where this thread has found packs that cannot be read. */
export function areDamaged(): boolean {
  return script !== undefined && script.damagedPacks().length > 0;
}

/**
 * What reads packs; undefined where there is none, or was none so far.
 * @throws ScriptNeeded, upon which `within` does its work again with the script
 */
export async function packsIn(work: Reading): Promise<Script | undefined> {
  // Not counted: a browser goes over all of them for that.
  if (script || (await work.objectStore('packs').getKey(IDBKeyRange.lowerBound(''))) === undefined) return script;
  throw new ScriptNeeded(packsScript);
}

/** Takes out of packs what these records are made of. */
export async function takeOut(work: Work, keys: Iterable<string>): Promise<void> {
  const pots = await potsWithoutRow(work, keys);
  if (pots.length > 0) await (await packsIn(work))?.takeOut(work, pots);
}

/** Those of these records that may be made of what lies in packs. What has a row, as all own pots, is what its row says. */
export async function potsWithoutRow(work: Work, keys: Iterable<string>): Promise<string[]> {
  const pots = [...keys].filter((key) => key.startsWith('pot:'));
  const entries = work.objectStore('entries');
  const there = await Promise.all(pots.map((key) => entries.getKey(key.slice('pot:'.length))));
  return pots.filter((_, i) => there[i] === undefined);
}
