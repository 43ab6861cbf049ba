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

/**
 * What reads packs; undefined where there is none, or was none so far.
 * @throws ScriptNeeded, upon which `within` does its work again with the script
 */
export async function packsIn(work: Reading): Promise<Script | undefined> {
  if (script || (await work.objectStore('packs').count()) === 0) return script;
  throw new ScriptNeeded(packsScript);
}

/** Takes out of packs what these records are made of. What has a row, as all own pots, is looked for in none: the row counts. */
export async function takeOut(work: Work, keys: Iterable<string>): Promise<void> {
  const pots = [...keys].filter((key) => key.startsWith('pot:'));
  const entries = work.objectStore('entries');
  const there = await Promise.all(pots.map((key) => entries.getKey(key.slice('pot:'.length))));
  const left = pots.filter((_, i) => there[i] === undefined);
  if (left.length > 0) await (await packsIn(work))?.takeOut(work, left);
}
