/**
 * New builds of the app. One that has arrived waits until the person agrees, and is offered only when nothing is half
 * noted and nothing is being sent: an update never reloads a form under a finger.
 */
import { computed, signal } from '@preact/signals';
import { syncStatus } from './journal/worker/syncClient';
import { nudge } from './journal/inbox/live';

const waitingWorker = signal<ServiceWorker | undefined>(undefined);

/** Counts the forms in which something is typed and not yet saved. */
const dirty = signal(0);

export const updateReady = computed(
  () => waitingWorker.value !== undefined && dirty.value === 0 && syncStatus.value.state !== 'syncing',
);

/** Marks a form as half filled until the returned function is called. */
export function holdUpdates(): () => void {
  dirty.value++;
  let held = true;
  return () => {
    if (held) dirty.value--;
    held = false;
  };
}

export function takeUpdate(): void {
  const worker = waitingWorker.value;
  if (!worker) return;
  navigator.serviceWorker.addEventListener('controllerchange', () => location.reload(), { once: true });
  worker.postMessage('take-over');
}

/** The build that this page belongs to. */
export const build = document.querySelector<HTMLMetaElement>('meta[name=build]')?.content ?? 'dev';

export function startUpdates(): void {
  if (!('serviceWorker' in navigator) || build === 'dev') return;
  void register();
}

async function register(): Promise<void> {
  const registration = await navigator.serviceWorker.register('/sw.js', { updateViaCache: 'none' });
  const look = () => {
    // At the first visit there is no older build to wait for.
    if (registration.waiting && navigator.serviceWorker.controller) waitingWorker.value = registration.waiting;
  };
  look();
  registration.addEventListener('updatefound', () => {
    registration.installing?.addEventListener('statechange', look);
  });
  const ask = () => {
    if (document.visibilityState === 'visible' && navigator.onLine) registration.update().catch(() => undefined);
  };
  // Browsers keep an installed app's old worker for days unless they are asked.
  addEventListener('pageshow', ask);
  document.addEventListener('visibilitychange', ask);
  nudge.subscribe((latest) => {
    if (latest.build !== '' && latest.build !== build) ask();
  });
}
