/** Keeps what the server tells phones fresh, so that it is there when a bed is opened out of range. */
import { effect } from '@preact/signals';
import { me, nudge } from '../../state';
import { refresh } from '../../views/views';

export const TOLD = 'told';

/** The server reckons the whole nursery for each answer; whoever looks at a bed asks at once, apart from this. */
const EVERY_MS = 10 * 60_000;

/** Called once, well after the start. */
export function keepTold(): void {
  let asked = 0;
  const ask = () => {
    if (!me.peek() || !navigator.onLine || Date.now() - asked < EVERY_MS) return;
    asked = Date.now();
    void refresh(TOLD);
  };
  effect(() => {
    // Read for its sake alone: the server has moved on.
    void nudge.value;
    ask();
  });
  addEventListener('online', ask);
}
