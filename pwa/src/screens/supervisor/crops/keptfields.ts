/** What is typed into fields of a register, kept with the writes that the person had seen by then. */
import type { Field } from '../../../../../schema/types';
import type { Form } from '../../../forms/form';

/** Keeps texts of one field under their keys; undefined makes one as fresh as it was. */
export type Put = (field: string, texts: { readonly [key: string]: string | undefined }) => void;

/**
 * Keeps what was typed in a field, and with it which writes were in force when the typing began: those are what the
 * person has seen. What somebody else writes meanwhile is not overwritten but stands beside it, to be settled.
 */
export function putter(form: Form, fields: () => { readonly [name: string]: Field }): Put {
  return (field, texts) => {
    const live = () => fields()[field]?.live.join(' ') ?? '';
    const saw = new Map(form.fields()).get(sawOf(field)) ?? live();
    const isFresh = Object.entries(texts).every(([key, text]) => key === field && text === undefined);
    form.set({ ...texts, [sawOf(field)]: isFresh ? undefined : saw });
  };
}

function sawOf(field: string): string {
  return `saw ${field}`;
}

/** The writes that were seen on these fields when the typing began. */
export function sawAll(typed: ReadonlyMap<string, string>, fields: readonly string[]): string[] {
  const seen = fields.flatMap((field) => (typed.get(sawOf(field)) ?? '').split(' ').filter(Boolean));
  return [...new Set(seen)].sort();
}
