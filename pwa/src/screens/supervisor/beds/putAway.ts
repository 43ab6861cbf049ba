/** What a row of the attention list can do: settle, snooze, bring back, send a scout, keep one of two values. Each is a note, undone by its toast. */
import { useEffect, useMemo, useState } from 'preact/hooks';
import type { AttentionItem, AttentionView, EntryBody, Matter } from '../../../../../schema/types';
import { saveForm } from '../../../forms/saving';
import { intent } from '../../../journal/outbox/write';
import { randomId } from '../../../journal/store/device';
import { day } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';

type Answer = Pick<Matter, 'settled' | 'snoozed_to'>;

/**
 * Writes what was done about a trouble, with how bad it is now.
 * @param undone called when the toast took it back
 */
async function write(item: AttentionItem, answer: Answer, said: string, undone: () => void): Promise<boolean> {
  const lot = item.lot ? { lot: item.lot } : {};
  const bed = item.finding || item.now ? { bed: item.beds[0]?.bed ?? '' } : {};
  const body: Matter = {
    of: item.id,
    about: item.code,
    ...lot,
    ...bed,
    ...answer,
    found_at: item.found_at,
    extent: item.extent,
    ...(item.answer ? { saw: [...item.answer.live] } : {}),
  };
  const saved = await saveForm(`put away ${item.id}`, [intent('matter', body, { ...lot, ...bed })], said, undone);
  return saved !== undefined;
}

export function settle(item: AttentionItem, what: string, undone: () => void): Promise<boolean> {
  return write(item, { settled: true, snoozed_to: null }, supervisorWords.value.morning.settled(what), undone);
}

export function snooze(item: AttentionItem, to: string, what: string, undone: () => void): Promise<boolean> {
  const said = supervisorWords.value.morning.snoozed(what, day(to));
  return write(item, { settled: false, snoozed_to: to }, said, undone);
}

export function bringBack(item: AttentionItem, what: string, undone: () => void): Promise<boolean> {
  return write(item, { settled: null, snoozed_to: null }, supervisorWords.value.morning.broughtBack(what), undone);
}

/** Keeps one of the values that people wrote apart; the note names every write that it settles. */
export async function keepValue(
  item: AttentionItem,
  value: unknown,
  said: string,
  undone: () => void,
): Promise<boolean> {
  const lot = item.lot ?? '';
  const body = { of: lot, saw: [...(item.saw ?? [])], [item.field ?? '']: value } as EntryBody['lot'];
  const form = `keep ${item.id}`;
  const kept = supervisorWords.value.morning.kept(said);
  return (await saveForm(form, [intent('lot', body, { lot })], kept, undone)) !== undefined;
}

interface Errand {
  person: string;
  name: string;
  due: string;
  words: string;
}

/** Hands out a look at a bed as a task: it stands on the scout's Today and in the work list. */
export async function sendScout(bed: string, { person, name, due, words }: Errand): Promise<boolean> {
  const body = { of: randomId(), beds: [bed], words, person, due_on: due };
  const said = supervisorWords.value.morning.sent(name);
  return (await saveForm(`send to ${bed}`, [intent('task', body)], said)) !== undefined;
}

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
