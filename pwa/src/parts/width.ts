import type { RefObject } from 'preact';
import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks';

interface Box {
  width: number;
  height: number;
}

/** How wide the element is on the screen, in px, so that plots are drawn at their true size and their text is not scaled. */
export function useWidth<E extends Element>(before: number): [RefObject<E | null>, number] {
  const [element, { width }] = useBox<E>({ width: before, height: 0 });
  return [element, width];
}

/** How wide and high the element is on the screen, in whole px. */
export function useBox<E extends Element>(before: Box): [RefObject<E | null>, Box] {
  const element = useRef<E>(null);
  const [box, setBox] = useState(before);
  useLayoutEffect(() => {
    const now = element.current;
    if (!now) return;
    const measure = () => {
      const found = now.getBoundingClientRect();
      const [width, height] = [Math.floor(found.width), Math.floor(found.height)];
      if (width > 0) setBox((held) => (held.width === width && held.height === height ? held : { width, height }));
    };
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(now);
    return () => observer.disconnect();
  }, []);
  return [element, box];
}

/** Whether the window is as a media query says, for what is not even made on a smaller one. */
export function useMedia(query: string): boolean {
  const [is, set] = useState(() => matchMedia(query).matches);
  useEffect(() => {
    const list = matchMedia(query);
    const read = () => set(list.matches);
    read();
    list.addEventListener('change', read);
    return () => list.removeEventListener('change', read);
  }, [query]);
  return is;
}
