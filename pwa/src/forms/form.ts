/** One form while it is open: what stands in its fields, kept at every keystroke, and the ids of what it will save. */
import { useEffect, useState } from 'preact/hooks';
import { formOf, keepForm, type Filled } from '../journal/outbox/forms';
import { randomId } from '../journal/store/device';
import { holdUpdates } from '../update';
import type { Location } from './place';
import type { Answer } from './typed';

/** What ties a field on the screen to a form. */
export interface Field {
  typed: string;
  answer: Answer<unknown>;
  /** Whether to say that nothing was typed, which would only nag before Save. */
  tried: boolean;
  onType: (text: string) => void;
}

export interface Form {
  key: string;
  /** What stands in a field; empty where nothing was typed. */
  at: (field: string) => string;
  /** Puts texts into fields; undefined makes a field as fresh as it was. */
  set: (changes: { readonly [field: string]: string | undefined }) => void;
  /** A field's text and what was made of it, for a field on the screen. */
  field: (name: string, answer: Answer<unknown>) => Field;
  /** True once anything differs from a fresh form. */
  touched: boolean;
  /** The nth id of what the form saves: the same at every try, so that a repeated save notes a thing once. */
  id: (nth: number) => string;
  /** True after Save found something missing: from then on what is missing is said at its field. */
  tried: boolean;
  trying: () => void;
  clear: () => void;
  /** Keeps the fields as they stood when this was drawn, to be saved again, under other ids, since its own are struck out. */
  putBack: () => void;
  /** Gives other ids to what the form saves, since its own have been taken by other words. */
  renew: () => void;
  /** Every field as it stands, to be put back after a clearing that was not meant. */
  fields: () => [string, string][];
}

const SEED = 'seed';

/**
 * @param task the piece of work that the form ticks: what was half filled for something else is not in it
 * @returns undefined for the moment until what was typed earlier has been read
 */
export function useForm(name: string, place: Location, fresh: Filled = {}, task = ''): Form | undefined {
  const key = task === '' ? formKey(name, place) : `${formKey(name, place)}:${task}`;
  const [filled, fill] = useState<Filled | undefined>(undefined);
  const [tried, setTried] = useState(false);
  useEffect(() => {
    let current = true;
    void formOf(key).then(
      (kept) => current && fill(kept ?? { ...fresh, [SEED]: randomId() }),
      () => current && fill({ ...fresh, [SEED]: randomId() }),
    );
    return () => {
      current = false;
    };
  }, [key]);
  const touched = filled !== undefined && Object.entries(filled).some(([field, text]) => isOwn(field, text, fresh));
  useEffect(() => (touched ? holdUpdates() : undefined), [touched]);
  if (!filled) return undefined;
  const seed = filled[SEED] ?? '';
  const at = (field: string) => filled[field] ?? '';
  const set = (changes: { readonly [field: string]: string | undefined }) => {
    const all = Object.entries({ ...filled, ...changes });
    const next = Object.fromEntries(all.flatMap(([field, text]) => (text === undefined ? [] : [[field, text]])));
    fill(next);
    void keepForm(key, next);
  };
  return {
    key,
    at,
    set,
    field: (name, answer) => ({ typed: at(name), answer, tried, onType: (text) => set({ [name]: text }) }),
    touched,
    id: (nth) => `${seed.slice(0, 30)}${nth.toString(16).padStart(2, '0')}`,
    tried,
    trying: () => setTried(true),
    clear: () => {
      setTried(false);
      fill({ ...fresh, [SEED]: randomId() });
      void keepForm(key, undefined);
    },
    renew: () =>
      // What was typed while it was being saved is in the fields too.
      fill((now) => {
        const next = { ...now, [SEED]: randomId() };
        void keepForm(key, next);
        return next;
      }),
    putBack: () => void keepForm(key, { ...filled, [SEED]: randomId() }),
    fields: () => Object.entries(filled),
  };
}

export function formKey(name: string, place: Location): string {
  return `${name}:${place.lot}:${place.bed}`;
}

function isOwn(field: string, text: string, fresh: Filled): boolean {
  return field !== SEED && text !== (fresh[field] ?? '');
}
