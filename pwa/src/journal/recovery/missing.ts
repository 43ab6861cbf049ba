/**
 * What a server that was set back has lost, and no pull has shown since. One's own notes are sent again; others' are waited for, since
 * their phones send them again by themselves, and given back in their writers' names when nobody has: the phone that wrote them may be gone.
 */
import { within, type Work } from '../store/base';
import { publish } from '../store/changes';
import type { Cursor } from '../store/shape';
import { handBack } from '../wire';
import type { Page } from './missingNotes';

/**
 * Looks, at the head, for what no pull has shown, and does about it what can be done now.
 * @returns true when there is more to send or to pull
 * @throws Refusal
 */
export async function settleMissing(cursor: Cursor): Promise<boolean> {
  const isLooking = await within('readwrite', ['entries', 'records', 'meta'], (work) => beginLooking(work, cursor));
  if (isLooking !== true) return isLooking === 'later';
  const { dueNow, fitting, keepReturned, look, receiptOf } = await import('./missingNotes');
  let again = false;
  for (let page: Page | undefined; !page?.last;) {
    page = await within('readwrite', ['entries', 'records', 'meta'], look);
    publish({ ...page.folded, queue: page.again, partial: page.isWhole === true });
    again ||= page.again;
  }
  const due = await within('readwrite', ['entries', 'meta'], dueNow);
  const given = fitting(due);
  if (given.length === 0) return again;
  const refused = await handBack(
    cursor.epoch,
    given.map(({ text }) => text),
    given.map(({ row }) => receiptOf(row)),
  );
  const kept = given.map(({ row }) => row.id).filter((id) => !refused.includes(id));
  await within('readwrite', ['entries', 'meta'], (work) => keepReturned(work, kept));
  // What the server has no room for is offered again another time.
  return kept.length > 0 || again;
}

/** @returns 'later' where the journal is first to be read to its head, false where nothing is missing */
async function beginLooking(work: Work, at: Cursor): Promise<boolean | 'later'> {
  const meta = work.objectStore('meta');
  if (!(await meta.get('unconfirmed')) || !(await meta.get('writer'))) return false;
  const cursor = (await meta.get('cursor')) as Cursor | undefined;
  // Made unconfirmed since that page came, or about to be.
  const isOther = cursor?.epoch !== at.epoch || cursor.position !== at.position;
  return isOther || (await meta.get('recovery')) !== undefined ? 'later' : true;
}
