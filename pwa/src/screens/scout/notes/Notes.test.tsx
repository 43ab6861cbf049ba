import { cleanup, render, screen } from '@testing-library/preact';
import 'fake-indexeddb/auto';
import { afterEach, expect, test } from 'vitest';
import { syncStatus } from '../../../journal/worker/syncClient';
import { speak, appWords } from '../../../words';
import { setupWords } from '../../../words/rooms';
import { Notes } from './Notes';

afterEach(cleanup);

const cases = [
  ['en', 'quarantine_full', /Too many notes from this phone.*Phones page.*file below/],
  ['es', 'quarantine_full', /demasiadas notas de este teléfono.*Teléfonos.*archivo/],
  ['en', 'server_clock', /server’s clock seems wrong.*supervisor/],
  ['es', 'server_clock', /reloj del servidor parece estar mal.*encargado/],
  ['en', 'data_gone', /data was moved, deleted or replaced.*supervisor/],
  ['es', 'data_gone', /datos del servidor se movieron, se borraron o se cambiaron.*encargado/],
  ['en', 'server_full', /disk is full.*supervisor/],
  ['es', 'server_full', /disco del servidor está lleno.*encargado/],
] as const;

test.each(cases)('says in %s what %s means, and what to do', async (language, code, words) => {
  await speak(language);
  syncStatus.value = { ...syncStatus.value, state: 'busy', code };
  render(<Notes />);
  expect(await screen.findByText(words)).toBeDefined();
  // In place of "busy", which would only say to wait.
  expect(screen.queryByText(setupWords.value.notes.states.busy)).toBeNull();
});

test('says beside a revocation that the rest is kept, and a code that it does not know as busy', async () => {
  await speak('en');
  syncStatus.value = { ...syncStatus.value, state: 'revoked', code: 'quarantine_full' };
  render(<Notes />);
  expect(await screen.findByText(cases[0][2])).toBeDefined();
  expect(screen.getByText(setupWords.value.notes.states.revoked)).toBeDefined();
  cleanup();
  syncStatus.value = { ...syncStatus.value, state: 'busy', code: 'toString' };
  render(<Notes />);
  expect(await screen.findByText(setupWords.value.notes.states.busy)).toBeDefined();
});

test.each([
  ['en', /phone is full.*may still show as “to send”.*still sends what it can.*Free some space/],
  ['es', /teléfono está lleno.*pueden seguir como “por enviar”.*Sigue enviando lo que puede.*Libere espacio/],
] as const)(
  'says in %s that the phone is full, that notes are sent as far as they can be, and what to do',
  async (language, text) => {
    await speak(language);
    syncStatus.value = { ...syncStatus.value, state: 'full', code: '' };
    render(<Notes />);
    expect(await screen.findByText(text)).toBeDefined();
    expect(screen.getAllByText(appWords.value.scout.queue.full)).toBeDefined();
  },
);
