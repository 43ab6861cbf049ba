/** Listens for the server's nudge ("I am at N"). It carries no notes; those are pulled. */
import { effect, signal, type ReadonlySignal } from '@preact/signals-core';
import type { Nudge } from '../../../../schema/types';
import { wake } from '../worker/wake';

export const nudge = signal<Nudge>({ epoch: '', head: 0, build: '' });

const FIRST_WAIT_MS = 1_000;
const LONGEST_WAIT_MS = 60_000;

let socket: WebSocket | undefined;
let failures = 0;

/**
 * Keeps a socket open while the screen is seen and the network is there; none before the phone is paired, since the
 * server would refuse it again and again.
 */
export function listen(paired: ReadonlySignal<unknown>): void {
  const retry = () => {
    if (paired.value && document.visibilityState === 'visible' && navigator.onLine) connect();
  };
  addEventListener('online', retry);
  document.addEventListener('visibilitychange', retry);
  effect(retry);
}

function connect(): void {
  if (socket && socket.readyState <= WebSocket.OPEN) return;
  const fresh = new WebSocket(`${location.protocol === 'https:' ? 'wss' : 'ws'}://${location.host}/api/live`);
  socket = fresh;
  fresh.addEventListener('open', () => {
    // A server that was away may have come back as an older one of itself.
    if (failures > 0) wake('online');
    failures = 0;
  });
  fresh.addEventListener('message', (event: MessageEvent<unknown>) => {
    const next = read(event.data);
    if (!next) return;
    nudge.value = next;
    wake('nudge');
  });
  fresh.addEventListener('close', () => {
    failures++;
    const wait = Math.min(LONGEST_WAIT_MS, FIRST_WAIT_MS * 2 ** Math.min(failures, 8)) * (0.5 + Math.random());
    setTimeout(() => {
      if (socket === fresh && document.visibilityState === 'visible' && navigator.onLine) connect();
    }, wait);
  });
}

function read(data: unknown): Nudge | undefined {
  if (typeof data !== 'string') return undefined;
  try {
    const next = JSON.parse(data) as Nudge;
    return typeof next.head === 'number' && typeof next.epoch === 'string' ? next : undefined;
  } catch {
    return undefined;
  }
}
