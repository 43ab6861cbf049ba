import type { RefObject } from 'preact';
import { useLayoutEffect, useRef, useState } from 'preact/hooks';

/** How wide the element is on the screen, in px, so that plots are drawn at their true size and their text is not scaled. */
export function useWidth<E extends Element>(before: number): [RefObject<E | null>, number] {
  const element = useRef<E>(null);
  const [width, setWidth] = useState(before);
  useLayoutEffect(() => {
    const now = element.current;
    if (!now) return;
    const measure = () => {
      const { width: found } = now.getBoundingClientRect();
      if (found > 0) setWidth(Math.floor(found));
    };
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(now);
    return () => observer.disconnect();
  }, []);
  return [element, width];
}
