import 'fake-indexeddb/auto';
import { afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import type { Grade } from '../../../../../schema/types';
import { publish } from '../../../journal/store/changes';
import { judgedOf, profileOf } from '../../../journal/records/input';
import type { RecordRow } from '../../../journal/store/shape';
import { load } from '../../../journal/records/registers';
import { speak, units } from '../../../words';
import { changesOf } from './cropedit';
import { added, draftsOf, inUnit, moved, readGrade, describeGrade, type Draft } from './cropgrades';
import { addressOfCrop, cropIn, cropOf, knownCrops, newProfileId } from './crops';
import { readValues, saidValue, textOf } from './cropvalues';

const centimetres = { length: 'cm', temperature: 'C', volume: 'L' } as const;
const plain = (text: string | undefined) => text?.replace(/\u202f/g, ' ');

beforeEach(() => speak('en'));
afterEach(() => void (units.value = centimetres));

describe('the values of a crop', () => {
  const read = (typed: Record<string, string>, own = {}) => readValues(new Map(Object.entries(typed)), own);

  test('are typed in per cent and kept in basis points', () => {
    expect(read({ head_tolerance_bp: '12,5' }).head_tolerance_bp).toEqual({ value: 1250 });
    expect(textOf('head_tolerance_bp', 1250)).toBe('12.5');
    expect(plain(saidValue('head_tolerance_bp', 1250))).toBe('± 12.5 %');
    expect(saidValue('width_bp', 2000)).toBe('20 points');
  });

  test('have their limit and what to do beside them when they are outside it', () => {
    const { problem } = read({ walk_every_days: '61' }).walk_every_days;
    expect(problem).toBe('Days between walks: 61 is not between 1 and 60. Check the number and its unit.');
    expect(read({ min_pots: '8.5' }).min_pots.problem).toMatch(/whole number, without/);
    expect(read({ risk_miss_bp: 'ten' }).risk_miss_bp.problem).toMatch(/only digits/);
  });

  test('left empty are no value, and untouched are the one set before', () => {
    expect(read({ min_pots: '' }, { min_pots: 12 }).min_pots).toEqual({});
    expect(read({}, { min_pots: 12 }).min_pots).toEqual({ value: 12 });
  });

  test('that limit each other are compared as they will apply, and the message stands where somebody typed', () => {
    // 60 is the most that Bedwalk starts with.
    expect(read({ min_pots: '61' }).min_pots.problem).toMatch(/\(60 pots\)\. Enter at most 60 pots/);
    expect(read({ max_pots: '10' }, { min_pots: 12 }).max_pots.problem).toMatch(/Enter at least 12 pots/);
    expect(read({ min_pots: '12', max_pots: '12' }).max_pots).toEqual({ value: 12 });
    expect(read({ trouble_ok_bp: '20' }).trouble_ok_bp.problem).toMatch(/must be lower than/);
    expect(read({ trouble_bad_bp: '5' }).trouble_bad_bp.problem).toMatch(/must be higher than/);
    expect(read({ min_pots: '' }, { min_pots: 4, max_pots: 6 }).min_pots.problem).toMatch(/\(6 pots\)/);
  });
});

const first: Grade = {
  name: 'first',
  pot_mm: 150,
  head_min_mm: 280,
  head_max_mm: 350,
  round_min_bp: 8500,
  buds_min: 40,
};
const second: Grade = { name: 'second', pot_mm: 150, root_cover_min: 3, chlorosis_max: 1 };
const small: Grade = { name: 'first', pot_mm: 110, head_min_mm: 200 };
const at = (drafts: readonly Draft[], i: number) => drafts[i] as Draft;

describe('the grades of a crop', () => {
  test('come back as they were when nothing is typed, in inches too', () => {
    const grades = [first, second, small];
    for (const length of ['cm', 'in'] as const) {
      units.value = { ...centimetres, length };
      const drafts = draftsOf(grades);
      expect(drafts.map((draft) => readGrade(draft, drafts).grade)).toEqual(grades);
    }
  });

  test('do not ask a line that is left empty, and say what they ask', () => {
    const [draft] = draftsOf([first]) as [Draft];
    const read = readGrade({ ...draft, texts: { head_min_mm: '30' } }, [draft]);
    expect(read.grade).toEqual({ name: 'first', pot_mm: 150, head_min_mm: 300 });
    expect(plain(describeGrade(first))).toBe('head 28.0 cm to 35.0 cm, round 85 %, buds 40');
    expect(describeGrade(second)).toBe('root cover 60\u202f%, chlorosis at worst slight');
    expect(describeGrade({ name: 'any', pot_mm: 150 })).toBe('no requirements: every pot gets it');
  });

  test('say at the line what is wrong', () => {
    const drafts = draftsOf([first, { ...second, name: 'first' }]);
    expect(readGrade(at(drafts, 1), drafts).name.problem).toMatch(/used twice/);
    expect(readGrade({ ...at(drafts, 0), name: ' ' }, drafts).name.problem).toBe('Name is missing. Fill it in.');
    const upside = { ...at(drafts, 0), texts: { head_min_mm: '30', head_max_mm: '29' } };
    expect(plain(readGrade(upside, drafts).lines.head_max_mm.problem)).toMatch(/Enter at least 30.0 cm/);
    const much = { ...at(drafts, 0), texts: { round_min_bp: '101' } };
    expect(plain(readGrade(much, drafts).lines.round_min_bp.problem)).toMatch(/101 is not between 0.01 and 100 %/);
    expect(readGrade(much, drafts).grade).toBeUndefined();
  });

  test('of one name may stand in two pot sizes', () => {
    const drafts = draftsOf([first, small]);
    expect(drafts.map((draft) => readGrade(draft, drafts).name.problem)).toEqual([undefined, undefined]);
  });

  test('move among those of their pot size alone, and no further than its ends', () => {
    const drafts = draftsOf([first, small, second]);
    const names = (list: readonly Draft[]) => list.map((draft) => `${draft.pot_mm} ${draft.name}`);
    expect(names(moved(drafts, at(drafts, 2).key, -1))).toEqual(['150 second', '110 first', '150 first']);
    expect(names(moved(drafts, at(drafts, 1).key, 1))).toEqual(names(drafts));
    const fresh: Draft = { key: 'new', pot_mm: 110, name: 'third', texts: {} };
    expect(names(added(drafts, fresh))).toEqual(['150 first', '110 first', '110 third', '150 second']);
  });

  test('half typed when the person changes to inches keep their sizes', () => {
    const [draft] = draftsOf([first]) as [Draft];
    const half = { ...draft, texts: { ...draft.texts, head_max_mm: '25,4' } };
    units.value = { ...centimetres, length: 'in' };
    const [turned] = inUnit([half], 'cm', 'in') as [Draft];
    expect(turned.texts).toMatchObject({ head_min_mm: '11', head_max_mm: '10' });
    expect(readGrade(turned, [turned]).lines.head_min_mm).toEqual({ value: 280 });
  });
});

describe('what is written', () => {
  const changes = (typed: Record<string, string>, own = {}, grades?: Grade[]) => {
    const map = new Map(Object.entries(typed));
    const drafts = draftsOf(grades ?? []);
    const reads = grades && drafts.map((draft) => readGrade(draft, drafts));
    return changesOf(map, readValues(map, own), own, reads);
  };

  test('is what differs from the values set now, and nothing else', () => {
    expect(changes({ head_tolerance_bp: '15', min_pots: '12' }, { min_pots: 12, max_pots: 40 })).toEqual({
      head_tolerance_bp: 1500,
    });
    expect(changes({})).toEqual({});
  });

  test('is an empty value where a set one was cleared', () => {
    expect(changes({ min_pots: '' }, { min_pots: 12 })).toEqual({ min_pots: null });
    expect(changes({ min_pots: '' })).toEqual({});
  });

  test('has all grades of the crop, once one of them or their order differs', () => {
    expect(changes({}, { grades: [first, second] }, [first, second])).toEqual({});
    expect(changes({}, { grades: [first, second] }, [second, first])).toEqual({ grades: [second, first] });
    expect(changes({}, { grades: [first] }, [])).toEqual({ grades: [] });
  });
});

describe('the crops of a nursery', () => {
  const register = (kind: string, of: string, values: Record<string, unknown>): RecordRow => {
    const by = { entry: '1', person: '2', device: '3', stamp: { at: 0, quality: 'exact', from: 0, to: 0 } };
    const fields = Object.fromEntries(
      Object.entries(values).map(([name, value]) => [name, { value, by, live: ['1'] }]),
    );
    const key = `${kind}:${of}`;
    return { key, kind, record: { key, register: { of, fields } } } as unknown as RecordRow;
  };
  beforeAll(async () => {
    await load();
    publish({
      rows: [
        register('lot', 'l1', { crop: 'azalea', pot_mm: 150 }),
        register('lot', 'l2', { crop: 'Azalea', pot_mm: 130 }),
        register('lot', 'l3', { crop: 'azalea', pot_mm: 110 }),
        register('lot', 'l4', {}),
        register('profile', 'p9', { crop: 'azalea', max_pots: 40, grades: [{ ...first, pot_mm: 165 }] }),
        register('profile', 'p2', { crop: 'azalea', max_pots: 50 }),
        register('profile', 'p3', { crop: 'pot hydrangea / blue' }),
      ],
      gone: [],
      queue: false,
    });
  });

  test('are those that lots or profiles name, with the sizes of both', () => {
    const crops = knownCrops();
    expect(crops.map((crop) => crop.name)).toEqual(['azalea', 'pot hydrangea / blue']);
    expect(crops[0]).toMatchObject({ lots: 3, sizes: [110, 130, 150, 165], differ: 0 });
  });

  test('are one crop however it is spelled, judged by one profile and begun under one id', () => {
    expect(cropOf('AZÁLEA')).toMatchObject({ name: 'azalea', lots: 3 });
    expect(judgedOf('Azalea').max_pots).toBe(40);
    expect(newProfileId('Florist’s azalea')).toBe(newProfileId("florist's Azalea"));
  });

  test('that two people began apart are judged by the same profile everywhere: the one with the higher id', () => {
    expect(profileOf('azalea')?.id).toBe('p9');
    expect(judgedOf('azalea').max_pots).toBe(40);
  });

  test('are begun under an id that follows from the name, so that two people begin the same one', () => {
    expect(newProfileId('azalea')).toMatch(/^[0-9a-f]{32}$/);
    expect(newProfileId('azalea')).toBe(newProfileId('azalea'));
    expect(newProfileId('azalea')).not.toBe(newProfileId('hydrangea'));
  });

  test('are found again by their address, whatever is in their name', () => {
    const [, , id = ''] = addressOfCrop('pot hydrangea / blue').split('/');
    expect(cropIn(id)).toBe('pot hydrangea / blue');
    expect(cropIn('100%')).toBe('100%');
  });
});
