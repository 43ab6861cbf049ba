/** Brings the journal up in the order in which screens need it: records first, the network last. */
import { loadBriefs, startBriefs } from './briefs';
import { start as startCourier } from './carrier';
import { aside } from './emergency';
import { listen } from './live';
import { quiet, turn } from './pause';
import { startCounting } from './queue';
import { look } from './storage';
import { load, loadRest, ready } from './things';
import { me } from '../state';

/** @param known settles when it is known whose phone this is */
export async function start(known: Promise<void>): Promise<void> {
  // Asked all at once and shown all at once: the first screen is drawn one time, whole.
  await Promise.all([known, load(), loadBriefs(), startCounting()]);
  // Reading the last rows and drawing them in one task would be the longest one of a start.
  await turn();
  ready.value = true;
  // What follows can wait until that screen is drawn and its first tap answered.
  await quiet();
  await saveWhatWasAside();
  await loadRest();
  startBriefs();
  startCourier();
  listen(me);
  await look();
}

async function saveWhatWasAside(): Promise<void> {
  if (aside.value.length === 0) return;
  try {
    const { save } = await import('./write');
    await save(aside.value);
  } catch {
    // Still broken: the notes stay aside, and the screen goes on saying so.
  }
}
