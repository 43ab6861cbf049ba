import { cleanup, render } from '@testing-library/preact';
import { afterEach, expect, test } from 'vitest';
import { Trend } from './Trend';

afterEach(cleanup);

/** Without a layout it is drawn 560 px wide. */
const WIDE = 560;

function sign(text: string, at: number): SVGTextElement {
  const mark = (time: number, changed: boolean) => ({
    id: String(time),
    at: time,
    value: 0.8,
    interval: { low: 0.7, high: 0.9, known: true },
    ...(changed ? { changed, scout: text } : {}),
  });
  const { container } = render(
    <Trend name="n" axis="a" count="c" write={String} marks={[mark(0, false), mark(at, true), mark(100, false)]} />,
  );
  return container.querySelector<SVGTextElement>('.change text')!;
}

test('what a line across a plot says stands on the side that has the room', () => {
  expect(sign('Anzo', 20).getAttribute('text-anchor')).toBe('start');
  cleanup();
  expect(sign('Anzo', 99).getAttribute('text-anchor')).toBe('end');
});

test('with room on neither side it stands over its line, in the middle, and the line begins below it', () => {
  const text = sign('buds are counted from this walk on, by hand', 50);
  expect([text.getAttribute('text-anchor'), Number(text.getAttribute('x'))]).toEqual(['middle', WIDE / 2]);
  const line = text.parentElement!.querySelector('line')!;
  expect(Number(line.getAttribute('y1'))).toBeGreaterThan(Number(text.getAttribute('y')));
});
