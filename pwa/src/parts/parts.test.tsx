import { act, cleanup, fireEvent, render, screen } from '@testing-library/preact';
import { afterEach, describe, expect, test, vi } from 'vitest';
import { BedStrip, EDGE } from './BedStrip';
import { Choice } from './Choice';
import { DataTable } from './DataTable';
import { Dialog } from './Dialog';
import { keyOf, press, valueOf, type Key } from './keys';
import { useLater } from './later';
import { say, Toasts, unsay } from './Toast';

afterEach(() => {
  cleanup();
  unsay();
});

const room = { whole: 3, decimals: 1 };
const typed = (...keys: Key[]) => keys.reduce((text, key) => press(text, key, room), '');

describe('the keypad writes numbers', () => {
  test.each<[string, Key[]]>([
    ['31.5', ['3', '1', '.', '5']],
    ['0.', ['.']],
    ['7', ['0', '7']],
    ['123', ['1', '2', '3', '4']],
    ['1.2', ['1', '.', '2', '3']],
    ['1.2', ['1', '.', '2', '.']],
    ['3', ['3', '1', 'erase']],
    ['', ['3', '1', 'clear']],
  ])('%s from %j', (text, keys) => expect(typed(...keys)).toBe(text));

  test('a point makes no sense in a count', () => {
    expect(press('12', '.', { whole: 4, decimals: 0 })).toBe('12');
  });

  test('nothing typed is no number, a lone point neither', () => {
    expect(valueOf('')).toBeUndefined();
    expect(valueOf('.')).toBeUndefined();
    expect(valueOf('0.')).toBe(0);
    expect(valueOf('31.5')).toBe(31.5);
  });

  test('a comma on the keyboard is the point', () => expect(keyOf(',')).toBe('.'));
});

test('a choice is a group of radio buttons with its question as name', () => {
  const onChoose = vi.fn();
  const options = [0, 1, 2].map((value) => ({ value, label: String(value) }));
  render(<Choice legend="How much do they cover?" options={options} value={1} onChoose={onChoose} />);
  expect(screen.getByRole('group', { name: 'How much do they cover?' })).toBeDefined();
  expect((screen.getByRole('radio', { name: '1' }) as HTMLInputElement).checked).toBe(true);
  fireEvent.click(screen.getByRole('radio', { name: '2' }));
  expect(onChoose).toHaveBeenCalledWith(2);
});

describe('a toast', () => {
  test('offers the way back once', async () => {
    const undo = vi.fn();
    render(<Toasts />);
    say('Pot struck out', undo);
    fireEvent.click(await screen.findByRole('button', { name: 'Undo' }));
    expect(undo).toHaveBeenCalledOnce();
    expect(screen.queryByText('Pot struck out')).toBeNull();
  });

  test('has no button where nothing can be undone', async () => {
    render(<Toasts />);
    say('Sent');
    expect(await screen.findByText('Sent')).toBeDefined();
    expect(screen.queryByRole('button')).toBeNull();
  });
});

test.each<[string, (() => void) | undefined, number]>([
  ['that is only read leaves', undefined, 4000],
  ['that can be undone leaves', () => undefined, 10_000],
])('a toast %s', (_, undo, after) => {
  vi.useFakeTimers();
  try {
    render(<Toasts />);
    act(() => say('Pot struck out', undo));
    act(() => void vi.advanceTimersByTime(after - 1));
    expect(screen.queryByText('Pot struck out')).not.toBeNull();
    act(() => void vi.advanceTimersByTime(1));
    expect(screen.queryByText('Pot struck out')).toBeNull();
  } finally {
    vi.useRealTimers();
  }
});

describe('the bed strip', () => {
  const spans = [
    { lot: 'a', label: '0412 Corvane', from_row: 1, to_row: 60 },
    { lot: 'b', label: '0417 Ember Lace', from_row: 61, to_row: 100 },
  ];
  const strip = (
    <BedStrip
      bed="Bed 14"
      rows={100}
      across={4}
      spans={spans}
      pots={[
        { id: 'p', place: { row: 50, across: 1 }, state: 'seen', lot: 'a' },
        { id: 'q', place: { row: 100, across: 4 }, state: 'trouble', lot: 'b' },
        { id: 'r', place: { row: 70, across: 2 }, state: 'planned', lot: 'b' },
      ]}
    />
  );

  test('says the bed, its lots and how many pots were seen', () => {
    render(strip);
    expect(screen.getByRole('img', { name: 'Bed 14 from the entry end: 2 lots, 2 pots checked' })).toBeDefined();
  });

  test('draws rows to scale along the bed', () => {
    const { container } = render(strip);
    const [first, second] = [...container.querySelectorAll('.span')].map((rect) => Number(rect.getAttribute('width')));
    expect((first ?? 0) / (second ?? 1)).toBeCloseTo(60 / 40, 5);
    const dot = container.querySelector('.pot.seen');
    expect(Number(dot?.getAttribute('cx'))).toBeCloseTo(EDGE + (49.5 / 100) * (358 - 2 * EDGE), 5);
  });

  test('draws the marks at its ends and edges whole', () => {
    const corners = [1, 100].flatMap((row) => [1, 4].map((across) => ({ row, across })));
    const { container } = render(
      <BedStrip
        bed="Bed 14"
        rows={100}
        across={4}
        spans={spans}
        pots={corners.map((place) => ({ id: `${place.row}/${place.across}`, place, state: 'trouble' }))}
      />,
    );
    const [, , width = 0] = (container.querySelector('svg')?.getAttribute('viewBox') ?? '').split(' ').map(Number);
    // A ring of 4 px with a stroke of 3.
    const half = 4 + 1.5;
    const marks = [...container.querySelectorAll('.pot')];
    expect(marks).toHaveLength(4);
    for (const mark of marks) {
      const [x, y] = ['cx', 'cy'].map((name) => Number(mark.getAttribute(name))) as [number, number];
      expect(Math.min(x, y, width - x)).toBeGreaterThanOrEqual(half);
    }
  });

  test('has every pot in a table behind it', async () => {
    const { container } = render(strip);
    const details = container.querySelector('details') as HTMLDetailsElement;
    details.open = true;
    fireEvent(details, new Event('toggle'));
    expect(await screen.findAllByRole('row')).toHaveLength(4);
    expect(screen.getByText('with trouble')).toBeDefined();
  });
});

test('a table sorts by a heading, up and then down', () => {
  const rows = [{ name: 'bed 10' }, { name: 'bed 9' }];
  const column = {
    key: 'n',
    title: 'Bed',
    cell: (row: { name: string }) => row.name,
    by: (row: { name: string }) => row.name,
  };
  const { container } = render(<DataTable caption="Beds" rows={rows} columns={[column]} keyOf={(row) => row.name} />);
  const cells = () => [...container.querySelectorAll('td')].map((cell) => cell.textContent);
  expect(cells()).toEqual(['bed 10', 'bed 9']);
  fireEvent.click(screen.getByRole('button', { name: 'Bed' }));
  expect(cells()).toEqual(['bed 9', 'bed 10']);
  fireEvent.click(screen.getByRole('button', { name: /Bed/ }));
  expect(cells()).toEqual(['bed 10', 'bed 9']);
});

test('a part that was fetched once is drawn at once the next time', async () => {
  const load = async () => () => <p>Here.</p>;
  const Late = () => {
    const Part = useLater(load);
    return Part ? <Part /> : null;
  };
  const first = render(<Late />);
  expect(first.container.textContent).toBe('');
  await screen.findByText('Here.');
  first.unmount();
  expect(render(<Late />).container.textContent).toBe('Here.');
});

// HTML, dialog: close() queues its event as a task, so a sheet that is opened again right away gets the event of the one before.
test('a dialog that was opened again before its closing was reported stays open', () => {
  const onClose = vi.fn();
  const { container } = render(
    <Dialog title="More" open onClose={onClose}>
      <p>what else</p>
    </Dialog>,
  );
  const dialog = container.querySelector('dialog') as HTMLDialogElement;
  expect(dialog.open).toBe(true);
  dialog.dispatchEvent(new Event('close'));
  expect(onClose).not.toHaveBeenCalled();
  // Escape closes it before it is reported.
  dialog.removeAttribute('open');
  dialog.dispatchEvent(new Event('close'));
  expect(onClose).toHaveBeenCalledTimes(1);
});
