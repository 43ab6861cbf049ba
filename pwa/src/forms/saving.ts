/** Saves what a form says, in one transaction with the clearing of the form, and voids it on Undo. */
import { clearForm } from '../journal/outbox/forms';
import type { Intent } from '../journal/store/shape';
import { mustBeSame, SavedOtherwise } from '../journal/outbox/twice';
import { intent, save } from '../journal/outbox/write';
import type { Stamped, Task } from '../../../schema/types';
import { keys } from '../../../sync/fold/fold';
import { say, sayNotSaved } from '../parts/Toast';
import { describeEntry } from '../words/entry';
import { workWords } from '../words/rooms';
import type { Form } from './form';
import { isTick, untick } from './tasks';

/**
 * Two tabs that show one half-filled form would save it under the same ids: the second to save is shown what stands there, and keeps
 * what was typed, to be saved as well under other ids.
 * @param form the form, or the name of what is no form and has new ids at each save
 * @param undone called when what was saved has been taken back
 * @returns what was saved, or undefined after the person has been shown why it was not
 */
export async function saveForm(
  form: Form | string,
  notes: readonly Intent[],
  said: string,
  undone: () => void = () => undefined,
): Promise<Stamped[] | undefined> {
  try {
    const saved = await save(notes, async (work) => {
      await mustBeSame(work, notes);
      await clearForm(work, typeof form === 'string' ? form : form.key);
    });
    say(said, () => void voidSaved(saved).then((done) => done && undone()));
    return saved;
  } catch (error) {
    if (error instanceof SavedOtherwise && typeof form !== 'string') {
      form.renew();
      const { kind, body } = error.there;
      sayNotSaved({ say: workWords.value.work.form.savedOtherwise(describeEntry(kind, body)) });
    } else sayNotSaved(error);
    return undefined;
  }
}

/**
 * Voids everything that one action noted, and takes back its ticks. A void stands only when it names all records of its target.
 * @returns false after the person has been shown that it could not be saved
 */
export async function voidSaved(saved: readonly Stamped[], said = workWords.value.work.form.undone): Promise<boolean> {
  const back = saved.map((each) => {
    const { id, lot, bed, body } = each.entry;
    if (isTick(each)) return untick({ task: (body as Task).of, lot: lot ?? '' }, id);
    const where = { ...(lot ? { lot } : {}), ...(bed ? { bed } : {}) };
    return intent('void', { names: id, records: keys(each.entry), why: 'mistake' }, where);
  });
  try {
    await save(back);
    say(said);
    return true;
  } catch {
    say(workWords.value.work.form.undoFailed);
    return false;
  }
}
