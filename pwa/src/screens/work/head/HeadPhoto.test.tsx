/** The bar of a card as it is typed: a size is shown for what stands in the field, and for nothing else. */
import { cleanup, fireEvent, render, screen } from '@testing-library/preact';
import { afterEach, beforeEach, expect, onTestFinished, test, vi } from 'vitest';
import { barOf } from '../../../forms/headcard';
import { speak } from '../../../words';
import HeadPhoto from './HeadPhoto';
import type { Measured } from './readPhoto';

const card = { mm: 45, print: '7F3A' };
/** A code of 45 mm, straight below the camera and 600 mm away. */
const photo = {
  camera: { f: 1500, cx: 750, cy: 1000 },
  wide: 1500,
  high: 2000,
  card,
  code: {
    corners: [
      { x: 693.75, y: 943.75 },
      { x: 806.25, y: 943.75 },
      { x: 806.25, y: 1056.25 },
      { x: 693.75, y: 1056.25 },
    ],
    weight: Array.from({ length: 8 }, (_, i) => Array.from({ length: 8 }, (__, j) => (i === j ? 1 : 0))),
    r2: 0.95,
    module: 5,
  },
} as unknown as Measured;

vi.mock('./readPhoto', async (original) => ({ ...(await original<object>()), readPhoto: async () => photo }));
vi.mock('./Edges', () => ({
  Edges: ({ onEdges }: { onEdges: (edges: readonly object[], scale: number) => void }) => (
    <button
      type="button"
      onClick={() =>
        onEdges(
          [
            { x: 410, y: 1000 },
            { x: 1090, y: 1000 },
          ],
          1,
        )
      }
    >
      tap both
    </button>
  ),
}));

beforeEach(() => speak('en'));
afterEach(() => {
  cleanup();
  localStorage.clear();
});

const bar = () => screen.findByLabelText(/Length of the bar printed with card 7F3A/);
const type = (field: HTMLElement, value: string) => fireEvent.input(field, { target: { value } });

async function measures(): Promise<void> {
  const view = render(<HeadPhoto place={{ bed: '', lot: '', row: undefined } as never} pot="p" then="/" />);
  const file = view.container.querySelector<HTMLInputElement>('input[type=file]')!;
  fireEvent.change(file, { target: { files: [new File(['x'], 'camera.jpg')] } });
  await bar();
  type(screen.getByLabelText(/From the card down/), '2');
  fireEvent.click(screen.getByText('tap both'));
}

const save = () => screen.getByRole<HTMLButtonElement>('button', { name: 'Save' });

test('a phone that can keep no length measures with the one that was typed', async () => {
  const full = vi.spyOn(Storage.prototype, 'setItem').mockImplementation(() => {
    throw new DOMException('full', 'QuotaExceededError');
  });
  onTestFinished(() => full.mockRestore());
  await measures();
  expect(save().disabled).toBe(true);
  type(await bar(), '100');
  expect(screen.getByText(/^About /)).toBeTruthy();
  expect(save().disabled).toBe(false);
});

test('while the field holds no length no size is shown, though an earlier length is kept', async () => {
  localStorage.setItem('bedwalk-card-bar-7F3A', '100');
  await measures();
  expect(screen.getByText(/^About /)).toBeTruthy();
  type(await bar(), '1000');
  expect(screen.queryByText(/^About /)).toBeNull();
  expect(save().disabled).toBe(true);
  expect(barOf(card)).toBe(100);
});
