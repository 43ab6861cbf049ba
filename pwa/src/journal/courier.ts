/**
 * Carries notes both ways whenever there is a chance: after each save, when the network or the screen comes back, on a
 * nudge, and by a timer that backs off with jitter, so the queue drains without a new tap. One tab at a time carries;
 * the lock goes with the tab that holds it.
 */
import { signal } from '@preact/signals';
import type { Me } from '../../../schema/types';
import { publish } from './changes';
import { become } from './identity';
import { mend, readAgain } from './mend';
import { pullAll } from './pull';
import { pushAll } from './push';
import { tellDigest } from './told';
import { onWake, type Reason } from './wake';
import { me, Refusal, type Why } from './wire';

/** What the courier is doing, or what keeps it: each has its words on the screen. */
export type CourierState = 'resting' | 'carrying' | 'broken' | Why;

export const courier = signal<{ state: CourierState; detail: string; nextTryAt: number }>({
  state: 'resting',
  detail: '',
  nextTryAt: 0,
});

/** The server's last word on who this device is; undefined until it has spoken in this session. */
export const seenMe = signal<Me | undefined>(undefined);

const FIRST_WAIT_MS = 2_000;
const LONGEST_WAIT_MS = 5 * 60_000;
/** With nothing to do and no nudge the phone still looks now and then: a socket can die in silence. */
const IDLE_MS = 3 * 60_000;
/** More mends than this in one round would be a quarrel, not a repair. */
const MOST_MENDS = 8;

let running = false;
let again = false;
let failures = 0;
let timer: ReturnType<typeof setTimeout> | undefined;
let readAgainFor = -1;

/** Starts carrying. Called once, when the app starts. */
export function start(): void {
  onWake((reason) => void carry(reason));
  addEventListener('online', () => void carry('online'));
  addEventListener('pageshow', () => void carry('seen'));
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible') void carry('seen');
  });
  void carry('start');
}

export async function carry(reason: Reason): Promise<void> {
  if (reason !== 'timer' && reason !== 'saved') failures = 0;
  if (running) {
    again = true;
    return;
  }
  running = true;
  clearTimeout(timer);
  try {
    do {
      again = false;
      await alone(round);
    } while (again);
    failures = 0;
    rest('resting', '', IDLE_MS);
  } catch (error) {
    failures++;
    const why = error instanceof Refusal ? error.why : 'broken';
    rest(why, error instanceof Error ? error.message : '', backOff());
  } finally {
    running = false;
    publish({ queue: true });
  }
}

function rest(state: CourierState, detail: string, ms: number): void {
  const wait = jittered(ms);
  courier.value = { state, detail, nextTryAt: Date.now() + wait };
  timer = setTimeout(() => void carry('timer'), wait);
}

function backOff(): number {
  return Math.min(LONGEST_WAIT_MS, FIRST_WAIT_MS * 2 ** Math.min(failures - 1, 10));
}

/** Half to one and a half of the wait: twenty phones that came back together do not come back together again. */
function jittered(ms: number): number {
  return ms * (0.5 + Math.random());
}

async function alone(work: () => Promise<void>): Promise<void> {
  const locks = navigator.locks as LockManager | undefined;
  if (locks) await locks.request('bedwalk-courier', work);
  else await work();
}

async function round(): Promise<void> {
  courier.value = { ...courier.value, state: 'carrying' };
  const out = await greet();
  // A phone that was revoked may still hand in what it has: the server keeps it for the supervisor to look at.
  await mending(() => pushAll(() => publish({ queue: true })));
  if (out) throw out;
  await mending(async () => {
    const cursor = await pullAll(() => undefined);
    const equal = await tellDigest(cursor);
    // Once for a position: a difference that reading again does not mend is the supervisor's to see, not a loop.
    if (!equal && readAgainFor !== cursor.position) {
      readAgainFor = cursor.position;
      await readAgain();
      again = true;
    }
  });
}

/** Asks who this device is, once a session. @returns why it is no longer welcome, if so */
async function greet(): Promise<Refusal | undefined> {
  if (seenMe.value) return undefined;
  try {
    const told = await me();
    await become(told);
    seenMe.value = told;
    return undefined;
  } catch (error) {
    if (error instanceof Refusal && (error.why === 'revoked' || error.why === 'unpaired')) return error;
    throw error;
  }
}

async function mending(work: () => Promise<void>): Promise<void> {
  for (let mends = 0; ; mends++) {
    try {
      await work();
      return;
    } catch (error) {
      if (!(error instanceof Refusal) || mends >= MOST_MENDS || !(await mend(error))) throw error;
      again = true;
    }
  }
}
