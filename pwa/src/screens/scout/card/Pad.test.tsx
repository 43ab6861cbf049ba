import { cleanup, fireEvent, render, screen } from '@testing-library/preact';
import { afterEach, expect, test, vi } from 'vitest';
import { Pad } from './Pad';

afterEach(cleanup);

function pad(text: string, isWhole = false) {
  const [onText, onEnter] = [vi.fn(), vi.fn()];
  render(
    <>
      <textarea />
      <Pad
        label="head size"
        of="head"
        text={text}
        isWhole={isWhole}
        room={{ whole: 3, decimals: 1 }}
        onText={onText}
        onEnter={onEnter}
        onNotSeen={vi.fn()}
        corner={undefined}
        side={[]}
      />
    </>,
  );
  return { onText, onEnter };
}

test('a thumb adds digits to what stands there', () => {
  const { onText } = pad('3');
  fireEvent.click(screen.getByRole('button', { name: '1' }));
  expect(onText.mock.calls).toEqual([['31', 'thumb']]);
});

test('a thumb that comes back to a number begins another, and may erase the last digit of the one that stands there', () => {
  const { onText } = pad('31', true);
  fireEvent.click(screen.getByRole('button', { name: '2' }));
  cleanup();
  const again = pad('31', true);
  fireEvent.click(screen.getByRole('button', { name: 'Erase the last digit' }));
  fireEvent.click(screen.getByRole('button', { name: '5' }));
  expect(onText.mock.calls).toEqual([['2', 'thumb']]);
  expect(again.onText.mock.calls.map(([text]) => text as string)).toEqual(['3', '315']);
});

test('a caliper types a number of its own, whatever stood there, and ends it with Enter', () => {
  const { onText, onEnter } = pad('3');
  for (const key of ['2', '9', '5', 'Enter', '7']) fireEvent.keyDown(document.body, { key });
  expect(onText.mock.calls.map(([text]) => text as string)).toEqual(['2', '29', '295', '7']);
  expect(onEnter).toHaveBeenCalledOnce();
});

test('typing in a field of the page is left to the field', () => {
  const { onText } = pad('');
  fireEvent.keyDown(screen.getByRole('textbox'), { key: '1' });
  expect(onText).not.toHaveBeenCalled();
});
