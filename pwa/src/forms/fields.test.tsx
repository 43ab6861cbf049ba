import { cleanup, fireEvent, render, screen } from '@testing-library/preact';
import { afterEach, expect, test, vi } from 'vitest';
import { CountField } from './fields';
import { potsTyped } from './typed';

afterEach(cleanup);

function shows(typed: string) {
  const onType = vi.fn();
  render(<CountField label="Pots" typed={typed} answer={potsTyped(typed, 'Pots')} tried={false} onType={onType} />);
  fireEvent.click(screen.getByRole('button', { name: '+10' }));
  return onType;
}

test.each([
  ['', '10'],
  ['0', '10'],
  ['120', '130'],
])('a step from "%s" goes to %s', (typed, next) => expect(shows(typed)).toHaveBeenCalledWith(next));

test.each(['1,200', 'about 30'])('no step goes from "%s", which cannot be read: it would be lost', (typed) => {
  expect(shows(typed)).not.toHaveBeenCalled();
});
