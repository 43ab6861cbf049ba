/** What is seen from inside the page: tasks that hold its thread, taps until they are saved, screens as they come. */

export interface Watched {
  /** Milliseconds of the longest task so far; 0 while none took 50 or more, which is where Chromium begins to tell. */
  longest: number;
  /** Milliseconds from an answer's tap until the screen called it saved. */
  taps: number[];
  /** Milliseconds from the tap that closes a pot until the next pot was asked for, its note on the disk. */
  pots: number[];
  /** Milliseconds from the page's start until today's beds and the pot card could be tapped. */
  today?: number;
  walk?: number;
}

/** Runs in every page before its own scripts, as text: it may use nothing from outside itself. */
export function startWatching(): void {
  const watched: Watched = { longest: 0, taps: [], pots: [] };
  Object.assign(globalThis, { watched });
  new PerformanceObserver((list) => {
    for (const { duration } of list.getEntries()) watched.longest = Math.max(watched.longest, duration);
  }).observe({ type: 'longtask', buffered: true });

  let lifted = 0;
  let answers: number[] = [];
  let closing: { since: number; pot: string } | undefined;
  const pot = () => /^\D+\d+/.exec(document.querySelector('.top .small')?.textContent ?? '')?.[0] ?? '';
  addEventListener('pointerup', (event) => (lifted = event.timeStamp), true);
  addEventListener(
    'click',
    (event) => {
      const button = event.target instanceof Element ? event.target.closest('.hand button, .foot .main') : null;
      // The one green button turns to the next card or closes the pot: what closes it is the last before another pot is asked for.
      if (button?.matches('.foot .main')) closing = { since: lifted, pot: pot() };
      else if (button) answers.push(lifted);
    },
    true,
  );
  new MutationObserver(() => {
    const now = performance.now();
    if (document.querySelector('.lines a')) watched.today ??= now;
    if (document.querySelector('.pad button')) watched.walk ??= now;
    // The screen says so of the card as it stands, so of all its taps up to now.
    if (document.querySelector('.status')?.textContent?.startsWith('✓')) {
      watched.taps.push(...answers.map((since) => now - since));
      answers = [];
    }
    if (closing && pot() !== closing.pot) {
      watched.pots.push(now - closing.since);
      closing = undefined;
    }
  }).observe(document, { childList: true, subtree: true, characterData: true });
}
