/** Asks the browser to keep the notes for good, and says how full the phone is. */
import { signal } from '@preact/signals-core';

export interface Room {
  /** undefined until the browser has answered. */
  staying: boolean | undefined;
  usedBytes: number;
  quotaBytes: number;
}

/** Above this share of the quota photos are no longer taken: notes come first. */
const LOW_SHARE = 0.8;

export const room = signal<Room>({ staying: undefined, usedBytes: 0, quotaBytes: 0 });

let asked = false;

/** Asks once a session, at the first save: a browser is likelier to agree when the person is using the app. */
export async function askToStay(): Promise<void> {
  if (asked) return;
  asked = true;
  const storage = navigator.storage as StorageManager | undefined;
  if (!storage?.persist) return;
  const staying = (await storage.persisted()) || (await storage.persist());
  room.value = { ...room.value, staying };
  await refreshEstimate();
}

export async function refreshEstimate(): Promise<void> {
  const storage = navigator.storage as StorageManager | undefined;
  if (!storage?.estimate) return;
  const [{ usage = 0, quota = 0 }, staying] = await Promise.all([storage.estimate(), storage.persisted()]);
  room.value = { staying, usedBytes: usage, quotaBytes: quota };
}

export function isLow(): boolean {
  return room.value.quotaBytes > 0 && room.value.usedBytes > LOW_SHARE * room.value.quotaBytes;
}
