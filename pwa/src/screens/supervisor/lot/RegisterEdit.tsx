/** What a supervisor is changing about one record (a lot, booking, house, bed, site, crop or task), kept at every keystroke until it is saved or discarded. */
import type { ComponentChildren } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import type { EntryBody, Register } from '../../../../../schema/types';
import { recordOf } from '../../../journal/records/registers';
import { intent } from '../../../journal/outbox/write';
import { useForm, type Field, type Form } from '../../../forms/form';
import { saveForm } from '../../../forms/saving';
import type { Answer } from '../../../forms/typed';
import { Button } from '../../../parts/Button';
import { firstField, useFocusBack, whereLost } from '../../../parts/focus';
import { Problems } from '../../../parts/Problems';
import { supervisorWords } from '../../../words/supervisor';
import '../../../style/supervisor-register.css';

type Kind = 'lot' | 'booking' | 'house' | 'bed' | 'site' | 'profile' | 'task';

export interface RegisterEdit {
  form: Form;
  /** What stands in a field: what was typed, else what is in force. */
  at: (field: string) => string;
  type: (field: string, text: string) => void;
  /** Types several fields at once: one call after the other would leave only the last. */
  typeAll: (texts: { readonly [field: string]: string }) => void;
  /** A field's text and what was made of it, for a field on the screen. */
  field: (field: string, answer: Answer<unknown>) => Field;
  /**
   * Writes what has changed; a value of null empties its field. Nothing changed is nothing to write, and saved as it is.
   * @returns false after the person has been shown that it could not be saved
   */
  save: (changes: { readonly [field: string]: unknown }, said: string) => Promise<boolean>;
}

/**
 * Edits the thing of an id, or begins a new one where that is ''. A write names the values that were in force when the
 * typing of its field began: what somebody else wrote meanwhile stands beside it, to be settled.
 * @param shown a field's value in force as it is typed
 * @param task the register of a task, which no device holds in memory
 * @returns undefined for the moment until what was typed earlier has been read
 */
export function useRegisterEdit(
  kind: Kind,
  id: string,
  lot: string,
  shown: (field: string) => string,
  task?: Register,
): RegisterEdit | undefined {
  const form = useForm(`${kind} fields ${id}`, { lot, bed: '' });
  useFocusBack();
  if (!form) return undefined;
  const typed = new Map(form.fields());
  const register = kind === 'task' ? task : recordOf(kind, id)?.register;
  const live = (field: string) => register?.fields[field]?.live.join(' ') ?? '';
  const at = (field: string) => typed.get(field) ?? shown(field);
  const typeAll = (texts: { readonly [field: string]: string }) => {
    const all = Object.entries(texts).flatMap(([field, text]) => {
      const isBack = id !== '' && text === shown(field);
      const saw = typed.get(sawOf(field)) ?? live(field);
      return [
        [field, isBack ? undefined : text],
        [sawOf(field), isBack ? undefined : saw],
      ];
    });
    form.set(Object.fromEntries(all));
  };
  const type = (field: string, text: string) => typeAll({ [field]: text });
  return {
    form,
    at,
    type,
    typeAll,
    field: (field, answer) => ({ typed: at(field), answer, tried: form.tried, onType: (text) => type(field, text) }),
    save: async (changes, said) => {
      if (Object.keys(changes).length === 0) return true;
      const seen = Object.keys(changes).flatMap((field) =>
        (typed.get(sawOf(field)) ?? live(field)).split(' ').filter(Boolean),
      );
      const body = { of: id === '' ? form.id(0) : id, saw: [...new Set(seen)].sort(), ...changes };
      const note = intent(kind, body as EntryBody[Kind], { id: form.id(1), ...(lot === '' ? {} : { lot }) });
      const saved = await saveForm(form, [note], said);
      if (saved) form.clear();
      return saved !== undefined;
    },
  };
}

interface FormProps {
  edit: RegisterEdit;
  kind: 'known' | 'booking' | 'house-fields' | 'bed-fields' | 'money-fields' | 'working-days';
  /** All that keeps it from being saved, in the order of its fields. */
  problems: readonly string[];
  /** Asked only when there is no problem. */
  onSave: () => Promise<void>;
  /** What Save says. */
  save: string;
  /** The other button beside it: what it says, and what it does. */
  beside?: { label: string; onTap: () => void; quiet?: boolean } | undefined;
  children: ComponentChildren;
}

/** What stands around the fields: Save says first what is still wrong, and moves the focus there. */
export function RegisterForm({ edit, kind, problems, onSave, save, beside, children }: FormProps) {
  const summary = useRef<HTMLDivElement>(null);
  const fields = useRef<HTMLFormElement>(null);
  // Beside a mouse there is a keyboard: it goes on in the first field. On a phone it would cover half of the form.
  useEffect(() => {
    const opener = document.activeElement;
    if (!matchMedia('(pointer: fine)').matches) return;
    if (opener?.matches('main button')) firstField(fields.current)?.focus();
    else whereLost(() => firstField(fields.current));
  }, []);
  const isWrong = edit.form.tried && problems.length > 0;
  useEffect(() => {
    if (isWrong) summary.current?.focus();
  }, [isWrong]);
  return (
    <form
      ref={fields}
      class={`crop ${kind}`}
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        edit.form.trying();
        if (problems.length === 0) void onSave();
      }}
    >
      {isWrong && <Problems box={summary} title={supervisorWords.value.crops.notYet} problems={problems} />}
      {children}
      <div class="actions">
        {beside && (
          <Button {...(beside.quiet ? { kind: 'quiet' } : {})} onClick={beside.onTap}>
            {beside.label}
          </Button>
        )}
        <Button kind="main" submit>
          {save}
        </Button>
      </div>
    </form>
  );
}

/** The button that leaves a form without saving. What was typed is forgotten. */
export function leaving(edit: RegisterEdit, label: string, onDone: () => void): FormProps['beside'] {
  const onTap = () => {
    edit.form.clear();
    onDone();
  };
  return { label, onTap, quiet: true };
}

/** The values that are not those in force, as a note writes them: null where a field is emptied. */
export function changedFrom<Value>(
  own: { readonly [field: string]: unknown } | undefined,
  all: { readonly [field: string]: Value | null | undefined },
): { [field: string]: Value | null } {
  return Object.fromEntries(
    Object.entries(all).flatMap(([field, value]) =>
      (value ?? undefined) === (own?.[field] ?? undefined) ? [] : [[field, value ?? null]],
    ),
  );
}

function sawOf(field: string): string {
  return `saw ${field}`;
}
