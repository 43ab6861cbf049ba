/** Where the keyboard stands after what it opened was closed again. */
import { cleanup, fireEvent, render, screen, waitFor } from '@testing-library/preact';
import { useState } from 'preact/hooks';
import { afterEach, expect, test } from 'vitest';
import { useFocusBack, whereLost } from './focus';
import { say, Toasts } from './Toast';

afterEach(cleanup);

function Editor({ onDone }: { onDone: () => void }) {
  useFocusBack();
  return (
    <form>
      <input aria-label="Name" />
      <button type="button" onClick={onDone}>
        Save
      </button>
    </form>
  );
}

/** @param stays whether the button that opens the editor stands beside it, as in a table, or makes room for it */
function Row({ name, stays }: { name: string; stays: boolean }) {
  const [isOpen, open] = useState(false);
  return (
    <section aria-label={name}>
      {isOpen && <Editor onDone={() => open(false)} />}
      {(stays || !isOpen) && (
        <div>
          <button type="button" onClick={() => open(true)}>
            Change
          </button>
        </div>
      )}
    </section>
  );
}

test.each([true, false])(
  'an editor that is closed gives the focus back to what opened it (that stays: %s)',
  async (stays) => {
    render(
      <>
        <Row name="H1" stays={stays} />
        <Row name="H2" stays={stays} />
      </>,
    );
    const second = () => screen.getAllByRole('button', { name: 'Change' })[1]!;
    second().focus();
    fireEvent.click(second());
    screen.getByLabelText('Name').focus();
    const save = screen.getByRole('button', { name: 'Save' });
    save.focus();
    fireEvent.click(save);
    await waitFor(() => expect(screen.queryByRole('button', { name: 'Save' })).toBeNull());
    await waitFor(() => expect(document.activeElement).toBe(second()));
    expect(second().closest('section')?.getAttribute('aria-label')).toBe('H2');
  },
);

test('a focus that somebody has moved on is left where it is, and one on a disabled button is not left', async () => {
  render(
    <>
      <input aria-label="Here" />
      <input aria-label="There" />
      <button type="button">Add</button>
    </>,
  );
  const drawn = () => new Promise((done) => requestAnimationFrame(done));
  screen.getByLabelText('There').focus();
  whereLost(() => screen.getByLabelText('Here'));
  await drawn();
  expect(document.activeElement).toBe(screen.getByLabelText('There'));
  const add = screen.getByRole<HTMLButtonElement>('button');
  add.focus();
  add.disabled = true;
  whereLost(() => screen.getByLabelText('Here'));
  await drawn();
  expect(document.activeElement).toBe(screen.getByLabelText('Here'));
});

test('who takes something back in a toast stands again where they stood before', async () => {
  let undone = false;
  render(
    <main>
      <h1 tabIndex={-1}>Beds</h1>
      <button type="button">Settle</button>
      <Toasts />
    </main>,
  );
  const settle = screen.getByRole('button', { name: 'Settle' });
  settle.focus();
  say('Settled.', () => (undone = true));
  const undo = await screen.findByRole('button', { name: 'Undo' });
  undo.focus();
  fireEvent.click(undo);
  await waitFor(() => expect(document.activeElement).toBe(settle));
  expect(undone).toBe(true);
});
