/** While a device reads the server's records for the first time, no screen says that something is not there, or how many are. */
import { cleanup, render } from '@testing-library/preact';
import 'fake-indexeddb/auto';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { Bed } from '../scout/bed/Bed';
import { speak } from '../../words';
import type { Form } from '../../forms/form';
import LotCard from './LotCard';
import { StretchPick } from './picks';
import Tags from './tags/Tags';

const first = vi.hoisted(() => ({ value: undefined as number | undefined }));
vi.mock('../../journal/inbox/arriving', async (load) => ({ ...(await load()), firstReading: first }));
vi.mock('../../journal/records/registers', async (load) => {
  return {
    ...(await load<typeof import('../../journal/records/registers')>()),
    beds: { value: new Map([['b1', { id: 'b1', name: 'H5', rows: 60, across: 10 }]]) },
    lots: { value: new Map([['l1', { id: 'l1', tag: 'AZ-101', crop: 'azalea' }]]) },
    stock: { value: new Map([['l1', { pots: 512, by_span: { '': 512 }, lines: [] }]]) },
  };
});
vi.mock('../../forms/place', async (load) => ({
  ...(await load<typeof import('../../forms/place')>()),
  knownLots: () => [],
}));

beforeEach(() => (first.value = 0.07));
afterEach(async () => {
  cleanup();
  await speak('en');
});

const empty = { at: () => '', tried: false } as unknown as Form;

const screens = {
  'a bed whose lots may be to come': { show: () => <Bed id="b1" />, claim: 'No lots recorded' },
  'a bed that may be to come': { show: () => <Bed id="b2" />, claim: 'nothing at this address' },
  'a lot whose bed and counts may be to come': {
    show: () => <LotCard id="l1" />,
    claim: /Not recorded on any bed|512/,
  },
  'a form of a lot whose last losses may be to come': {
    show: () => <StretchPick form={empty} place={{ lot: 'l1', bed: '' }} lot="l1" />,
    claim: /512 pots on record/,
  },
  'tags of lots that may be to come': { show: () => <Tags />, claim: 'No lots yet' },
};

test.each(Object.entries(screens))('%s: what is not here yet is not known', async (_, { show, claim }) => {
  const said = () => {
    const { container } = render(show());
    const text = container.textContent ?? '';
    cleanup();
    return text.replaceAll('\u202f', ' ');
  };
  await speak('en');
  expect(said()).toContain('Getting the records: 7 %');
  expect(said()).not.toMatch(claim);
  await speak('es');
  expect(said()).toContain('Trayendo los registros: 7 %');
  first.value = undefined;
  await speak('en');
  expect(said()).toMatch(claim);
});
