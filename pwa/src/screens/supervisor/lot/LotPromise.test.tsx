/** What the lot's page says of its promise, which is over all its beds and made of finished walks alone. */
import { cleanup, render } from '@testing-library/preact';
import { afterEach, beforeEach, expect, test } from 'vitest';
import type { LotView, Promise as Promised } from '../../../../../schema/types';
import { speak } from '../../../words';
import * as sample from '../sample.testing';
import { LotPromise } from './LotPromise';

beforeEach(() => speak('en'));
afterEach(cleanup);

const line = { grade: 'Florist 1', in_grade: 18, sure: 300, kept: 291, booked: 40, safe: 251, over: 0 };
const promise: Promised = {
  lines: [line],
  graded_from: '2026-10-12',
  least: 8,
  whole: 20,
  seen: 23,
  lacks: [
    { line: 'severity', pots: 2 },
    { line: 'buds_min', pots: 1 },
  ],
  pots_on_bed: 480,
  left: 0,
  lots: ['lot1'],
  shrink: 0.03,
  kept_limits: { low: 0.938, high: 0.992, known: true },
  loss_basis: 'own',
};

function shows(changes: Partial<Promised>): string {
  const view: LotView = { ...sample.lotView, promise: { ...promise, ...changes } };
  return render(<LotPromise view={view} />).container.textContent ?? '';
}

test.each([
  ['en', '3 pots undecided', 'how pale the leaves are (2 pots)', 'bud count (1 pot)'],
  ['es', '3 macetas sin decidir', 'qué tan pálidas están las hojas (2 macetas)', 'número de botones (1 maceta)'],
] as const)(
  'counts in %s the undecided pots of all beds, whatever the newest walk of one bed saw',
  async (...given) => {
    const [language, ...said] = given;
    await speak(language);
    const text = shows({});
    for (const words of said) expect(text).toContain(words);
  },
);

test('says no pot undecided where every pot of the promise was checked fully', () => {
  expect(shows({ whole: 23, lacks: [] })).not.toContain('undecided');
});

test.each([
  ['en', 'This lot alone.'],
  ['es', 'Este lote solo.'],
] as const)('says in %s that the number is of this lot alone', async (language, words) => {
  await speak(language);
  expect(shows({})).toContain(words);
});

// A lot on two beds, of which one was walked in time and the other too early: a finished walk did cover it.
test.each([
  ['en', 'Only for 200 of 480 pots on record: the others', 'no finished walk covered'],
  ['es', 'Solo para 200 de 480 macetas registradas: las demás', 'ningún recorrido terminado cubrió'],
] as const)('says in %s of pots that are not promised no more than is known', async (language, said, claim) => {
  await speak(language);
  const text = shows({ pots_on_bed: 200 });
  expect(text).toContain(said);
  expect(text).not.toContain(claim);
});

test.each([
  ['en', 'Loss taken off: 3.0 % (0.8 to 6.2 %), by this lot’s losses so far.', 'Sure at shipping'],
  ['es', 'Pérdida descontada: 3.0 % (0.8 a 6.2 %), según las pérdidas de este lote hasta hoy.', 'Seguras al embarcar'],
] as const)(
  'says in %s what loss is taken off, how sure that is and whose word it is',
  async (language, said, column) => {
    await speak(language);
    const text = shows({}).replaceAll('\u202f', ' ');
    expect(text).toContain(said);
    expect(text).toContain(column);
  },
);
