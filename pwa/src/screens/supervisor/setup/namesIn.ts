import { checkField } from '../../../../../schema/check';

/** Names as they are pasted, a line or a comma each: those that are new, those that somebody has already, and those that are too long. */
export function namesIn(typed: string, known: readonly string[]): Record<'fresh' | 'there' | 'wrong', string[]> {
  const same = (a: string) => a.toLocaleLowerCase();
  const taken = new Set(known.map(same));
  const all: Record<'fresh' | 'there' | 'wrong', string[]> = { fresh: [], there: [], wrong: [] };
  for (const name of typed.split(/[\n,;\t]/).map((each) => each.trim().replace(/\s+/g, ' '))) {
    if (name === '') continue;
    if (checkField('person', 'name', name)) all.wrong.push(name);
    else if (taken.has(same(name))) all.there.push(name);
    else {
      taken.add(same(name));
      all.fresh.push(name);
    }
  }
  return all;
}
