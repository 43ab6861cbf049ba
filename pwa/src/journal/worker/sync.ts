/**
 * Carries notes both ways whenever it is woken (see syncClient.ts) and by a timer that backs off with jitter, so the queue
 * drains without a new tap. It runs in a worker, away from the screen's thread. One tab at a time syncs; the lock
 * goes with the tab that holds it.
 */
import { signal } from '@preact/signals-core';
import type { DigestAnswer, Me } from '../../../../schema/types';
import { finishRecovery, lookToPacks, rereadJournal } from '../recovery/unfinished';
import { recover } from '../recovery/recover';
import { settleMissing } from '../recovery/missing';
import { followOwnHouses } from '../letgo/carried';
import { hasAny } from '../letgo/gone';
import { isFull } from '../store/base';
import { publish } from '../store/changes';
import { areDamaged } from '../store/packs/script';
import type { Cursor } from '../store/shape';
import { pendingPhotos } from '../outbox/photos';
import { become, isWriter, knownMe } from '../identity';
import { forget, mayReadWhole, noTries } from '../recovery/tries';
import { pullAll } from '../inbox/pull';
import { isOfNotesAlone, pushAll } from '../outbox/push';
import { sendDigest } from '../inbox/digest';
import { initialStatus, type Reason } from './wake';
import { me, Refusal, UNREADABLE, type Why } from '../wire';

/** What the sync worker is doing, or why it cannot: each has its words on the screen. */
export type SyncState = 'resting' | 'syncing' | 'full' | 'broken' | Why;

export interface SyncStatus {
  state: SyncState;
  /** The server's own sentence, where it gave one; and its code, by which the screen says it in the reader's language. */
  detail: string;
  code: string;
  /** When it is tried again by itself, ms since 1970. */
  nextTryAt: number;
  /** True once the server has said in this session who this device is. */
  welcome: boolean;
  /** How far a long pull has come: positions of the journal. */
  done: number;
  of: number;
}

export const syncStatus = signal(initialStatus);

/** The server's last word on who this device is; undefined until it has spoken in this session. */
let seenMe: Me | undefined;

const FIRST_WAIT_MS = 2_000;
const LONGEST_WAIT_MS = 5 * 60_000;
/** With nothing to do and no nudge the phone still looks now and then: a socket can die in silence. */
const IDLE_MS = 3 * 60_000;
/** More repairs than this in one round would be a quarrel, not a repair. */
const MOST_REPAIRS = 8;
/** And more rounds at once than this: the rest has time. */
const MOST_ROUNDS = 30;

let running = false;
let again = false;
let failures = 0;
let timer: ReturnType<typeof setTimeout> | undefined;
const tries = noTries();

export async function sync(reason: Reason): Promise<void> {
  if (reason !== 'timer' && reason !== 'saved') failures = 0;
  // A server that was away may have come back as an older one of itself.
  if (reason === 'paired' || reason === 'online') seenMe = undefined;
  if (running) {
    again = true;
    return;
  }
  running = true;
  clearTimeout(timer);
  try {
    let rounds = 0;
    do {
      again = false;
      await alone(() => round(reason === 'saved' && rounds === 0));
    } while (again && ++rounds < MOST_ROUNDS);
    failures = 0;
    rest('resting', undefined, again ? FIRST_WAIT_MS : IDLE_MS);
  } catch (error) {
    failures++;
    const why = error instanceof Refusal ? error.why : isFull(error) ? 'full' : 'broken';
    if (why === 'offline' || why === 'slow') seenMe = undefined;
    if (why === 'revoked' || why === 'unpaired') {
      seenMe = undefined;
      syncStatus.value = { ...syncStatus.value, welcome: false };
    }
    // Somebody may have paired this phone, or come into range, while this round was failing.
    rest(why, error, again ? FIRST_WAIT_MS : backOff());
  } finally {
    running = false;
    publish({ queue: true });
  }
}

function rest(state: SyncState, error: unknown, ms: number): void {
  const wait = jittered(ms);
  const detail = error instanceof Error ? error.message : '';
  const code = (error instanceof Refusal && error.problem?.code) || '';
  syncStatus.value = { ...syncStatus.value, state, detail, code, nextTryAt: Date.now() + wait };
  timer = setTimeout(() => void sync('timer'), wait);
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
  if (locks) await locks.request('bedwalk-sync', work);
  else await work();
}

async function round(justSaved: boolean): Promise<void> {
  syncStatus.value = { ...syncStatus.value, state: 'syncing' };
  // A phone without room sends what waits all the same.
  let noRoom: unknown;
  const unlessFull = async (work: () => Promise<void>): Promise<void> => {
    try {
      await work();
    } catch (error) {
      if (!isFull(error)) throw error;
      noRoom = error;
    }
  };
  await unlessFull(finishFirst);
  const out = await greet();
  syncStatus.value = { ...syncStatus.value, welcome: !out };
  // A phone that was revoked may still hand in what it has: the server keeps it for the supervisor to look at.
  let notTaken: Refusal | undefined;
  const send = async () => {
    // What was refused once in a round is not offered again between its pages.
    if (!notTaken) notTaken = await pushUnlessFull();
  };
  await unlessFull(() => repairing(send));
  if (!justSaved) await runOptional(async () => (await import('../inbox/quarantined')).refreshQuarantined());
  if (out) throw notTaken ? new Refusal(out.why, notTaken.problem) : out;
  // Photos, and all else that can be asked, do not wait for what is not answered.
  let notAnswered: Refusal | undefined;
  const unlessLater = async <T>(ask: () => Promise<T>): Promise<T | undefined> => {
    try {
      return await ask();
    } catch (error) {
      if (!isForLater(error)) throw error;
      notAnswered = error;
      return undefined;
    }
  };
  const receive = async (): Promise<void> => {
    notAnswered = undefined;
    await finishRecovery();
    const read = await pullAll(async (now) => {
      syncStatus.value = { ...syncStatus.value, done: now.position, of: now.head };
      // The first reading of a season is long, and a note should not wait for its end.
      await send();
      await finishRecovery();
    });
    // Before it is counted what the first pull left out: from then on screens say what is known of each bed.
    await followOwnHouses();
    const countIn = async () => (await import('../letgo/first')).countInLeftOut(read);
    const cursor = read.first === undefined ? read : await unlessLater(countIn);
    if (!cursor) return;
    if (await settleMissing(cursor)) {
      again = true;
      return;
    }
    // A server of an earlier release cannot answer this, and all else goes on.
    await unlessLater(() => runOptional(() => payOwedNotes(cursor)));
    await unlessLater(() => runOptional(() => reopenLots(cursor, send)));
    const compared = await unlessLater(() => sendDigest(cursor));
    if (!compared) return;
    const { answer, areRecordsEqual } = compared;
    const areNotesEqual = !answer?.differ?.length;
    if (areNotesEqual) forget(tries.notes);
    if (areRecordsEqual) forget(tries.records);
    const repair = async (differing: DigestAnswer) =>
      (await import('../recovery/lots')).repairLots(cursor, differing, tries, send);
    const before = notAnswered;
    const differ = answer && (await unlessLater(() => repair(answer)));
    if (notAnswered !== before) return;
    if (answer && !differ) {
      again = true;
      return;
    }
    if (differ && mayReadWhole(areNotesEqual ? tries.records : tries.notes, cursor.epoch, differ)) {
      await rereadJournal();
      again = true;
    }
    // Only a scout's phone lets anything go.
    const goes = () => runOptional(async () => (await import('../letgo/letGo')).letGo());
    if (!differ && seenMe?.role === 'scout') await unlessLater(goes);
  };
  if (!noRoom) await unlessFull(() => repairing(receive));
  // What was sent makes room.
  await sendPhotosToo();
  const failed = notTaken ?? noRoom ?? notAnswered;
  if (failed) throw failed;
}

/** Does what is still to be done. A pack that proves lost on the way is taken away, and then the rest is done. */
async function finishFirst(): Promise<void> {
  for (;;) {
    await lookToPacks();
    try {
      await finishRecovery();
      return;
    } catch (error) {
      if (!areDamaged()) throw error;
    }
  }
}

/** The scripts come only where something was let go. */
async function payOwedNotes(cursor: Cursor): Promise<void> {
  if (await hasAny('owed')) await (await import('../letgo/pay')).payOwed(cursor);
}

async function reopenLots(cursor: Cursor, between: () => Promise<void>): Promise<void> {
  if (await hasAny('gone')) await (await import('../letgo/reopen')).reopenWanted(cursor, between);
}

/** True for the refusal of one request that a later try may see answered. */
function isForLater(error: unknown): error is Refusal {
  return error instanceof Refusal && (later.includes(error.why) || error.problem?.code === UNREADABLE);
}

/** Sends the outbox. @returns the refusal where the server takes no notes of this phone for now. @throws every other Refusal */
async function pushUnlessFull(): Promise<Refusal | undefined> {
  try {
    await pushAll(() => publish({ queue: true }));
    return undefined;
  } catch (error) {
    if (isOfNotesAlone(error)) return error;
    throw error;
  }
}

/** Photos go last; one that the server will not have keeps no note from going. The script comes only when it is needed. */
async function sendPhotosToo(): Promise<void> {
  if ((await pendingPhotos()) === 0) return;
  const { sendPhotos } = await import('../outbox/upload');
  await runOptional(sendPhotos);
}

/** What would meet everything else that is asked now too. */
const later: readonly Why[] = ['offline', 'slow', 'busy'];

/** Runs optional work. Ignores its Refusal, except offline, slow and busy, which every further request would meet too. */
async function runOptional(work: () => Promise<void>): Promise<void> {
  try {
    await work();
  } catch (error) {
    if (error instanceof Refusal && later.includes(error.why)) throw error;
  }
}

/** Asks who this device is, once a session and when the server was away. @returns why it is no longer welcome, if so */
async function greet(): Promise<Refusal | undefined> {
  if (seenMe) return undefined;
  try {
    const answer = await me();
    // One that was paired and has lost its cookie is refused when it sends; a portal may say "no content" to anything.
    if (!answer) return (await knownMe()) ? undefined : new Refusal('unpaired');
    try {
      await become(answer);
    } catch (error) {
      // What waits can be sent where the server says nothing new of who writes here. It is asked again.
      if (isFull(error) && (await isWriter(answer))) return undefined;
      throw error;
    }
    seenMe = answer;
    return undefined;
  } catch (error) {
    if (!(error instanceof Refusal) || (error.why !== 'revoked' && error.why !== 'unpaired')) throw error;
    await recover(error);
    return error;
  }
}

async function repairing(work: () => Promise<void>): Promise<void> {
  for (let mends = 0; ; mends++) {
    try {
      await work();
      return;
    } catch (error) {
      if (!(error instanceof Refusal) || mends >= MOST_REPAIRS || !(await recover(error))) throw error;
      again = true;
    }
  }
}
