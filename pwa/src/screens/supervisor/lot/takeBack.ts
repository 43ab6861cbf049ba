/** Strikes out one write of a register's field: what it had replaced is in force again. */
import { voidEntries } from '../../../journal/outbox/voids';
import { say, sayNotSaved } from '../../../parts/Toast';
import { supervisorWords } from '../../../words/supervisor';

/**
 * Says what became of it, with a way back. Never throws: where it could not be saved, the person is shown why.
 * @param entry the note that wrote this field and no other
 * @param kind of the register, such as "lot", and of which one
 * @param name what the field is called
 */
export async function takeBackField(kind: string, of: string, entry: string, name: string): Promise<void> {
  try {
    const back = await voidEntries(
      [{ names: entry, records: [`${kind}:${of}`], place: kind === 'lot' ? { lot: of } : {} }],
      'mistake',
    );
    say(supervisorWords.value.lot.fieldTaken(name), () => void back().catch(sayNotSaved));
  } catch (error) {
    sayNotSaved(error);
  }
}
