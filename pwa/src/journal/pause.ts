/** Settles when the screen's thread has nothing better to do, at the latest after a second. */
export function quiet(): Promise<void> {
  return new Promise((done) => {
    if (typeof requestIdleCallback === 'function') requestIdleCallback(() => done(), { timeout: 1000 });
    else setTimeout(done, 16);
  });
}
