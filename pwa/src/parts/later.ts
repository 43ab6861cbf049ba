/** A part of a screen whose script is fetched when it is first drawn: every script is precached, so it comes out of range too. */
import { useEffect, useState } from 'preact/hooks';

const here = new WeakMap<() => Promise<unknown>, unknown>();

/**
 * @param load one and the same function each time: what it brought once is drawn at once from then on, and moves nothing below it
 * @returns undefined until it is here
 */
export function useLater<T>(load: () => Promise<T>): T | undefined {
  const [loaded, take] = useState(() => here.get(load) as T | undefined);
  useEffect(() => {
    const fetch = async () => {
      const it = await load();
      here.set(load, it);
      take(() => it);
    };
    void fetch();
  }, []);
  return loaded;
}
