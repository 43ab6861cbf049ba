/** A part of a screen whose script is fetched when it is first drawn: every script is precached, so it comes out of range too. */
import { useEffect, useState } from 'preact/hooks';

/** @returns undefined until it is here */
export function useLater<T>(load: () => Promise<T>): T | undefined {
  const [loaded, take] = useState<T | undefined>(undefined);
  useEffect(() => void load().then((it) => take(() => it)), []);
  return loaded;
}
