/** Where the keyboard stands once what it stood on is gone: a row that was put away, a question that was answered. */

import { useEffect, useState } from 'preact/hooks';

const FIRST = 'a[href], button:not(:disabled), input, select, summary';

/**
 * Finds, while a row is still there, where to go from it: the next row, the one before, what names the list.
 * @returns moves the focus there after the next drawing, if nothing else has taken it by then
 */
export function placeAfter(row: Element | null | undefined): () => void {
  const near = [row?.nextElementSibling, row?.previousElementSibling];
  const section = row?.parentElement?.closest('details, section');
  return () =>
    whereLost(() => {
      const there = near.find((each) => each?.isConnected)?.querySelector<HTMLElement>(FIRST);
      const title = section?.isConnected ? section.querySelector<HTMLElement>(FIRST) : undefined;
      return there ?? title ?? document.querySelector<HTMLElement>('main h1');
    });
}

/** Moves the focus, once the next drawing has taken it, to what went to another list and stands in a row there (data-row). */
export function goToRow(id: string): void {
  whereLost(
    () =>
      document.querySelector(`[data-row="${id}"]`)?.querySelector<HTMLElement>(FIRST) ??
      document.querySelector<HTMLElement>('main h1'),
  );
}

/** Moves the focus after the next drawing, where nothing has it any more. */
export function whereLost(find: () => HTMLElement | null): void {
  requestAnimationFrame(() => {
    const at = document.activeElement;
    // A button that was disabled when it was pressed has the focus until the next drawing, and takes no key.
    if (at === null || at === document.body || at.matches(':disabled')) {
      const there = find();
      there?.focus({ preventScroll: true });
      // Under a mouse the page stays where it is; whoever types has to see where they are.
      if (there?.matches(':focus-visible')) there.scrollIntoView({ block: 'nearest' });
    }
  });
}

/** What had the focus before a toast's button: that goes with the toast, and the focus back to where the person was. */
let beforeToast: EventTarget | null = null;

document.addEventListener('focusin', ({ target, relatedTarget }) => {
  if (target instanceof Element && target.closest('.toasts')) beforeToast = relatedTarget;
});

document.addEventListener('click', ({ target }) => {
  if (!(target instanceof Element) || !target.closest('.toast')) return;
  const back = beforeToast;
  whereLost(() =>
    back instanceof HTMLElement && back.isConnected ? back : document.querySelector<HTMLElement>('main h1'),
  );
});

/** What had the focus last, with all that it stood in: once it is gone nothing else says where it was. */
let last: { opener: HTMLElement; said: string | null; around: Element[] } | undefined;

document.addEventListener('focusin', ({ target }) => {
  if (!(target instanceof HTMLElement)) return;
  const around: Element[] = [];
  // Further out than its section another button may say the same of something else.
  for (let at = target.parentElement; at; at = at.parentElement) {
    around.push(at);
    if (at.matches('section, details, li, dl, main')) break;
  }
  last = { opener: target, said: target.textContent, around };
});

/**
 * For what is opened by a button and closed again: when it is closed and nothing has the focus any more, that goes back to the button, or to
 * the one that says the same where it stood.
 */
export function useFocusBack(): void {
  const [from] = useState(() => last);
  useEffect(
    () => () =>
      whereLost(() => {
        if (!from?.opener.matches('button, a, summary')) return null;
        const { opener, said, around } = from;
        if (opener.isConnected) return opener;
        const near = around.filter((each) => each.isConnected);
        const same = near.flatMap((each) => [...each.querySelectorAll<HTMLElement>('button, a')]);
        const first = near.map((each) => each.querySelector<HTMLElement>(FIRST)).find((each) => each !== null);
        return same.find((each) => each.textContent === said) ?? first ?? null;
      }),
    [from],
  );
}

/** The first field that a person can type in or choose from. */
export function firstField(within: Element | null): HTMLElement | null {
  return (
    within?.querySelector<HTMLElement>(
      'input:not([type=hidden], :disabled), select:not(:disabled), textarea:not(:disabled)',
    ) ?? null
  );
}
