/**
 * New builds of the app. One that has arrived waits until the person agrees, and is offered only when nothing is half
 * noted: an update never reloads a form under a finger.
 */
import { computed, signal } from '@preact/signals';
import { nudge } from './journal/inbox/live';
import { newestBuild } from './sw/newest';

/** Whether the device has a newer build than this page's, whole. */
const newer = signal(false);

/** Counts the forms in which something is typed and not yet saved. */
const dirty = signal(0);

/** Whether a newer build was there when the person last turned to a page. */
const offered = signal(false);

/**
 * Whether a newer build is offered: from the next page on to which the person turns, and as long as nothing is half typed. What comes
 * or goes by itself moves a page from under a finger, and the tap falls on something else.
 */
export const updateReady = computed(() => offered.value && dirty.value === 0);

/** The person has turned to a page. */
export function offerUpdate(): void {
  offered.value = newer.value;
}

/** Marks a form as half filled until the returned function is called. */
export function holdUpdates(): () => void {
  dirty.value++;
  let held = true;
  return () => {
    if (held) dirty.value--;
    held = false;
  };
}

/** The page that is loaded is the newer build's (sw/newest.ts). Sending that this ends begins again, as after any end of the app. */
export function takeUpdate(): void {
  location.reload();
}

/** The build that this page belongs to. */
export const build = document.querySelector<HTMLMetaElement>('meta[name=build]')?.content ?? 'dev';

export function startUpdates(): void {
  if (!('serviceWorker' in navigator) || build === 'dev') return;
  void register();
}

async function register(): Promise<void> {
  const registration = await navigator.serviceWorker.register('/sw.js', { updateViaCache: 'none' });
  const look = async () => {
    // A page that came past the worker may be newer than all that the device has.
    const newest = navigator.serviceWorker.controller ? await newestBuild() : undefined;
    newer.value = newest !== undefined && newest !== build;
  };
  const watch = () => {
    registration.installing?.addEventListener('statechange', () => void look());
    void look();
  };
  registration.addEventListener('updatefound', watch);
  watch();
  const ask = () => {
    if (document.visibilityState === 'visible' && navigator.onLine) registration.update().then(look, () => undefined);
  };
  // Browsers keep an installed app's old worker for days unless they are asked.
  addEventListener('pageshow', ask);
  document.addEventListener('visibilitychange', ask);
  nudge.subscribe((latest) => {
    if (latest.build !== '' && latest.build !== build) ask();
  });
}
