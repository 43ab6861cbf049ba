import { describe, expect, it } from 'vitest';
import { differences, vectorFiles } from '../vectors.testing.ts';
import { fromKept, read, roundHalfUp, show, type Mark, type Unit } from './unit.ts';

const compute: Record<string, (input: never) => unknown> = {
  read: (i: { text: string; unit: Unit }) => {
    const r = read(i.text, i.unit);
    return r.ok ? { kept: r.value } : { code: r.code };
  },
  show: (i: { kept: number; unit: Unit; mark: Mark }) => ({ text: show(i.kept, i.unit, i.mark) }),
  round: (i: { num: number; den: number }) => ({ rounded: Number(roundHalfUp(BigInt(i.num), BigInt(i.den))) }),
  from: (i: { kept: number; unit: Unit }) => ({ value: fromKept(i.kept, i.unit) }),
};

describe('units come out as the vectors say', () => {
  const files = vectorFiles('unit-');
  it('with a computation for every file', () => {
    expect(files.map(([name]) => name).sort()).toEqual(Object.keys(compute).sort());
  });
  for (const [file, vectors] of files) {
    it.each(vectors.map((v) => [v.name, v] as const))(`${file}: %s`, (name, v) => {
      expect(differences(compute[file]?.(v.input as never), v.want, name)).toEqual([]);
    });
  }
});

it.each(['cm', 'in', 'F', 'L', 'gal'] as const)('what was shown in %s reads back as shown', (unit) => {
  for (let kept = 0; kept < 5000; kept += 7) {
    const once = show(kept, unit, ',');
    const again = read(once, unit);
    expect(again.ok && show(again.value, unit, ',')).toBe(once);
  }
});
