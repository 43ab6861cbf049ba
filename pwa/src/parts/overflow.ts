import type { RefObject } from 'preact';
import { useLayoutEffect, useRef, useState } from 'preact/hooks';

/** True while the element holds more to the side than its width shows, so that it has to be scrolled. */
export function useOverflow<E extends HTMLElement>(): [RefObject<E | null>, boolean] {
  const element = useRef<E>(null);
  const [overflows, setOverflows] = useState(false);
  useLayoutEffect(() => {
    const now = element.current;
    if (!now) return;
    // A pixel more is rounding.
    const measure = () => setOverflows(now.scrollWidth > now.clientWidth + 1);
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(now);
    // Its content may grow while it stays as wide as it is.
    if (now.firstElementChild) observer.observe(now.firstElementChild);
    return () => observer.disconnect();
  }, []);
  return [element, overflows];
}
