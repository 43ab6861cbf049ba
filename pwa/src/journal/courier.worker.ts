/** The courier's own thread: woken by messages from the page, tells the page what it is doing. */
import { carry, courier } from './courier';
import type { Reason } from './wake';

addEventListener('message', (event: MessageEvent<Reason>) => void carry(event.data));
courier.subscribe((told) => postMessage(told));
