import type { RefObject } from 'preact';
import { useEffect, useRef } from 'preact/hooks';

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
