/** Where the keyboard stands once what it stood on is gone: a row that was put away, a question that was answered. */

const FIRST = 'a[href], button:not(:disabled), input, select, summary';

/**
 * Finds, while a row is still there, where to go from it: the next row, the one before, what names the list.
 * @returns moves the focus there after the next drawing, if nothing else has taken it by then
 */
export function placeAfter(row: Element | null | undefined): () => void {
  const near = [row?.nextElementSibling, row?.previousElementSibling];
  const section = row?.closest('section');
  return () =>
    whereLost(() => {
      const there = near.find((each) => each?.isConnected)?.querySelector<HTMLElement>(FIRST);
      const title = section?.isConnected ? section.querySelector<HTMLElement>(FIRST) : undefined;
      return there ?? title ?? document.querySelector<HTMLElement>('main h1');
    });
}

/** Moves the focus after the next drawing, where nothing has it any more. */
export function whereLost(find: () => HTMLElement | null): void {
  requestAnimationFrame(() => {
    if (document.activeElement === null || document.activeElement === document.body)
      find()?.focus({ preventScroll: true });
  });
}
