/** What the whole app knows of itself: who is at the phone, whether it is in range, what waits, and how it likes it. */
import { computed, effect, signal, type ReadonlySignal } from '@preact/signals';
import { base } from './journal/store/base';
import { syncStatus } from './journal/worker/syncClient';
import type { SyncState } from './journal/worker/sync';
import { subscribe } from './journal/store/changes';
import { outbox } from './journal/outbox/outbox';
import type { KnownMe } from './journal/store/shape';
import { sites } from './journal/records/registers';
import { languageOfDevice, languages, speak, units as shownUnits, type Language, type Units } from './words';
import { atHand, followZone } from './words/format';
import { unitsOfDevice } from './words/variety';

export { nudge } from './journal/inbox/live';

/** Who this device is paired as; undefined while it is not. */
export const me = signal<KnownMe | undefined>(undefined);

/** Now by the server's clock, as far as this device's was off when it was last in range; ms since 1970. */
export function serverNow(): number {
  const known = me.value;
  return Date.now() + (known?.heard === undefined ? 0 : known.server_now - known.heard);
}

export const online = signal(navigator.onLine);

export interface Queue {
  pending: number;
  lastSentAt: number;
  state: SyncState;
  /** The server's own sentence, and its code, where it gave one. */
  detail: string;
  code: string;
}

export const queue: ReadonlySignal<Queue> = computed(() => ({
  pending: outbox.value.pending,
  lastSentAt: outbox.value.lastSentAt,
  state: syncStatus.value.state,
  detail: syncStatus.value.detail,
  code: syncStatus.value.code,
}));

const ACCESS = 'bedwalk-access';

/** "revoked" or "unpaired" from the server's word on until it serves this phone again: out of range too, and after a restart. */
export const access = signal(readAccess());

export interface Settings {
  language: Language;
  units: Units;
  hand: 'right' | 'left';
  text: 'normal' | 'large';
  theme: 'plain' | 'sun' | 'dark' | 'auto';
  /** How buds and heads are entered first. */
  entry: 'keypad' | 'steps';
  /** What a caliper that types sends. */
  caliper: 'mm' | 'in';
}

const SLOT = 'bedwalk-settings';

/** The person's own choices. In localStorage, since the first paint needs them before the database is open. */
export const settings = signal<Settings>(readSettings());

export function choose(changes: Partial<Settings>): void {
  settings.value = { ...settings.value, ...changes };
}

/** Applies settings and keeps them; keeps `me` and `online` true. Called once, before the first paint. */
export async function startState(): Promise<void> {
  effect(() => {
    const now = settings.value;
    const root = document.documentElement;
    root.dataset['theme'] = now.theme === 'auto' ? (prefersDark() ? 'dark' : 'plain') : now.theme;
    root.dataset['text'] = now.text;
    root.dataset['hand'] = now.hand;
    shownUnits.value = now.units;
    void speak(now.language);
    try {
      localStorage.setItem(SLOT, JSON.stringify(now));
    } catch {
      // A phone too full for a few settings still works with them until it is closed.
    }
  });
  effect(() => {
    // The nursery's own record may still be on its way.
    const zone = [...sites.value.values()][0]?.time_zone ?? me.value?.time_zone ?? '';
    // Where the file is not to be had, times stay this device's.
    if (atHand.value) followZone(zone).catch(() => undefined);
  });
  effect(() => {
    const { state, welcome } = syncStatus.value;
    if (state === 'revoked' || state === 'unpaired') access.value = state;
    // Not only when all is done: the first reading after a pairing takes long, and the server knows this phone by then.
    else if (welcome) access.value = '';
  });
  // Apart from the effect above: a pairing clears it before the sync worker has said anything new.
  effect(() => {
    try {
      localStorage.setItem(ACCESS, access.value);
    } catch {
      // Then the server's next word says it again.
    }
  });
  for (const event of ['online', 'offline']) addEventListener(event, () => (online.value = navigator.onLine));
  subscribe((changed) => {
    // Where it cannot be read the start has said so already.
    if (changed.queue) readMe().catch(() => undefined);
  });
  await readMe();
}

function readAccess(): string {
  try {
    return localStorage.getItem(ACCESS) ?? '';
  } catch {
    return '';
  }
}

async function readMe(): Promise<void> {
  const known = (await (await base()).get('meta', 'me')) as KnownMe | undefined;
  if (JSON.stringify(known) !== JSON.stringify(me.value)) me.value = known;
}

function prefersDark(): boolean {
  return matchMedia('(prefers-color-scheme: dark)').matches;
}

function readSettings(): Settings {
  const fallback: Settings = {
    language: languageOfDevice(),
    units: unitsOfDevice(),
    hand: 'right',
    text: 'normal',
    theme: 'plain',
    entry: 'keypad',
    caliper: 'mm',
  };
  try {
    const kept = JSON.parse(localStorage.getItem(SLOT) ?? '{}') as Partial<Settings>;
    const full = { ...fallback, ...kept };
    return languages.includes(full.language) ? full : { ...full, language: fallback.language };
  } catch {
    return fallback;
  }
}
