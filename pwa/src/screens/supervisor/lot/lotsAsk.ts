/** What the list of lots is asked by. */
import { useEffect, useRef, useState } from 'preact/hooks';
import type { Sort } from '../../../parts/DataTable';

export interface LotsAsk {
  search: string;
  crop: string;
  disagree: boolean;
  /** Those that are gone too. */
  gone: boolean;
  sort: Sort | undefined;
}

export const atFirst: LotsAsk = { search: '', crop: '', disagree: false, gone: false, sort: undefined };

/** Whoever searches, or looks for what is to be settled, means lots that are gone too. */
export const hidesGone = ({ search, disagree, gone }: LotsAsk): boolean => search.trim() === '' && !disagree && !gone;

/** The view's path. The first page of everything has no parameters: that one is kept for a visit out of range. */
export function pathOf(ask: LotsAsk, after = ''): string {
  const { search, crop, disagree, sort } = ask;
  const said = { search: search.trim(), crop, disagree: disagree ? '1' : '', sort: sort?.key ?? '' };
  const all = { ...said, here: hidesGone(ask) ? '1' : '', down: sort?.down ? '1' : '', after };
  const query = new URLSearchParams(Object.entries(all).filter(([, value]) => value !== '')).toString();
  return query === '' ? 'lots' : `lots?${query}`;
}

/** Long enough between two letters, short enough after the last. */
const TYPING_MS = 250;

/** What is typed into a field, at once in the field itself and for others once somebody pauses. */
export function useTyped(value: string, pause: (typed: string) => void): [string, (typed: string) => void] {
  const [typed, setTyped] = useState(value);
  const timer = useRef<ReturnType<typeof setTimeout>>(undefined);
  const newest = useRef(pause);
  newest.current = pause;
  const applied = useRef(value);
  applied.current = value;
  useEffect(() => () => clearTimeout(timer.current), []);
  const type = (next: string) => {
    setTyped(next);
    clearTimeout(timer.current);
    timer.current = setTimeout(() => {
      if (next !== applied.current) newest.current(next);
    }, TYPING_MS);
  };
  return [typed, type];
}
