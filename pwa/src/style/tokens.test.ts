import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';

const themes = ['plain', 'sun', 'dark'];
const css = readFileSync('pwa/src/style/tokens.css', 'utf8');

function tokensOf(theme: string): Map<string, string> {
  const block = new RegExp(`\\[data-theme='${theme}'\\] \\{([^}]*)\\}`).exec(css)?.[1] ?? '';
  return new Map([...block.matchAll(/(--[\w-]+): (#[0-9a-f]{6});/g)].map(([, name = '', hex = '']) => [name, hex]));
}

/** Relative luminance and contrast ratio as WCAG 2.2 defines them (https://www.w3.org/TR/WCAG22/#dfn-contrast-ratio). */
function luminance(hex: string): number {
  const [r = 0, g = 0, b = 0] = [1, 3, 5].map((at) => {
    const part = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
    return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

function contrast(a: string, b: string): number {
  const [low = 0, high = 0] = [luminance(a), luminance(b)].sort((x, y) => x - y);
  return (high + 0.05) / (low + 0.05);
}

test('contrast is computed as WCAG does: 21 for black on white, 4.54 for #767676 on white', () => {
  // Both values are from WCAG's own definition and its widely published border case for grey text.
  expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 5);
  expect(contrast('#767676', '#ffffff')).toBeCloseTo(4.54, 2);
});

describe.each(themes)('in the theme %s', (theme) => {
  const tokens = tokensOf(theme);
  const at = (name: string): string => {
    const value = tokens.get(name);
    if (value === undefined) throw new Error(`tokens.css has no ${name} in the theme ${theme}`);
    return value;
  };
  const grounds = ['--paper', '--card', '--leaf-wash', '--clay-wash'];

  test.each(['--ink', '--ink-2', '--leaf', '--clay'])('text in %s reaches 7:1 on every ground', (name) => {
    for (const ground of grounds) expect(contrast(at(name), at(ground)), ground).toBeGreaterThanOrEqual(7);
  });

  test.each([
    ['--on-leaf', '--leaf'],
    ['--on-clay', '--clay'],
    ['--paper', '--ink'],
    ...[0, 1, 2, 3, 4, 5].map((step) => [`--on-u${step}`, `--u${step}`]),
  ])('text in %s reaches 7:1 on %s', (text = '', ground = '') => {
    expect(contrast(at(text), at(ground))).toBeGreaterThanOrEqual(7);
  });

  test('borders and marks reach 3:1 on every ground', () => {
    for (const ground of grounds) expect(contrast(at('--line'), at(ground)), ground).toBeGreaterThanOrEqual(3);
  });

  test('the steps of uniformity go one way in lightness, so that a grey copy still reads', () => {
    const steps = [0, 1, 2, 3, 4, 5].map((step) => luminance(at(`--u${step}`)));
    const toward = theme === 'dark' ? 1 : -1;
    for (let i = 1; i < steps.length; i++) expect(toward * ((steps[i] ?? 0) - (steps[i - 1] ?? 0))).toBeGreaterThan(0);
  });
});

test('the sun theme has no grey lighter than #595959 in text or marks', () => {
  for (const name of ['--ink', '--ink-2', '--line']) {
    expect(luminance(tokensOf('sun').get(name) ?? '#ffffff')).toBeLessThanOrEqual(luminance('#595959'));
  }
});
