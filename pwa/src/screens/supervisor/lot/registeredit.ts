/** What a supervisor is changing about one lot or booking, kept at every keystroke until it is saved or discarded. */
import type { EntryBody } from '../../../../../schema/types';
import { recordOf } from '../../../journal/records/registers';
import { intent } from '../../../journal/outbox/write';
import { useForm, type Form } from '../../../forms/form';
import { saveForm } from '../../../forms/saving';

type Kind = 'lot' | 'booking';

export interface RegisterEdit {
  form: Form;
  /** What stands in a field: what was typed, else what is in force. */
  at: (field: string) => string;
  type: (field: string, text: string) => void;
  /** Writes what has changed; a value of null empties its field. */
  save: (changes: { readonly [field: string]: unknown }, said: string) => Promise<boolean>;
}

/**
 * Edits the thing of an id, or begins a new one where that is ''. A write names the values that were in force when the
 * typing of its field began: what somebody else wrote meanwhile stands beside it, to be settled.
 * @param shown a field's value in force as it is typed
 * @returns undefined for the moment until what was typed earlier has been read
 */
export function useRegisterEdit(
  kind: Kind,
  id: string,
  lot: string,
  shown: (field: string) => string,
): RegisterEdit | undefined {
  const form = useForm(`${kind} fields ${id}`, { lot, bed: '' });
  if (!form) return undefined;
  const typed = new Map(form.fields());
  const live = (field: string) => recordOf(kind, id)?.register?.fields[field]?.live.join(' ') ?? '';
  return {
    form,
    at: (field) => typed.get(field) ?? shown(field),
    type: (field, text) => {
      const isBack = id !== '' && text === shown(field);
      const saw = typed.get(sawOf(field)) ?? live(field);
      form.set({ [field]: isBack ? undefined : text, [sawOf(field)]: isBack ? undefined : saw });
    },
    save: async (changes, said) => {
      const seen = Object.keys(changes).flatMap((field) =>
        (typed.get(sawOf(field)) ?? live(field)).split(' ').filter(Boolean),
      );
      const body = { of: id === '' ? form.id(0) : id, saw: [...new Set(seen)].sort(), ...changes };
      const note = intent(kind, body as EntryBody[Kind], { id: form.id(1), lot });
      const saved = await saveForm(form.key, [note], said);
      if (saved) form.clear();
      return saved !== undefined;
    },
  };
}

function sawOf(field: string): string {
  return `saw ${field}`;
}
