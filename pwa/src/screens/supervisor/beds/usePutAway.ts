import { useEffect, useMemo, useState } from 'preact/hooks';
import type { AttentionView } from '../../../../../schema/types';

/** The rows that were put away on this page; the server's list has them until it has read the note. */
export function usePutAway(view: AttentionView | undefined) {
  const [gone, setGone] = useState<ReadonlySet<string>>(new Set());
  const put = (id: string, isAway: boolean) =>
    setGone((before) => new Set(isAway ? [...before, id] : [...before].filter((one) => one !== id)));
  const items = useMemo(() => view?.items.filter(({ id }) => !gone.has(id)) ?? [], [view, gone]);
  // Once the list has come without a row, the row may come back by itself.
  useEffect(() => {
    if (!view || gone.size === 0) return;
    const listed = new Set(view.items.map(({ id }) => id));
    const still = [...gone].filter((id) => listed.has(id));
    if (still.length < gone.size) setGone(new Set(still));
  }, [view]);
  return { items, put };
}
