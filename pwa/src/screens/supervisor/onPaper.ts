import type { RefObject } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';

/**
 * Opens what is folded while it is printed.
 * @param which what of it, as a selector
 * @returns for the element that it is in
 */
export function useOpenOnPaper(which: string): RefObject<HTMLDivElement | null> {
  const within = useRef<HTMLDivElement>(null);
  useEffect(() => {
    let folded: HTMLDetailsElement[] = [];
    const open = () => {
      folded = [...(within.current?.querySelectorAll<HTMLDetailsElement>(`${which}:not([open])`) ?? [])];
      for (const each of folded) each.open = true;
    };
    const fold = () => {
      for (const each of folded) each.open = false;
    };
    addEventListener('beforeprint', open);
    addEventListener('afterprint', fold);
    return () => {
      removeEventListener('beforeprint', open);
      removeEventListener('afterprint', fold);
    };
  }, [which]);
  return within;
}

/**
 * How wide a plot is drawn: as wide as its place on the screen, and no wider than its place on the sheet while it is printed. One drawn for the
 * screen would be made smaller on paper, its letters too.
 * @param width of its place on the screen, px
 * @param paper of its place on an A4 sheet, px, by the scale of its page's print
 */
export function useWidthOnPaper(width: number, paper: number): number {
  const [prints, set] = useState(false);
  useEffect(() => {
    const begin = () => set(true);
    const end = () => set(false);
    addEventListener('beforeprint', begin);
    addEventListener('afterprint', end);
    return () => {
      removeEventListener('beforeprint', begin);
      removeEventListener('afterprint', end);
    };
  }, []);
  return prints ? Math.min(width, paper) : width;
}
