/** The band of head sizes of a crop while its rows are typed. */
import { cleanup, fireEvent, render, screen, within } from '@testing-library/preact';
import 'fake-indexeddb/auto';
import { useState } from 'preact/hooks';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { limitOf } from '../../../../../schema/check';
import type { HeadTarget } from '../../../../../schema/types';
import { speak, units } from '../../../words';
import type { CropEdit } from './cropedit';
import { TargetFields } from './TargetFields';
import { readTargets, saidTargets, targetDrafts, targetsChanged, targetsInUnit, type TargetDraft } from './targets';

const centimetres = { length: 'cm', temperature: 'C', volume: 'L' } as const;
beforeEach(() => speak('en'));
afterEach(() => {
  units.value = centimetres;
  cleanup();
});

const own: HeadTarget[] = [
  { day: 14, low_mm: 121, high_mm: 160 },
  { day: 14, low_mm: 140, high_mm: 190, pot_mm: 165 },
  { day: 60, low_mm: 250, high_mm: 310, pot_mm: 165 },
];

function row(day: string, from: string, to: string, pot?: number): TargetDraft {
  return { key: `${day} ${from} ${to} ${pot}`, texts: { day, low_mm: from, high_mm: to }, ...(pot ? { pot } : {}) };
}

function problems(...drafts: TargetDraft[]): string[] {
  return [...readTargets(drafts).answers.values()].flatMap(({ problem }) => problem?.replaceAll('\u202f', ' ') ?? []);
}

test('rows come back as they were when nothing is typed, in inches too, and after the unit was changed', () => {
  for (const length of ['cm', 'in'] as const) {
    units.value = { ...centimetres, length };
    expect(readTargets(targetDrafts(own)).rows).toEqual(own);
    expect(targetsChanged(readTargets(targetDrafts(own)), own.toReversed())).toBe(false);
  }
  units.value = centimetres;
  const drafts = [...targetDrafts(own), row('30', '18', '23')];
  units.value = { ...centimetres, length: 'in' };
  const turned = targetsInUnit(drafts, 'cm');
  expect(turned.at(-1)?.texts).toEqual({ day: '30', low_mm: '7.1', high_mm: '9.1' });
  expect(readTargets(turned.slice(0, 3)).rows).toEqual(own);
});

test('rows are kept by pot size and day in whatever order they were typed, and an empty one is not there', () => {
  const read = readTargets([
    row('60', '25', '31', 165),
    row('14', '14', '19', 165),
    row('', ' ', ''),
    row('14', '12.1', '16'),
  ]);
  expect(read.rows).toEqual(own);
  expect(targetsChanged(read, own)).toBe(false);
  expect(targetsChanged(readTargets([]), own)).toBe(true);
});

test('a row says what is wrong with it: sizes turned round, a day twice, a missing part, a value outside the limits', () => {
  expect(problems(row('14', '16', '12'))).toEqual([
    'Row 1, Upper edge: below the lower edge. Enter at least 16.0 cm, or change the lower edge.',
  ]);
  expect(problems(row('14', '12', '16', 165), row('14', '13', '17', 140), row('14', '13', '17', 165))).toEqual([
    'Row 3, Day after the pinch: day 14 is there twice for this pot size. Change one of them, or remove it.',
  ]);
  expect(problems(row('14', '', '16'))[0]).toBe('Row 1, Lower edge is missing. Fill it in.');
  const most = limitOf('profile', 'targets[].day')?.max ?? 0;
  expect(problems(row(String(most), '12', '12'))).toEqual([]);
  expect(problems(row(String(most + 1), '12', '12'))[0]).toContain(`not between 0 and ${most}`);
  expect(problems(row('14.5', '12', '16'))[0]).toMatch(/whole number/);
});

test('a band is told in one line', () => {
  expect(saidTargets(own.slice(0, 2)).replaceAll('\u202f', ' ')).toBe(
    'any pot, day 14: 12.1 cm to 16.0 cm; 16.5 cm pot, day 14: 14.0 cm to 19.0 cm',
  );
  expect(saidTargets([])).toBe('no rows');
});

function Form({ given }: { given: readonly HeadTarget[] }) {
  const [targets, setTargets] = useState<readonly TargetDraft[]>(targetDrafts(given));
  const edit = { targets, setTargets, targetReads: readTargets(targets) } as Partial<CropEdit> as CropEdit;
  const crop = { name: 'azalea', lots: 2, sizes: [140, 165], differ: 0 };
  return (
    <>
      <TargetFields crop={crop} edit={edit} field={undefined} />
      <output>{JSON.stringify(edit.targetReads.rows)}</output>
    </>
  );
}

test('the form begins empty, takes a row for a pot size, and lets go of it again', () => {
  const { container } = render(<Form given={[]} />);
  screen.getByText(/Bedwalk knows no published band to start with/);
  fireEvent.click(screen.getByRole('button', { name: 'Add a row' }));
  const one = within(screen.getByRole('group', { name: 'Row 1' }));
  const type = (name: string, value: string) =>
    fireEvent.input(one.getByRole('textbox', { name }), { target: { value } });
  type('Row 1, Day after the pinch', '30');
  type('Row 1, Lower edge', '18');
  type('Row 1, Upper edge', '23');
  fireEvent.change(one.getByRole('combobox'), { target: { value: '165' } });
  const written = () => JSON.parse(container.querySelector('output')?.textContent ?? '') as unknown;
  expect(written()).toEqual([{ day: 30, low_mm: 180, high_mm: 230, pot_mm: 165 }]);
  type('Row 1, Upper edge', '17');
  expect(one.getByText(/below the lower edge/)).toBeTruthy();
  fireEvent.click(one.getByRole('button', { name: 'Remove row 1' }));
  expect(written()).toEqual([]);
});
