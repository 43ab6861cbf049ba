/** Brings the journal up in the order in which screens need it: records first, the network last. */
import { startBriefs } from './briefs';
import { start as startCourier } from './carrier';
import { aside } from './emergency';
import { listen } from './live';
import { startCounting } from './queue';
import { look } from './storage';
import { load } from './things';
import { me } from '../state';

export async function start(): Promise<void> {
  await load();
  await startCounting();
  await startBriefs();
  await saveWhatWasAside();
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
