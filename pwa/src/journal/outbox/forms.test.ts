/** A form while it is filled in and saved: what was saved is in no field any more, however close the last key was to Save. */
import 'fake-indexeddb/auto';
import { expect, test } from 'vitest';
import { within } from '../store/base';
import { clearForm, formOf, halfFilled, keepForm } from './forms';

test('what is typed right before Save does not come back after it', async () => {
  const first = keepForm('cuttings', { tag: 'CU' });
  const last = keepForm('cuttings', { tag: 'CU-3' });
  // As a save does it: it reads first, and clears the form at its end.
  await within('readwrite', ['meta'], async (work) => {
    await work.objectStore('meta').get('writer');
    await clearForm(work, 'cuttings');
  });
  await Promise.all([first, last]);
  expect(await formOf('cuttings')).toBeUndefined();
  expect(await halfFilled()).toEqual([]);
  // What is typed after that is a form again.
  await keepForm('cuttings', { tag: 'CU-4' });
  expect(await formOf('cuttings')).toEqual({ tag: 'CU-4' });
});
