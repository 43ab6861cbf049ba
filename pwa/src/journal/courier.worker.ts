/** The courier's own thread: woken by messages from the page, tells the page what it is doing. */
import { carry, courier } from './courier';
import type { Reason } from './wake';

// Reads the browser's tables of languages for all threads, so that the screen's need not stop for them (words/format.ts).
new Intl.DateTimeFormat(navigator.languages, { timeStyle: 'short' }).format();

addEventListener('message', (event: MessageEvent<Reason>) => void carry(event.data));
courier.subscribe((told) => postMessage(told));
