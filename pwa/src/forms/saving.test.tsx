/** A half-filled form that two tabs show, saved in both. */
import 'fake-indexeddb/auto';
import { act, renderHook } from '@testing-library/preact';
import { afterEach, beforeAll, expect, test, vi } from 'vitest';
import { formOf, keepForm } from '../journal/outbox/forms';
import { intent } from '../journal/outbox/write';
import { become } from '../journal/identity';
import { base } from '../journal/store/base';
import { saidNow, unsay } from '../parts/Toast';
import { useForm, type Form } from './form';
import { saveForm } from './saving';

beforeAll(() =>
  become({
    device: '00000000000000d1',
    person: 'a'.repeat(32),
    name: 'Ines',
    role: 'supervisor',
    inc: 1,
    epoch: 'e1',
    time: '2026-12-01T08:00:00Z',
  } as never),
);
afterEach(unsay);

const lot = '3'.repeat(32);
const lost = (id: string, change: number, words: string) =>
  intent('count', { lot, change, reason: 'lost_dry', words }, { id });

test('a form that is given other ids keeps what stands in its fields, and has them after a restart too', async () => {
  const shown = renderHook(() => useForm('cuttings', { lot, bed: '' }));
  await vi.waitFor(() => expect(shown.result.current).toBeDefined());
  const now = () => shown.result.current as Form;
  void act(() => now().set({ tag: 'CU-4' }));
  const before = now().id(0);
  void act(() => now().renew());
  expect(now().at('tag')).toBe('CU-4');
  expect(now().id(0)).not.toBe(before);
  const after = now().id(0);
  shown.unmount();
  const later = renderHook(() => useForm('cuttings', { lot, bed: '' }));
  await vi.waitFor(() => expect(later.result.current).toBeDefined());
  expect((later.result.current as Form).id(0)).toBe(after);
});

function tab(key: string): Form & { renew: ReturnType<typeof vi.fn> } {
  return { key, renew: vi.fn() } as never;
}

test('what the second tab typed is not saved, not lost, and the sentence says what stands', async () => {
  const [first, second] = [tab('loss'), tab('loss')];
  const id = 'b'.repeat(32);
  expect(await saveForm(first, [lost(id, -12, 'dried out')], 'saved')).toHaveLength(1);
  await keepForm('loss', { change: '13' });
  expect(await saveForm(second, [lost(id, -13, 'rot')], 'saved')).toBeUndefined();
  expect(saidNow.value?.text).toMatch(/already saved in another tab, as “−12, .*dried out”/);
  expect(first.renew).not.toHaveBeenCalled();
  expect(second.renew).toHaveBeenCalledTimes(1);
  expect(await formOf('loss')).toEqual({ change: '13' });
  expect((await (await base()).get('entries', id))?.entry.body).toMatchObject({ change: -12 });
  // Under the ids that it has from then on both stand.
  expect(await saveForm(second, [lost('c'.repeat(32), -13, 'rot')], 'saved')).toHaveLength(1);
  expect(await (await base()).countFromIndex('entries', 'pending')).toBe(2);
});

test('nothing of a form is saved when one of its notes stands there otherwise', async () => {
  const form = tab('cuttings');
  await saveForm(form, [lost('d'.repeat(32), -1, 'one')], 'saved');
  const before = await (await base()).countFromIndex('entries', 'pending');
  expect(
    await saveForm(form, [lost('e'.repeat(32), -2, 'two'), lost('d'.repeat(32), -1, 'other')], 'saved'),
  ).toBeUndefined();
  expect(await (await base()).countFromIndex('entries', 'pending')).toBe(before);
});

test('a save that is repeated with the same words is said to be saved', async () => {
  const form = tab('again');
  const notes = [lost('f'.repeat(32), -3, 'three')];
  await saveForm(form, notes, 'saved');
  expect(await saveForm(form, notes, 'saved')).toHaveLength(1);
  expect(form.renew).not.toHaveBeenCalled();
});
