/** What is asked of the server once a page is open, and again after each change, without being kept on the device: lists of keys. */
import { useEffect, useState } from 'preact/hooks';
import { ask, Refusal } from '../../../journal/wire';
import type { Loaded } from '../../../views/views';

interface Asked<Answer> {
  loaded: Loaded<Answer>;
  /** Asks again; what was answered before stays until then. */
  again: () => Promise<void>;
}

export function useAsked<Answer>(path: string): Asked<Answer> {
  const [loaded, set] = useState<Loaded<Answer>>({ at: 0, fresh: false, slow: false });
  const again = async () => {
    try {
      const view = (await ask(path)) as Answer;
      set({ view, at: Date.now(), fresh: true, slow: false });
    } catch (trouble) {
      if (!(trouble instanceof Refusal)) throw trouble;
      set((before) => ({ ...before, fresh: false, trouble }));
    }
  };
  useEffect(() => void again(), [path]);
  return { loaded, again };
}
