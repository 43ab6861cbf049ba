/** What a bed's page says of a lot whose notes are at the server alone, and what its buttons do. */
import { cleanup, fireEvent, render, screen } from '@testing-library/preact';
import 'fake-indexeddb/auto';
import { afterEach, expect, test } from 'vitest';
import { whereabouts } from '../../../journal/letgo/keep';
import { load } from '../../../journal/records/registers';
import { base } from '../../../journal/store/base';
import { speak } from '../../../words';
import { Earlier } from './Earlier';

const [bed, lot, span] = ['1'.repeat(32), '2'.repeat(32), '3'.repeat(32)];
const by = { entry: '5'.repeat(32), person: '', device: 'd', stamp: { at: 1, quality: 'exact', from: 1, to: 1 } };

afterEach(cleanup);

test.each([
  [
    'en',
    /40 pots shipped, .*uniformity 78.*As of/,
    '4 notes of this lot are at the server, not on this phone.',
    'Keep on this phone',
    /come when this phone is in range/,
  ],
  [
    'es',
    /40 macetas enviadas, .*uniformidad 78.*Datos de/,
    '4 notas de este lote están en el servidor, no en este teléfono.',
    'Guardar en este teléfono',
    /Llegarán cuando haya señal/,
  ],
] as const)(
  'in %s: a dated summary, where its notes are, and how to keep them here',
  async (language, summary, away, keep, coming) => {
    await speak(language);
    const fields = (values: object) =>
      Object.fromEntries(Object.entries(values).map(([name, value]) => [name, { value, by, live: [by.entry] }]));
    const open = await base();
    const put = (kind: string, of: string, values: object) => {
      const key = `${kind}:${of}`;
      return open.put('records', {
        key,
        kind,
        text: JSON.stringify({ key, register: { of, fields: fields(values) } }),
      });
    };
    await put('bed', bed, { name: 'N1' });
    await put('lot', lot, { tag: 'Q9', cultivar: 'Sedge' });
    await put('span', span, { lot, bed, from_row: 1, to_row: 9, ended: true });
    await open.put('meta', new Map([[lot, { count: 4, sum: '0', records: '0', last: 9 }]]), 'gone');
    await open.delete('meta', 'kept');
    const uniformity = { value: 0.78, known: true, n: 50, interval: { low: 0.7, high: 0.84, known: true } };
    const known = { tag: 'Q9', crop: 'azalea', cultivar: 'Sedge', shipped_on: '2026-05-14', shipped: 40 };
    await open.put(
      'meta',
      { ...known, uniformity, walked_at: 1_800_000_000_000, asOf: 1_800_100_000_000 },
      `summary:${lot}`,
    );
    await load();
    const page = render(<Earlier bed={bed} />);
    expect(await screen.findByText(away)).toBeDefined();
    expect(page.container.textContent).toMatch(summary);
    fireEvent.click(screen.getByText(keep));
    expect(await screen.findByText(coming)).toBeDefined();
    expect(await whereabouts(lot)).toMatchObject({ pinned: true, asked: true });
  },
);
