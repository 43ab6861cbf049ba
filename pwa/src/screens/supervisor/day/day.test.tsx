/** What the page of a day says: walks in a line, notes as sentences, what came in late, and an empty day. */
import { cleanup, render, waitFor } from '@testing-library/preact';
import 'fake-indexeddb/auto';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { DayLine, DayView } from '../../../../../schema/types';
import { answerOf } from '../../../journal/answers.testing';
import { go } from '../../../router';
import { me } from '../../../state';
import { speak } from '../../../words';
import Day from './Day';

const people = vi.hoisted(() => ({ value: new Map([['p2', { of: 'p2', name: 'Wren' }]]) }));
vi.mock('../../../journal/records/registers', async (actual) => ({ ...(await actual<object>()), people }));

const at = (time: string) => Date.parse(`2026-11-28T${time}:00-05:00`);
const line = (of: Partial<DayLine>): DayLine => ({ at: at('07:15'), person: 'p1', person_name: 'Sol', ...of });
const walk = { walk: 'w1', pots: 22, skipped: 1, corrected: 0, until: at('07:26'), started: true, end: 'planned' };

const lines = [
  line({ bed: 'b1', walk }),
  line({ bed: 'b2', walk: { ...walk, walk: 'w2', pots: 0, skipped: 0, corrected: 2, started: false, end: '' } }),
  line({
    entry: 'e1',
    kind: 'count',
    bed: 'b1',
    lot: 'l1',
    tag: 'AZ-1',
    body: { change: -8, reason: 'lost_root' },
    arrived: '2026-11-30',
  }),
  line({
    entry: 'e2',
    kind: 'void',
    body: { why: 'mistake' },
    named: { kind: 'note', at: at('07:00'), person_name: 'Wren', body: { words: 'the fan hums' } },
  }),
  line({
    entry: 'e3',
    kind: 'task',
    body: { of: 't1', done_on: '2026-11-28' },
    task: { words: 'Wash the potting bench.' },
  }),
  line({ entry: 'e4', kind: 'note', body: { words: 'lots.csv: 40 lots added.' }, sheet: 120 }),
  line({
    entry: 'e5',
    kind: 'void',
    body: { why: 'mistake' },
    named: { kind: 'note', at: Date.parse('2026-11-25T23:30:00-05:00'), person_name: 'Wren', body: { words: 'old' } },
  }),
];

const view: DayView = {
  day: '2026-11-28',
  today: '2026-11-30',
  before: '2026-11-27',
  by: 'person',
  person: '',
  people: [{ id: 'p1', name: 'Sol' }],
  groups: [{ person: 'p1', person_name: 'Sol', walks: 1, pots: 22, notes: 5, lines }],
  after: '',
  zone: 'America/New_York',
  walks: 1,
  pots: 22,
  notes: 5,
  late: 1,
  came: [{ day: '2026-11-25', notes: 12, people: ['Ana'] }],
  made_at: 0,
};

let answers: { [path: string]: unknown };

beforeEach(async () => {
  await speak('en');
  vi.spyOn(Date, 'now').mockReturnValue(Date.parse('2026-11-30T23:30:00-05:00'));
  me.value = { role: 'owner', site_name: 'Quillfen' } as NonNullable<typeof me.value>;
  answers = {
    '/api/views/names': {
      beds: [
        { id: 'b1', name: 'H1', house: 'Heron' },
        { id: 'b2', name: 'S9', house: 'Sedge' },
      ],
    },
  };
  vi.stubGlobal('fetch', async (path: string) => answerOf(answers, path));
});

afterEach(() => {
  cleanup();
  vi.restoreAllMocks();
  go('/', { instead: true });
});

async function shows(id: string, given: DayView): Promise<Element> {
  answers[`/api/views/day?day=${id}`] = given;
  go(`/days/${id}`, { instead: true });
  const { container } = render(<Day id={id} />);
  await waitFor(() => expect(container.querySelector('.waiting')).toBeNull());
  return container;
}

const spaced = (text: string | null) => (text ?? '').replaceAll(/[\u00a0\u2009\u202f]/g, ' ').replaceAll(/ ?– ?/g, '–');

test('a walk is one line with its pots, other notes are sentences, each with its way to bed, lot and walk', async () => {
  const page = await shows('2026-11-28', view);
  await waitFor(() => expect(page.textContent).toContain('H1, Heron'));
  const said = [...page.querySelectorAll('.daylines li')].map((li) => spaced(li.textContent));
  expect(said).toEqual([
    '7:15–7:26 AMH1, Heronwalk: 22 pots, 1 skipped, finished',
    '7:15–7:26 AMS9, Sedgewalk: 2 pots of an earlier walk corrected',
    '7:15 AMH1, Heroncount: −8, lost to root rot · Lot AZ-1came in Nov 30, 2026',
    '7:15 AMstruck out: comment, the fan hums (Wren, 7:00 AM); a mistake',
    '7:15 AMtask: Wash the potting bench, done Nov 28, 2026',
    '7:15 AMadded at once: lots.csv: 40 lots added. · 120 notes',
    // Where this runs in UTC it is the next day already.
    '7:15 AMstruck out: comment, old (Wren, Nov 25, 11:30 PM); a mistake',
  ]);
  const ways = [...page.querySelectorAll('.daylines a')].map((link) => link.getAttribute('href'));
  expect(ways).toEqual(['/beds/b1', '/beds/b1?walk=w1', '/beds/b2', '/beds/b2?walk=w2', '/beds/b1', '/lots/l1']);
  const text = spaced(page.textContent);
  expect(text).toContain('Noted on Saturday, November 28');
  expect(text).toContain(
    '1 walk with 22 pots, 5 other notes, by 1 person. 1 of them came in on a later day and says so.',
  );
  expect(text).toContain('12 notes of Wednesday, November 25, by Ana.');
  const days = [...page.querySelectorAll('.turn a')].map((link) => link.getAttribute('href'));
  expect(days).toEqual(['/days/2026-11-27', '/days/2026-11-29', '/days/2026-11-30']);
});

test.each([
  [
    'en',
    'Noted yesterday, Sunday, November 29',
    'No notes from Sunday, November 29 have come in.',
    'The last notes before: Friday, November 27',
  ],
  [
    'es',
    'Anotado ayer, domingo, 29 de noviembre',
    'No ha llegado ninguna nota del domingo, 29 de noviembre.',
    'Las últimas notas antes: viernes, 27 de noviembre',
  ],
] as const)('an empty day says so in %s, and leads to the last one that is not', async (language, ...said) => {
  await speak(language);
  const page = await shows('2026-11-29', {
    ...view,
    day: '2026-11-29',
    people: [],
    groups: [],
    walks: 0,
    pots: 0,
    notes: 0,
    late: 0,
    came: [],
  });
  for (const words of said) expect(spaced(page.textContent)).toContain(words);
  expect(page.querySelector('.empty a')?.getAttribute('href')).toBe('/days/2026-11-27');
});

test('a day on which the chosen person noted nothing names that person, and who is chosen stays so', async () => {
  answers['/api/views/day?day=2026-11-28&person=p2'] = {
    ...view,
    person: 'p2',
    groups: [],
    walks: 0,
    pots: 0,
    notes: 0,
  };
  go('/days/2026-11-28?person=p2', { instead: true });
  const { container: page } = render(<Day id="2026-11-28" />);
  await waitFor(() => expect(page.querySelector('.empty')).not.toBeNull());
  expect(spaced(page.textContent)).toContain('No notes by Wren from Saturday, November 28 have come in.');
  expect([...page.querySelectorAll('select')].at(-1)!.selectedOptions[0]!.textContent).toBe('Wren');
});

test('a day that was kept since an earlier visit is not called yesterday any more', async () => {
  vi.mocked(Date.now).mockReturnValue(Date.parse('2026-12-02T08:00:00-05:00'));
  const page = await shows('2026-11-29', { ...view, day: '2026-11-29' });
  expect(spaced(page.querySelector('h1')!.textContent)).toBe('Noted on Sunday, November 29');
});
