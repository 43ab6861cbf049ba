import { beforeEach, describe, expect, test } from 'vitest';
import type { Stage } from '../../../../../schema/types';
import { speak } from '../../../words';
import { gatesInForce, isChanged, readStage, stagesOfCrop, stagesOfCultivar, startOf } from './stages';

beforeEach(() => speak('en'));

const cold: Stage = { shortest_days: 35, likely_days: 42, longest_days: 49, hands: true, route: 'florist' };

function read(typed: Record<string, string>, own?: Stage, crop = 'florist’s azalea') {
  return readStage(stagesOfCrop(crop), 'cold', new Map(Object.entries(typed)), own);
}

describe('a stage of a crop', () => {
  test('is typed as the quickest, the middle one and the slowest of ten lots', () => {
    const { stage } = read({ 'cold.shortest_days': '40', 'cold.likely_days': '42', 'cold.longest_days': '50' });
    expect(stage).toMatchObject({
      shortest_days: 40,
      likely_days: 42,
      longest_days: 50,
      route: 'florist',
      hands: true,
    });
  });

  test('keeps what is not typed here: who ends it, and the route that goes through it', () => {
    expect(read({ 'cold.longest_days': '56' }, cold).stage).toEqual({ ...cold, longest_days: 56 });
  });

  test('with one number left out, or out of order, is no stage and says what to do', () => {
    const part = read({ 'cold.shortest_days': '40', 'cold.likely_days': '42' });
    expect(part.stage).toBeUndefined();
    expect(part.answers.longest_days.problem).toBe('cold: enter all three numbers, or none.');
    const wrong = read({ 'cold.shortest_days': '43', 'cold.likely_days': '42', 'cold.longest_days': '50' });
    expect(wrong.answers.likely_days.problem).toContain('the quickest must not be over the middle');
    expect(read({ 'cold.longest_days': '41' }, cold).answers.longest_days.problem).toContain(
      'the middle over the slowest',
    );
    expect(read({ 'cold.longest_days': '731' }, cold).answers.longest_days.problem).toContain('1 and 730');
  });

  test('emptied goes back to the one that Bedwalk starts with', () => {
    const empty = read({ 'cold.shortest_days': '', 'cold.likely_days': '', 'cold.longest_days': '' }, cold);
    expect(empty.stage).toBeNull();
    expect(isChanged(empty, cold)).toBe(true);
    expect(isChanged(read({}), undefined)).toBe(false);
    expect(isChanged(read({}, cold), cold)).toBe(false);
  });

  test('starts as the trade has it, known by the name of the crop; an unknown crop starts with none', () => {
    expect(startOf('Florist’s Azalea', 'bud_set')).toMatchObject({ standing: 'published' });
    expect(startOf('Hortensia en maceta', 'forcing')?.standing).toBe('memory');
    expect(startOf('cyclamen', 'bud_set')).toBeUndefined();
  });
});

describe('what must be seen before a stage ends', () => {
  const liner = (typed: Record<string, string>, own?: Stage) =>
    readStage(stagesOfCrop('azalea'), 'liner', new Map(Object.entries(typed)), own);
  const own: Stage = { shortest_days: 50, likely_days: 60, longest_days: 70, hands: true };

  test('is what Bedwalk starts with until one is typed, and changes with it alone', () => {
    expect(gatesInForce(stagesOfCrop('azalea'), 'liner', own)).toEqual([
      { line: 'root_cover', at_least: 3, share_bp: 7500 },
    ]);
    const read = liner({ 'liner.gate.share_bp': '80' }, own);
    expect(read.stage).toEqual({ ...own, gates: [{ line: 'root_cover', at_least: 3, share_bp: 8000 }] });
    expect(isChanged(read, own)).toBe(true);
  });

  test('can be nothing, which is not what Bedwalk starts with', () => {
    const { stage } = liner({ 'liner.gate.line': '' }, own);
    expect(stage?.gates).toEqual([]);
    expect(gatesInForce(stagesOfCrop('azalea'), 'liner', stage ?? undefined)).toEqual([]);
  });

  test('on another line asks for its own numbers, and is no gate without them', () => {
    const read = liner({ 'liner.gate.line': 'buds' }, own);
    expect(read.stage).toBeUndefined();
    expect(read.gate?.answers.at_least.problem).toBeTruthy();
    const typed = { 'liner.gate.line': 'head_mm', 'liner.gate.at_least': '12', 'liner.gate.share_bp': '75' };
    expect(liner(typed, own).stage?.gates).toEqual([{ line: 'head_mm', at_least: 120, share_bp: 7500 }]);
    expect(liner({ ...typed, 'liner.gate.share_bp': '150' }, own).gate?.answers.share_bp.problem).toBeTruthy();
  });

  test.each([
    ['root_cover', '0', '1', '5'],
    ['root_cover', '6', '5', '1'],
    ['root_life', '1', '2', '5'],
    ['head_mm', '0', '12', '30'],
    ['buds', '0', '1', '90'],
  ])('%s: at least %s is true of every pot or of none, and is refused', (line, wrong, ...right) => {
    const typed = { 'liner.gate.line': line, 'liner.gate.share_bp': '75' };
    const least = (text: string) => liner({ ...typed, 'liner.gate.at_least': text }, own);
    expect(least(wrong).gate?.answers.at_least.problem).toContain('is not between');
    expect(least(wrong).stage).toBeUndefined();
    for (const text of right) expect(least(text).gate?.answers.at_least.problem).toBeUndefined();
    expect(liner({ ...typed, 'liner.gate.share_bp': '0', 'liner.gate.at_least': '3' }, own).stage).toBeUndefined();
  });

  test('is saved with the three numbers of its stage, and says so', () => {
    expect(liner({ 'liner.gate.share_bp': '80' }).answers.shortest_days.problem).toContain('enter its three numbers');
    const some = liner({ 'liner.gate.share_bp': '80', 'liner.likely_days': '60' });
    expect(some.answers.shortest_days.problem).toContain('enter all three numbers, or none');
  });
});

describe('a stage of a cultivar', () => {
  const read = (typed: Record<string, string>, own?: Stage) =>
    readStage(stagesOfCultivar('azalea'), 'liner', new Map(Object.entries(typed)), own);
  const days = { 'liner.shortest_days': '50', 'liner.likely_days': '60', 'liner.longest_days': '70' };

  test('has its days alone: pot, route, gates and who ends it stay the crop’s', () => {
    expect(read(days).stage).toEqual({ shortest_days: 50, likely_days: 60, longest_days: 70 });
  });

  test('shows what must be seen of the crop until one of its own is typed', () => {
    expect(gatesInForce(stagesOfCultivar('azalea'), 'liner', undefined)).toEqual([
      { line: 'root_cover', at_least: 3, share_bp: 7500 },
    ]);
    expect(read({ ...days, 'liner.gate.share_bp': '90' }).stage?.gates).toEqual([
      { line: 'root_cover', at_least: 3, share_bp: 9000 },
    ]);
  });

  test('emptied follows the crop again', () => {
    const own = { shortest_days: 50, likely_days: 60, longest_days: 70 };
    const empty = read({ 'liner.shortest_days': '', 'liner.likely_days': '', 'liner.longest_days': '' }, own);
    expect(empty.stage).toBeNull();
    expect(isChanged(empty, own)).toBe(true);
  });
});
