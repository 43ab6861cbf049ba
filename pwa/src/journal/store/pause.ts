/** Settles when the screen's thread has nothing better to do, at the latest after a second. */
export function whenIdle(): Promise<void> {
  return new Promise((done) => {
    if (typeof requestIdleCallback === 'function') requestIdleCallback(() => done(), { timeout: 1000 });
    else setTimeout(done, 16);
  });
}

/** Settles in a task of its own, at once: a tap or a frame that waits comes first. */
export function nextTask(): Promise<void> {
  return new Promise((done) => {
    const { port1, port2 } = new MessageChannel();
    const hear = () => {
      port1.close();
      done();
    };
    port1.addEventListener('message', hear, { once: true });
    port1.start();
    port2.postMessage(undefined);
  });
}
