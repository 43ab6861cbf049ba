import { act, cleanup, render } from '@testing-library/preact';
import { afterEach, expect, test } from 'vitest';
import { useOpenOnPaper, useWidthOnPaper } from './onPaper';

afterEach(cleanup);

function Plot({ room }: { room: number }) {
  const open = useOpenOnPaper('details');
  return (
    <div ref={open}>
      <b>{useWidthOnPaper(room, 500)}</b>
      <details />
    </div>
  );
}

test('a plot is no wider than its place on the sheet while it is printed, and what is folded is open', async () => {
  const { container } = render(<Plot room={900} />);
  const width = () => container.querySelector('b')!.textContent;
  const isOpen = () => container.querySelector('details')!.open;
  expect([width(), isOpen()]).toEqual(['900', false]);
  await act(() => void dispatchEvent(new Event('beforeprint')));
  expect([width(), isOpen()]).toEqual(['500', true]);
  await act(() => void dispatchEvent(new Event('afterprint')));
  expect([width(), isOpen()]).toEqual(['900', false]);
});

test('a plot that is narrower than its place stays as it is', async () => {
  const { container } = render(<Plot room={358} />);
  await act(() => void dispatchEvent(new Event('beforeprint')));
  expect(container.querySelector('b')!.textContent).toBe('358');
});
