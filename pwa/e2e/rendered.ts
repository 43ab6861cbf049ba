/**
 * What a screen is like as it is drawn: how large and how far apart everything to tap is, and how much every word and
 * mark stands out from its ground. Measured in the page itself, on what can be seen.
 */
import type { Device } from './harness.ts';

export interface Limits {
  /** The least width and height of what is tapped, in CSS pixels. */
  target: number;
  /** Nothing to tap may begin above this line; 0 for no line. */
  from: number;
}

export const anywhere: Limits = { target: 48, from: 0 };
/** In a walk: 64 px, and all of it in the lower three fifths of 740 px. */
export const inAWalk: Limits = { target: 64, from: 0.4 * 740 };

/** What is too small, too near to its neighbour, out of the thumb's reach, or wider than the screen. */
export async function shapeFaults(phone: Device, limits: Limits): Promise<string[]> {
  return phone.page.evaluate(measureShapes, limits);
}

/** What is too small for a finger on a supervisor's page; links within text and tables may be. */
export async function smallTargets(desk: Device): Promise<string[]> {
  return desk.page.evaluate(() =>
    [
      ...document.querySelectorAll<HTMLElement>(
        'button, select, input:not([type=radio], [type=checkbox]), summary, nav a, .bedtile, a.button',
      ),
    ]
      .filter((each) => each.offsetParent !== null)
      .map((each) => ({ box: each.getBoundingClientRect(), says: each.textContent?.slice(0, 40) }))
      .filter(({ box }) => box.height < 47.5 || box.width < 47.5)
      .map(({ box, says }) => `${says}: ${Math.round(box.width)} by ${Math.round(box.height)}`),
  );
}

/** Words under 7:1 against what lies behind them, and marks and edges of controls under 3:1. */
export async function contrastFaults(phone: Device): Promise<string[]> {
  return phone.page.evaluate(measureContrast);
}

/** Runs in the page; it may therefore use nothing but what a page has. */
function measureShapes({ target, from }: Limits): string[] {
  const GAP = 8;
  const ROUNDING = 0.6;
  const faults = new Set<string>();
  const layer = document.querySelector('dialog[open]') ?? document.body;
  const kinds = 'button, a, input, select, textarea, summary, label.card, label.tick, label.file';
  const nameOf = (element: Element) =>
    `${element.tagName.toLowerCase()} "${(element.textContent || element.getAttribute('aria-label') || '').trim().slice(0, 30)}"`;
  const isTarget = (element: HTMLElement) =>
    element.checkVisibility() &&
    getComputedStyle(element).display !== 'inline' &&
    !element.matches('.unseen, label.tick input');
  const onTop = (element: Element, box: DOMRect) => {
    const [x, y] = [box.left + box.width / 2, box.top + box.height / 2];
    if (x < 0 || y < 0 || x >= innerWidth || y >= innerHeight) return false;
    const there = document.elementFromPoint(x, y);
    return there !== null && element.contains(there);
  };
  const isFixed = (element: Element) => element.closest('.foot, .bar, .entrance, dialog > header, .toasts') !== null;
  const look = () => {
    const seen = [...layer.querySelectorAll<HTMLElement>(kinds)]
      .filter(isTarget)
      .map((element) => ({ element, box: element.getBoundingClientRect() }))
      .filter(({ element, box }) => onTop(element, box));
    for (const { element, box } of seen) {
      const least = element.matches('.count') ? 96 : target;
      const wide = element.matches('.count') ? target : least;
      if (box.width < wide - ROUNDING || box.height < least - ROUNDING) {
        faults.add(`${nameOf(element)} is ${Math.round(box.width)} × ${Math.round(box.height)}, less than ${least}`);
      }
      if (from > 0 && box.top < from - ROUNDING) {
        faults.add(`${nameOf(element)} begins at ${Math.round(box.top)}, above ${from}`);
      }
    }
    for (const [at, one] of seen.entries()) {
      for (const other of seen.slice(at + 1)) {
        if (one.element.contains(other.element) || other.element.contains(one.element)) continue;
        // What is read scrolls along under what stays; between those two no distance holds.
        if (isFixed(one.element) !== isFixed(other.element)) continue;
        const between = (low: number, high: number, low2: number, high2: number) => Math.max(low2 - high, low - high2);
        const across = between(one.box.left, one.box.right, other.box.left, other.box.right);
        const down = between(one.box.top, one.box.bottom, other.box.top, other.box.bottom);
        if (Math.max(across, down) < GAP - ROUNDING) {
          faults.add(
            `${nameOf(one.element)} is ${Math.round(Math.max(across, down))} px from ${nameOf(other.element)}`,
          );
        }
      }
    }
  };
  const scroller = layer === document.body ? (document.scrollingElement ?? document.body) : layer;
  for (let top = 0; top === 0 || top + innerHeight / 2 < scroller.scrollHeight; top += innerHeight / 3) {
    scroller.scrollTop = top;
    look();
  }
  scroller.scrollTop = 0;
  // Not innerWidth: a phone's browser draws a screen that is too wide smaller, and then has as much room as that takes.
  const { scrollWidth, clientWidth } = document.documentElement;
  if (scrollWidth > clientWidth) faults.add(`the screen is ${scrollWidth - clientWidth} px too wide`);
  for (const element of layer.querySelectorAll<HTMLElement>('main *, dialog *')) {
    const style = getComputedStyle(element);
    const hides = style.overflowX === 'hidden' || style.overflowX === 'clip';
    if (hides && !element.matches('.unseen') && element.scrollWidth > element.clientWidth + 1 && element.textContent) {
      faults.add(`${nameOf(element)} is cut off`);
    }
    if (element.matches('button, a.button, label.card, label.tick') && element.scrollWidth > element.clientWidth + 1) {
      faults.add(`${nameOf(element)} is cut off: its words stand over its edge`);
    }
  }
  return [...faults];
}

/** Runs in the page; it may therefore use nothing but what a page has. */
function measureContrast(): string[] {
  type Colour = [number, number, number, number];
  const faults = new Set<string>();
  const layer = document.querySelector('dialog[open]') ?? document.body;
  const canvas = document.createElement('canvas').getContext('2d', { willReadFrequently: true });
  const read = new Map<string, Colour>();
  // Drawn, since a browser hands colours out in many notations.
  const colour = (text: string): Colour => {
    const known = read.get(text);
    if (known || !canvas) return known ?? [0, 0, 0, 0];
    canvas.clearRect(0, 0, 1, 1);
    canvas.fillStyle = '#0000';
    canvas.fillStyle = text;
    canvas.fillRect(0, 0, 1, 1);
    const [r = 0, g = 0, b = 0, a = 0] = canvas.getImageData(0, 0, 1, 1).data;
    const found: Colour = [r, g, b, a / 255];
    read.set(text, found);
    return found;
  };
  const over = ([r, g, b, a]: Colour, [R, G, B, A]: Colour): Colour => {
    const below = A * (1 - a);
    const both = a + below || 1;
    return [(r * a + R * below) / both, (g * a + G * below) / both, (b * a + B * below) / both, a + below];
  };
  const fading = new Map<Element, boolean>();
  /** Whether the element or what it is in lets through what lies behind. */
  const fades = (element: Element | null): boolean => {
    if (!element) return false;
    const known = fading.get(element) ?? (getComputedStyle(element).opacity !== '1' || fades(element.parentElement));
    fading.set(element, known);
    return known;
  };
  /** What becomes of a colour that is drawn in the element. */
  const drawnIn = (element: Element | null, drawn: Colour): Colour => {
    if (drawn[3] === 1 && !fades(element)) return drawn;
    if (!element) return over(drawn, [255, 255, 255, 1]);
    const { backgroundColor, opacity } = getComputedStyle(element);
    const [r, g, b, a] = over(drawn, colour(backgroundColor));
    return drawnIn(element.parentElement, [r, g, b, a * Number(opacity)]);
  };
  const grounds = new Map<Element, Colour>();
  /** What is seen through the element where nothing is drawn in it: for most elements the same as through what they are in. */
  const ground = (element: Element | null): Colour => {
    if (!element) return drawnIn(null, [0, 0, 0, 0]);
    const known = grounds.get(element);
    if (known) return known;
    const { backgroundColor, opacity } = getComputedStyle(element);
    const isClear = opacity === '1' && colour(backgroundColor)[3] === 0;
    const found = isClear ? ground(element.parentElement) : drawnIn(element, [0, 0, 0, 0]);
    grounds.set(element, found);
    return found;
  };
  const light = ([r, g, b]: Colour) => {
    const [R = 0, G = 0, B = 0] = [r, g, b].map((part) => {
      const share = part / 255;
      return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
    });
    return 0.2126 * R + 0.7152 * G + 0.0722 * B;
  };
  const contrast = (one: Colour, other: Colour) => {
    const [high, low] = [light(one), light(other)].sort((a, b) => b - a) as [number, number];
    return (high + 0.05) / (low + 0.05);
  };
  const say = (what: string, element: Element, have: number, least: number) => {
    if (have < least - 0.005) {
      const text = (element.textContent || element.getAttribute('class') || element.tagName).trim().slice(0, 30);
      faults.add(`${what} "${text}" has ${have.toFixed(2)}:1, less than ${least}:1`);
    }
  };
  for (const element of layer.querySelectorAll<HTMLElement>('*')) {
    if (!element.checkVisibility() || element.closest('.unseen, svg')) continue;
    const hasWords = [...element.childNodes].some(
      (node) => node.nodeType === Node.TEXT_NODE && node.textContent?.trim(),
    );
    const style = getComputedStyle(element);
    const behind = ground(element);
    if (hasWords) say('text', element, contrast(drawnIn(element, colour(style.color)), behind), 7);
    if (element.matches('button, input, select, textarea, label.card, label.tick, label.file, a.button')) {
      const outside = ground(element.parentElement);
      const edge =
        Number.parseFloat(style.borderTopWidth) > 0 ? colour(style.borderTopColor) : ([0, 0, 0, 0] as Colour);
      const best = Math.max(contrast(over(edge, outside), outside), contrast(behind, outside));
      // A button that is only words is known by its words.
      if (edge[3] > 0) say('the edge of', element, best, 3);
    }
  }
  const marks =
    '.pot, .here circle, .after circle, .route, .you path, .dots, .sides, .tick, .reach, .span, .rail, .interval .value, .hazard path, .hazard circle';
  for (const mark of layer.querySelectorAll<SVGElement>(marks)) {
    if (!mark.checkVisibility()) continue;
    const style = getComputedStyle(mark);
    const behind = ground(mark.closest('svg')?.parentElement ?? null);
    const drawn = [style.fill, style.stroke].filter((each) => each !== 'none').map(colour);
    say('the mark', mark, Math.max(...drawn.map((each) => contrast(over(each, behind), behind))), 3);
  }
  for (const drawing of layer.querySelectorAll<SVGSVGElement>('.picture svg, .shown svg, .bud-states svg')) {
    if (!drawing.checkVisibility()) continue;
    const shapes = [...drawing.querySelectorAll<SVGGeometryElement>('path, circle, rect')].filter(
      (shape) => !shape.closest('clipPath, defs'),
    );
    for (const [at, shape] of shapes.entries()) {
      const { fill, stroke } = getComputedStyle(shape);
      // What a clip cuts to shape has its edge drawn by another mark.
      if (stroke === 'none' && shape.closest('[clip-path]')) continue;
      const length = shape.getTotalLength();
      // Against what was painted before it, at nine places along it: the middle one of nine, for marks may cross others.
      const seen = [1, 2, 3, 4, 5, 6, 7, 8, 9].map((part) => {
        const point = shape.getPointAtLength((part / 10) * length);
        const onScreen = shape.getScreenCTM();
        const under = shapes.slice(0, at).findLast((other) => {
          const its = other.getScreenCTM();
          if (!onScreen || !its || getComputedStyle(other).fill === 'none') return false;
          return other.isPointInFill(
            DOMPoint.fromPoint(point).matrixTransform(onScreen).matrixTransform(its.inverse()),
          );
        });
        const behind = under ? colour(getComputedStyle(under).fill) : ground(drawing);
        const drawn = [fill, stroke].filter((each) => each !== 'none').map(colour);
        return Math.max(...drawn.map((each) => contrast(over(each, behind), behind)));
      });
      const picture = drawing.closest('button, figure, li, div')?.textContent?.trim().slice(0, 30) ?? '';
      say(`a mark (${fill}, ${stroke}) of the drawing of ${picture}:`, shape, seen.sort((a, b) => a - b)[4] ?? 0, 3);
    }
  }
  return [...faults];
}

/** Words that stand on two lines of the screen though nothing in them, as a hyphen, lets them be parted. */
export function brokenWords({ page }: Device): Promise<string[]> {
  return page.evaluate(() => {
    const broken: string[] = [];
    const walker = document.createTreeWalker(document.querySelector('main') ?? document.body, NodeFilter.SHOW_TEXT);
    const range = document.createRange();
    for (let node = walker.nextNode(); node; node = walker.nextNode()) {
      if (!node.parentElement?.checkVisibility() || node.parentElement.closest('.unseen')) continue;
      for (const { 0: word, index } of (node.nodeValue ?? '').matchAll(/\p{L}{2,}/gu)) {
        range.setStart(node, index);
        range.setEnd(node, index + word.length);
        const tops = new Set([...range.getClientRects()].map(({ top }) => Math.round(top)));
        if (tops.size > 1) broken.push(`"${word}" is broken`);
      }
    }
    return broken;
  });
}
