/** A walk that was left before it had seen what it asked for is said to be unfinished on each page of the desk, as on the phone. */
import { cleanup, render, waitFor } from '@testing-library/preact';
import 'fake-indexeddb/auto';
import type { ComponentType } from 'preact';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { BedBrief, TomorrowView } from '../../../../schema/types';
import { answerOf } from '../../journal/answers.testing';
import { go } from '../../router';
import { me } from '../../state';
import { speak } from '../../words';
import Bed from './bed/Bed';
import Beds from './beds/Beds';
import { Tomorrow } from './plan/Tomorrow';
import { attentionView } from './sample-attention.testing';
import * as sample from './sample.testing';

let answers: { [path: string]: unknown };
const left = { seen: 16, about: 34 };

/** The sample's beds, of which the last walk of the first was left early, and the only one of the last, today. */
function bedsLeft(changes: Partial<BedBrief> = {}) {
  const [house] = sample.bedsView.houses;
  const beds = house!.beds.map((bed, at, { length }): BedBrief => {
    if (at === 0) return { ...bed, unfinished: left };
    if (at < length - 1) return bed;
    const score = { ...sample.score, seen: 3, too_few_pots: true };
    return {
      ...bed,
      score,
      last_walk: 'w9',
      last_walk_at: sample.now,
      unfinished: { seen: 3, about: 12 },
      ...changes,
    };
  });
  return { ...sample.bedsView, houses: [{ ...house!, beds }] };
}

beforeEach(async () => {
  await speak('en');
  vi.spyOn(Date, 'now').mockReturnValue(sample.now);
  answers = {
    '/api/views/beds': bedsLeft(),
    '/api/views/attention': attentionView,
    '/api/views/names': sample.namesView,
    '/api/views/beds/b14': {
      ...sample.bedView,
      walks: sample.bedView.walks.map((walk) => (walk.walk === 'walk4' ? { ...walk, unfinished: left } : walk)),
    },
  };
  vi.stubGlobal('fetch', async (path: string) => answerOf(answers, path));
  me.value = { role: 'owner', site_name: 'Quillfen' } as NonNullable<typeof me.value>;
});

afterEach(() => {
  cleanup();
  go('/', { instead: true });
  vi.restoreAllMocks();
});

async function says(Page: ComponentType<{ id?: string }>, ...said: (string | RegExp)[]) {
  const { container } = render(<Page id="b14" />);
  for (const each of said) {
    await waitFor(() => expect(container.textContent?.replaceAll(/[\u202f\u00a0]/g, ' ')).toMatch(each));
  }
  return container.textContent ?? '';
}

test('on a strip of the plan', async () => {
  const text = await says(
    Beds,
    'Bed 14, uniformity 81 (70 to 88), 18 pots checked, 16 of about 34 pots checked 2 days ago, not finished',
    /3 of about 12 pots checked today, not finished.*due for a walk: walk not finished/,
    /2 d not finished/,
  );
  expect(text).not.toContain('Bed 14, uniformity 81 (70 to 88), 18 pots checked, walked');
});

test('a strip says of the walk under way only that', async () => {
  const under_way = { walk: 'w9', at: sample.now, person: 'mara', person_name: 'Mara', seen: 3, planned: 12 };
  answers['/api/views/beds'] = bedsLeft({ under_way });
  const text = await says(Beds, 'walking, 3 of about 12');
  expect(text).not.toContain('3 of about 12 pots checked today');
});

test('in the table of beds', async () => {
  go('/beds?view=table', { instead: true });
  await says(Beds, '16 of about 34 pots checked 2 days ago, not finished', '9 days ago');
});

test('on the page of the bed', async () => {
  const text = await says(
    Bed,
    '16 of about 34 pots checked 2 days ago by Tomás, not finished',
    'This walk is not finished.',
  );
  expect(text).not.toContain('walked 2 days ago');
});

test('among the beds to walk next', async () => {
  const walk = { bed: 'b14', name: '14', house: '2', pots: 30, minutes: 0, closed_until: 0, task: '' };
  answers['/api/views/tomorrow'] = {
    on: '2026-11-26',
    walks: [{ ...walk, why: 'days', days: 2, unfinished: left, person: '', person_name: '' }],
    pot_s: 0,
    pot_n: 0,
    way_s: 0,
    way_n: 0,
    made_at: sample.now,
  } satisfies TomorrowView;
  await says(Tomorrow, 'due: 16 of about 34 pots checked 2 days before, not finished');
});
