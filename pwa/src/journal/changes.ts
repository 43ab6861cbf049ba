/** Tells every screen, in this tab and the others, which records have just changed. Called only after a commit. */
import type { RecordRow } from './shape';

export interface Changed {
  /** Records as they are now. */
  rows: RecordRow[];
  /** Keys that no longer have a record. */
  gone: string[];
  /** True when the count of waiting notes, or what is known of the server, may be another. */
  queue: boolean;
}

type Hear = (changed: Changed) => void;

const hearers = new Set<Hear>();
const channel = typeof BroadcastChannel === 'undefined' ? undefined : new BroadcastChannel('bedwalk');

channel?.addEventListener('message', (event: MessageEvent<Changed>) => tell(event.data));

/** Hears every change, of this tab and of others, until the returned function is called. */
export function hear(listen: Hear): () => void {
  hearers.add(listen);
  return () => hearers.delete(listen);
}

export function publish(changed: Partial<Changed>): void {
  const full = { rows: [], gone: [], queue: false, ...changed };
  tell(full);
  channel?.postMessage(full);
}

function tell(changed: Changed): void {
  for (const listen of hearers) listen(changed);
}
