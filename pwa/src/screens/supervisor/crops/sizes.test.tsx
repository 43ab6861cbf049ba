/** Where stages differ by pot size, while that is typed, and what it makes of how many come through. */
import { cleanup, fireEvent, render, screen, within } from '@testing-library/preact';
import 'fake-indexeddb/auto';
import { useState } from 'preact/hooks';
import { afterEach, beforeEach, expect, test } from 'vitest';
import type { SizedStage, StageYield } from '../../../../../schema/types';
import { speak, units } from '../../../words';
import type { CropEdit } from './cropedit';
import { SizeFields } from './SizeFields';
import {
  newSize,
  readSizes,
  saidSizes,
  sizeDrafts,
  sizesChanged,
  sizesInUnit,
  sizesOfYields,
  yieldsFor,
  type SizeDraft,
} from './sizes';
import { stageNames } from './stages';

const centimetres = { length: 'cm', temperature: 'C', volume: 'L' } as const;
beforeEach(() => speak('en'));
afterEach(() => {
  units.value = centimetres;
  cleanup();
});

const own: SizedStage[] = [
  {
    stage: 'small_pot',
    pot_mm: 90,
    shortest_days: 80,
    likely_days: 100,
    longest_days: 120,
    share_bp: 9850,
    plants_each: 3,
    labour_s: 20,
    material_c: 15,
    pots_m2_c: 4900,
  },
  { stage: 'grow_out', pot_mm: 130, gates: [{ line: 'head_mm', at_least: 181, share_bp: 7500 }] },
  { stage: 'bud_set', pot_mm: 130, gates: [] },
  { stage: 'bud_set', pot_mm: 165, gates: [{ line: 'buds_ready' }] },
  {
    stage: 'liner',
    pot_mm: 165,
    gates: [
      { line: 'root_cover', at_least: 3, share_bp: 7500 },
      { line: 'root_life', at_least: 4, share_bp: 9000 },
    ],
  },
];

test('lines come back as they were when nothing is typed, in inches too, and after the unit was changed', () => {
  for (const length of ['cm', 'in'] as const) {
    units.value = { ...centimetres, length };
    const read = readSizes(sizeDrafts(own, stageNames));
    expect([...read.answers.values()].flatMap(({ problem }) => problem ?? [])).toEqual([]);
    expect(sizesChanged(read, own)).toBe(false);
  }
  units.value = centimetres;
  const drafts = sizeDrafts(own, stageNames);
  units.value = { ...centimetres, length: 'in' };
  const turned = sizesInUnit(drafts, 'cm');
  expect(turned.find(({ stage }) => stage === 'grow_out')?.gate.at_least).toBe('7.1');
  expect(sizesChanged(readSizes(turned), own)).toBe(false);
});

function typed(texts: Partial<SizeDraft['texts']>, gate: Partial<SizeDraft['gate']> = {}): SizeDraft {
  const line = newSize('small_pot', 90);
  return { ...line, texts: { ...line.texts, ...texts }, gate: { ...line.gate, ...gate } };
}

function problems(line: SizeDraft): string[] {
  return [...readSizes([line]).answers.values()].flatMap(({ problem }) => problem ?? []);
}

test('a line says what is wrong with it: days in part, out of order, a share over all, a gate without a number', () => {
  expect(problems(typed({}))).toEqual([]);
  expect(readSizes([typed({})]).lines).toEqual([]);
  expect(problems(typed({ likely_days: '90' }))).toHaveLength(1);
  expect(problems(typed({ shortest_days: '100', likely_days: '90', longest_days: '120' }))).toHaveLength(1);
  expect(problems(typed({ shortest_days: '80', likely_days: '90', longest_days: '89' }))).toHaveLength(1);
  expect(problems(typed({ share_bp: '101' }))[0]).toContain('100');
  expect(problems(typed({ share_bp: '101' }))[0]).toMatch(/small pot.*9.*Come through/i);
  expect(problems(typed({}, { line: 'root_cover' }))).toHaveLength(2);
  expect(readSizes([typed({ pots_m2_c: '49' })]).lines).toEqual([{ stage: 'small_pot', pot_mm: 90, pots_m2_c: 4900 }]);
  expect(readSizes([typed({}, { line: 'none' })]).lines).toEqual([{ stage: 'small_pot', pot_mm: 90, gates: [] }]);
  expect(readSizes([typed({}, { line: 'root_cover', at_least: '4', share_bp: '80' })]).lines[0]?.gates).toEqual([
    { line: 'root_cover', at_least: 4, share_bp: 8000 },
  ]);
});

test('two lists that differ are told apart in words, by what must be seen too', () => {
  const [first, second] = own;
  if (!first || !second) throw new Error('no lines');
  expect(saidSizes([first])).toMatch(/9.cm pots: .*80, 100 and 120 days.*98\.5.*Plants in a pot 3/);
  expect(saidSizes([second])).not.toBe(saidSizes([{ ...second, gates: [] }]));
  expect(saidSizes([])).toBe('no rows');
});

test('how many come through for a pot size is the crop’s but for what that size has', () => {
  const yields: StageYield[] = [
    { stage: 'liner', share_bp: 9600 },
    { stage: 'small_pot', share_bp: 9700, plants_each: 1 },
  ];
  expect(yieldsFor({ yields, sizes: own }, 90)).toEqual([
    { stage: 'liner', share_bp: 9600 },
    { stage: 'small_pot', share_bp: 9850, plants_each: 3 },
  ]);
  expect(yieldsFor({ yields, sizes: own }, 130)).toEqual([...yields, { stage: 'grow_out' }, { stage: 'bud_set' }]);
  expect(yieldsFor(undefined, 90)).toEqual([]);
  expect(sizesOfYields({ sizes: own })).toEqual([90]);
});

function Form() {
  const [sizes, setSizes] = useState<readonly SizeDraft[]>([]);
  const edit = {
    sizes,
    setSizes,
    sizeReads: readSizes(sizes),
    stagesGone: stageNames,
  } as Partial<CropEdit> as CropEdit;
  const crop = { name: 'azalea', lots: 2, sizes: [140, 165], differ: 0 };
  return (
    <>
      <SizeFields crop={crop} edit={edit} field={undefined} inForce={() => '84, 168 and 238 days'} />
      <output>{JSON.stringify(edit.sizeReads.lines)}</output>
    </>
  );
}

test('a stage and a pot size are chosen and filled in once, and taken out again', () => {
  const { container } = render(<Form />);
  const written = () => JSON.parse(container.querySelector('output')?.textContent ?? '') as unknown;
  fireEvent.change(screen.getByRole('combobox', { name: 'Pots of' }), { target: { value: '165' } });
  const add = screen.getByRole('button', { name: 'Add this size' });
  fireEvent.click(add);
  fireEvent.click(add);
  const line = within(screen.getByRole('group'));
  line.getByText(/84, 168 and 238 days/);
  const [quick, middle, slow] = line.getAllByRole('textbox');
  for (const [field, days] of [
    [quick, '70'],
    [middle, '90'],
    [slow, '110'],
  ] as const) {
    if (field) fireEvent.input(field, { target: { value: days } });
  }
  expect(written()).toEqual([
    { stage: 'finished_pot', pot_mm: 165, shortest_days: 70, likely_days: 90, longest_days: 110 },
  ]);
  fireEvent.click(line.getByRole('button', { name: /^Remove/ }));
  expect(written()).toEqual([]);
});
