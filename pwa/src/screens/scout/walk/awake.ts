/** Keeps the screen on while a walk is open; the browser drops the lock whenever the app is hidden, so it is asked again. */
export function keepAwake(): () => void {
  let lock: WakeLockSentinel | undefined;
  let wanted = true;
  const ask = async () => {
    if (!wanted || document.visibilityState !== 'visible') return;
    try {
      lock = await navigator.wakeLock?.request('screen');
      if (!wanted) await lock?.release();
    } catch {
      // A low battery may refuse; the walk goes on with a screen that dims.
    }
  };
  const again = () => void ask();
  document.addEventListener('visibilitychange', again);
  void ask();
  return () => {
    wanted = false;
    document.removeEventListener('visibilitychange', again);
    void lock?.release();
  };
}
