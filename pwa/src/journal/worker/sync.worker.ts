/** The sync worker: woken by messages from the page, posts its status to the page. */
import { sync, syncStatus } from './sync';
import type { Reason } from './wake';

// Reads the browser's tables of languages for all threads, so that the screen's need not stop for them (words/format.ts). It names
// no language: a system may give the browser a name that is none ("C"), and a refusal here would end the whole thread.
new Intl.DateTimeFormat(undefined, { timeStyle: 'short' }).format();

addEventListener('message', (event: MessageEvent<Reason>) => void sync(event.data));
syncStatus.subscribe((status) => postMessage(status));
