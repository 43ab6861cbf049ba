import { cleanup, fireEvent, render, screen, waitFor, within } from '@testing-library/preact';
import 'fake-indexeddb/auto';
import type { ComponentType } from 'preact';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { answerOf } from '../../journal/answers.testing';
import { go } from '../../router';
import { me } from '../../state';
import { speak } from '../../words';
import Bed from './bed/Bed';
import Beds from './beds/Beds';
import Lot from './lot/Lot';
import Lots from './lot/Lots';
import Phones from './phones/Phones';
import { attentionView } from './sample-attention.testing';
import { phonesView, scoutsView } from './sample-people.testing';
import * as sample from './sample.testing';
import Scouts from './scouts/Scouts';

const note = vi.hoisted(() => vi.fn());
vi.mock('../../journal/outbox/write', async (load) => ({ ...(await load<object>()), note }));

let answers: { [path: string]: unknown };
const sent: { path: string; body: unknown }[] = [];

beforeEach(async () => {
  await speak('en');
  note.mockReset().mockResolvedValue(undefined);
  vi.spyOn(Date, 'now').mockReturnValue(sample.now);
  sent.length = 0;
  answers = {
    '/api/views/beds': sample.bedsView,
    '/api/views/attention': attentionView,
    '/api/views/beds/b14': sample.bedView,
    '/api/views/names': sample.namesView,
    '/api/views/lots': sample.lotsPage(sample.lotBrief('lot1'), sample.hydrangea),
    '/api/views/lots/lot1': sample.lotView,
    '/api/views/scouts': scoutsView,
    '/api/views/phones': phonesView,
    '/api/pairings': {
      code: 'K7Q2-9FMX',
      link: 'http://localhost:8080/pair/K7Q2-9FMX',
      role: 'scout',
      until: sample.now,
    },
  };
  vi.stubGlobal('fetch', async (path: string, init?: RequestInit) => {
    if (init?.method === 'POST') sent.push({ path, body: JSON.parse(String(init.body ?? 'null')) });
    return answerOf(answers, path);
  });
  me.value = { role: 'owner', site_name: 'Quillfen' } as NonNullable<typeof me.value>;
});

afterEach(() => {
  cleanup();
  go('/', { instead: true });
  vi.restoreAllMocks();
});

async function shows(Page: ComponentType<{ id?: string }>, id?: string) {
  const page = render(<Page {...(id === undefined ? {} : { id })} />);
  await waitFor(() => expect(document.querySelector('.waiting')).toBeNull());
  return page;
}

const text = (page: { container: Element }) => page.container.textContent ?? '';

describe('the beds from above', () => {
  test('say each bed in one breath: its number with interval, age, lots, and what it needs', async () => {
    await shows(Beds);
    const link = screen.getByRole('link', {
      name: /^Bed 14, uniformity 81 \(70 to 88\), 18 pots checked, walked 2 days ago/,
    });
    expect(link.textContent).toContain('0417 Ember Lace');
    expect(await screen.findByRole('link', { name: 'number 1 in the list' })).toBeTruthy();
  });

  test('say the day on which a closed bed opens, unless that is today', async () => {
    const [house, ...houses] = sample.bedsView.houses;
    const [bed, ...others] = house?.beds ?? [];
    const opens = sample.now + 3 * 24 * 60 * 60 * 1000;
    const beds = [{ ...bed!, closed_until: opens }, ...others];
    answers['/api/views/beds'] = { ...sample.bedsView, houses: [{ ...house!, beds }, ...houses] };
    const page = await shows(Beds);
    await waitFor(() => expect(text(page)).toContain('closed until'));
    const day = new Intl.DateTimeFormat('en', { day: 'numeric', month: 'short' }).formatToParts(opens);
    const part = (type: string) => day.find((each) => each.type === type)?.value ?? '';
    const said = /closed until ([^,]*,[^,]*)/.exec(text(page))?.[1];
    expect(said).toContain(part('day'));
    expect(said).toContain(part('month'));
  });

  test('are strips as long as the beds are on the ground', async () => {
    const house = sample.bedsView.houses[0]!;
    const beds = house.beds.map((bed, at) => ({ ...bed, length_mm: at === 1 ? bed.length_mm / 2 : bed.length_mm }));
    answers['/api/views/beds'] = { ...sample.bedsView, houses: [{ ...house, beds }] };
    await shows(Beds);
    const lines = () => [...document.querySelectorAll<HTMLElement>('.beds li')];
    await waitFor(() => expect(lines().map(({ style }) => style.getPropertyValue('--long'))).toContain('50%'));
  });

  test('hatch a bed with few pots and leave one that nobody walked open, rather than giving them a shade', async () => {
    const { container } = await shows(Beds);
    expect(container.querySelector('.bedtile.few')?.textContent).toContain('few: 18 pots');
    expect(container.querySelector('.bedtile.never')?.textContent).toContain('no walk yet');
  });

  test('can be narrowed to those due, and say how many are left', async () => {
    const page = await shows(Beds);
    fireEvent.change(screen.getByLabelText('Show'), { target: { value: 'due' } });
    expect(text(page)).toContain('2 of 4 beds');
    expect(page.container.querySelectorAll('.beds .bedtile')).toHaveLength(2);
  });

  test('say what needs a supervisor in the crew’s own names for the ends, as many rows as the sentence counts', async () => {
    const page = await shows(Beds);
    await waitFor(() => expect(page.container.querySelectorAll('.needs ol > li')).toHaveLength(2));
    expect(text(page)).toContain(
      'Heads shrink toward the fan end, about 4 % every 5 m'.replaceAll(' %', '\u202f%').replace('5 m', '5\u202fm'),
    );
    expect(page.container.querySelectorAll('.ministrip .hit')).toHaveLength(2);
    expect(text(page)).toMatch(/3 of 4 phones up to date.*2 things need you.*1 note from Yard phone waits/s);
  });
});

describe('one bed', () => {
  test('gives its number with interval, and what nothing seen still allows', async () => {
    const page = await shows(Bed, 'b14');
    expect(screen.getByRole('heading', { level: 1 }).textContent).toBe('Bed 14, House 2');
    expect(text(page)).toContain('70 to 88');
    expect(text(page)).toContain('none in 18 pots (could be up to 14\u202f%');
  });

  test.each([
    [undefined, 'Enough pots were checked for the certainty set for this crop.'],
    [
      { from_row: 40, to_row: 100, share: 0.61, p: 0.001 },
      'Enough pots for the rows that were walked; rows 40 to 100 were not.',
    ],
  ])('does not call a walk enough of a bed of which it left out a stretch (%o)', async (unwalked, says) => {
    const stop = { verdict: 'enough', more: 0, chlorosis: 'fine', roots: 'fine' };
    const score = { ...sample.bedView.bed.score!, stop, ...(unwalked ? { unwalked } : {}) };
    answers['/api/views/beds/b14'] = { ...sample.bedView, bed: { ...sample.bedView.bed, score } };
    const page = await shows(Bed, 'b14');
    // What was kept of the last answer is shown first.
    await waitFor(() => expect(text(page)).toContain(says));
  });

  test('shows the walk under way beside what the last whole walk found, which it does not change', async () => {
    const going = { walk: 'w9', at: sample.now, person: 'mara', person_name: 'Mara', seen: 6, planned: 30 };
    answers['/api/views/beds/b14'] = { ...sample.bedView, bed: { ...sample.bedView.bed, under_way: going } };
    const page = await shows(Bed, 'b14');
    await waitFor(() => expect(text(page)).toContain('Walking: 6 of about 30 (Mara, today)'));
    expect(text(page)).toContain('70 to 88');
    expect(text(page)).toContain('The walk in progress changes nothing here until it ends.');
  });

  test('draws heads and buds apart, and says from where on buds were counted', async () => {
    const page = await shows(Bed, 'b14');
    expect(text(page)).toContain('buds counted from here');
    expect(screen.getByRole('img', { name: /^head size: uniformity over 5 walks, from 70 to 82/i })).toBeTruthy();
    expect(screen.getByRole('img', { name: /^bud count: uniformity over 3 walks/i })).toBeTruthy();
  });

  test('dates what an earlier walk found and no later one has looked at again', async () => {
    const open = {
      code: 'rot',
      numbers: { x: 9, n: 31, low: 0.18, high: 0.43 },
      attention: true,
      seen_at: sample.now - 9 * sample.DAY,
    };
    const score = { ...sample.bedView.bed.score!, findings: [open] };
    answers['/api/views/beds/b14'] = { ...sample.bedView, bed: { ...sample.bedView.bed, score } };
    const page = await shows(Bed, 'b14');
    await waitFor(() =>
      expect(text(page)).toContain('Seen 9 days ago; no walk since has checked enough pots to clear it.'),
    );
  });

  test('names the lines that cost most pots, and what is safe to promise', async () => {
    const page = await shows(Bed, 'b14');
    expect(text(page)).toContain('154 safe to promise');
    expect(text(page)).toContain('bud count (3 of 9) and head size (1 of 9)');
  });

  test('keeps a struck-out pot in its list, with who struck it out and why', async () => {
    const page = await shows(Bed, 'b14');
    expect(page.container.querySelectorAll('tr.undone')).toHaveLength(1);
    expect(text(page)).toContain('struck out by Mara: the wrong pot');
    expect(text(page)).toContain('1 other version noted separately');
  });

  test('offers its observations as CSV', async () => {
    await shows(Bed, 'b14');
    expect(screen.getByRole('link', { name: 'Download as CSV' }).getAttribute('href')).toBe(
      '/api/out/observations.csv?bed=b14',
    );
  });

  test('asks for a blind second look at the walk shown', async () => {
    await shows(Bed, 'b14');
    fireEvent.click(screen.getByRole('button', { name: 'Blind second look' }));
    fireEvent.change(await screen.findByLabelText('Who takes the second look'), { target: { value: 'mara' } });
    fireEvent.click(screen.getByRole('button', { name: 'Ask for a second look', hidden: true }));
    await waitFor(() => expect(note).toHaveBeenCalledOnce());
    expect(note.mock.calls[0]?.[0]).toBe('round');
    expect(note.mock.calls[0]?.[1]).toMatchObject({ bed: 'b14', walk: 'walk4', by: 'mara' });
  });

  test('says what to do when the address is unknown', async () => {
    await shows(Bed, 'nobody');
    expect(screen.getByRole('alert').textContent).toContain('There is nothing at this address');
    expect(screen.getByRole('button', { name: 'Try again' })).toBeDefined();
  });
});

describe('the lots', () => {
  test('are found by tag or cultivar', async () => {
    const { container } = await shows(Lots);
    expect(container.querySelectorAll('tbody tr')).toHaveLength(2);
    fireEvent.input(screen.getByLabelText('Tag or cultivar'), { target: { value: '05' } });
    expect(container.querySelectorAll('tbody tr')).toHaveLength(1);
  });

  test('can be narrowed to those with something to settle', async () => {
    const { container } = await shows(Lots);
    fireEvent.click(screen.getByLabelText('only with disagreements'));
    expect(container.querySelectorAll('tbody tr')).toHaveLength(1);
  });
});

describe('one lot', () => {
  test('settles a disagreement with one tap that names every value seen', async () => {
    await shows(Lot, 'lot1');
    fireEvent.click(screen.getByRole('button', { name: 'Keep Jan 19, 2026' }));
    await waitFor(() => expect(note).toHaveBeenCalledOnce());
    expect(note).toHaveBeenCalledWith(
      'lot',
      { of: 'lot1', saw: ['e1', 'e2'], struck_on: '2026-01-19' },
      { lot: 'lot1' },
    );
    await waitFor(() => expect(screen.queryByRole('button', { name: /^Keep/ })).toBeNull());
  });

  test('keeps the question open when the choice could not be saved, and says so', async () => {
    note.mockRejectedValue(new Error('full'));
    await shows(Lot, 'lot1');
    fireEvent.click(screen.getByRole('button', { name: 'Keep Jan 12, 2026' }));
    expect((await screen.findByRole('alert')).textContent).toContain('choose again');
    expect(screen.getAllByRole('button', { name: /^Keep/ })).toHaveLength(2);
  });

  test('gives a bracketed time as a span', async () => {
    const page = await shows(Lot, 'lot1');
    expect(text(page)).toMatch(/between Nov 21, .* and Nov 23,/);
  });

  test('lists parent and child as links, and every line of the ledger', async () => {
    const page = await shows(Lot, 'lot1');
    expect(screen.getByRole('link', { name: '0398 Corvane' })).toBeDefined();
    expect(screen.getByRole('link', { name: '0455 Corvane' })).toBeDefined();
    const ledger = within(screen.getByRole('region', { name: 'Pot counts' }));
    expect(ledger.getAllByRole('row')).toHaveLength(4);
    expect(text(page)).toContain('= 490');
  });
});

test('the scouts page names who reads large, with the interval', async () => {
  const page = await shows(Scouts);
  expect(text(page)).toContain('Tomás reads heads 4.1\u202f% large (+2.1\u202f% to +6.0\u202f%)');
});

describe('the phones page', () => {
  test('says where a phone agrees, what waits on it, how its clock stands, and which one is not heard', async () => {
    const away = { ...phonesView.phones[0]!, device: 'd2', seen_at: sample.now - 9 * sample.DAY, silent: true };
    answers['/api/views/phones'] = { ...phonesView, phones: [...phonesView.phones, away] };
    const page = await shows(Phones);
    await waitFor(() => expect(text(page).split('9 days ago, nothing since')).toHaveLength(2));
    expect(text(page)).toContain('match the server at position 4,700');
    expect(text(page)).toContain('14 notes, 2 photos');
    expect(text(page)).toContain('3 hours behind');
    expect(text(page)).toContain('Notes since the last backup: 111.');
  });

  test('offers to merge only what can be merged', async () => {
    await shows(Phones);
    expect(screen.getAllByRole('button', { name: 'Reject' })).toHaveLength(3);
    const merge = screen.getAllByRole('button', { name: 'Merge' });
    expect(merge).toHaveLength(2);
    for (const button of merge) fireEvent.click(button);
    await waitFor(() => expect(sent).toContainEqual({ path: '/api/quarantine/2', body: { decision: 'merge' } }));
    await waitFor(() => expect(sent).toContainEqual({ path: '/api/quarantine/3', body: { decision: 'merge' } }));
  });

  test.each([
    ['en', 'Only a supervisor or the owner can write this.'],
    ['es', 'Solo el encargado o el dueño puede escribir esto.'],
  ] as const)('says in %s who may write what a scout’s phone may not', async (language, words) => {
    await speak(language);
    const said = text(await shows(Phones));
    expect(said).toContain(words);
    expect(said).not.toContain('A scout’s device may not.');
  });

  test('offers a supervisor neither to revoke an owner nor to pair a device in an owner’s name', async () => {
    const [scout] = phonesView.phones;
    const owner = { ...scout, device: 'd9', name: 'office', person: 'ada', person_name: 'Ada', role: 'owner' };
    answers['/api/views/phones'] = { ...phonesView, phones: [scout, owner] };
    for (const [role, count] of [
      ['supervisor', 1],
      ['owner', 2],
    ] as const) {
      me.value = { role, site_name: 'Quillfen', device: 'd0' } as NonNullable<typeof me.value>;
      await shows(Phones);
      // An earlier test's answer is shown first, dated.
      await screen.findByRole('heading', { name: 'office' });
      expect(screen.getAllByRole('button', { name: /^Revoke/ })).toHaveLength(count);
      expect(screen.queryAllByRole('option', { name: 'Ada' })).toHaveLength(count - 1);
      cleanup();
    }
  });

  test('makes a pairing code with a QR code for somebody new', async () => {
    await shows(Phones);
    fireEvent.click(screen.getByRole('button', { name: 'Make a code' }));
    expect(screen.getByRole('alert').textContent).toContain('Enter the person’s name');
    fireEvent.input(screen.getByLabelText(/Person’s name/), { target: { value: 'Ilse' } });
    fireEvent.click(screen.getByRole('button', { name: 'Make a code' }));
    expect(await screen.findByRole('img', { name: 'QR code of the pairing link, code K7Q2-9FMX' })).toBeDefined();
    expect(sent).toContainEqual({ path: '/api/pairings', body: { name: 'Ilse', role: 'scout' } });
  });

  test('begins with the notes that wait, each with its bed and row', async () => {
    const [note] = phonesView.quarantined;
    const body = { bed: 'b14', place: { row: 12, across: 2 }, head_a_mm: 4000 };
    answers['/api/views/phones'] = {
      ...phonesView,
      quarantined: [{ ...note, text: JSON.stringify({ bed: 'b14', body }) }],
    };
    await shows(Phones);
    expect(await screen.findByText(/Bed 14, House 2, row 12, second from the near side/)).toBeDefined();
    const titles = () => screen.getAllByRole('heading', { level: 2 }).map((each) => each.textContent);
    expect(titles()[0]).toBe('Notes that need your decision');
    expect(titles().filter((title) => title === 'Notes that need your decision')).toHaveLength(1);
  });

  test('leads to all notes of one phone, page by page, and decides one there', async () => {
    const [note] = phonesView.quarantined;
    const byDevice = [{ device: 'd1', device_name: 'phone 1', count: 214, up_to: 300, since: sample.now }];
    answers['/api/views/phones'] = { ...phonesView, quarantined_by_device: byDevice };
    const page = { device: 'd1', device_name: 'phone 1', count: 214 };
    const first = { ...page, older: 251, quarantined: [{ ...note, id: '300-a' }] };
    const honest = { ...phonesView.quarantined[2], id: '7-b', text: '{"body":{"crop":"hydrangea","min_pots":6}}' };
    answers['/api/quarantine/7-b'] = {};
    answers['/api/views/quarantine/d1'] = first;
    answers['/api/views/quarantine/d1?before=251'] = { ...page, older: 0, quarantined: [honest] };
    await shows(Phones);
    fireEvent.click(await screen.findByRole('button', { name: 'See all 214, one by one' }));
    await screen.findByText('Page 1, newest first. 214 held.');
    expect(screen.queryByRole('button', { name: 'Newer notes' })).toBeNull();
    fireEvent.click(screen.getByRole('button', { name: 'Older notes' }));
    const status = await screen.findByText('Page 2, newest first. 214 held.');
    const list = within(status.closest('details') as HTMLElement);
    await list.findByText(/hydrangea/, { selector: 'pre' });
    expect(list.queryByRole('button', { name: 'Older notes' })).toBeNull();
    answers['/api/views/quarantine/d1?before=251'] = { ...page, count: 213, older: 0, quarantined: [] };
    fireEvent.click(list.getByRole('button', { name: 'Merge' }));
    await list.findByText('No held notes left on this page.');
    expect(sent).toContainEqual({ path: '/api/quarantine/7-b', body: { decision: 'merge' } });
    fireEvent.click(list.getByRole('button', { name: 'Newer notes' }));
    await list.findByText('Page 1, newest first. 214 held.');
  });

  test('has the notes that wait below the phones when there are none', async () => {
    answers['/api/views/phones'] = { ...phonesView, quarantined: [] };
    await shows(Phones);
    await screen.findByText('None. Every note that arrived is merged.');
    const titles = screen.getAllByRole('heading', { level: 2 }).map((each) => each.textContent);
    expect(titles.indexOf('Notes that need your decision')).toBeGreaterThan(titles.indexOf('Pair another device'));
  });

  test('says that the server’s clock is in doubt, and lets an owner alone confirm what it showed', async () => {
    const doubted = { doubt: 'jumped', now: 1_800_000_000_000, last: 1, phones: 1_700_000_000_000, people: 3 };
    answers['/api/views/phones'] = { ...phonesView, clock: doubted };
    answers['/api/clock'] = {};
    for (const role of ['supervisor', 'owner']) {
      me.value = { role, site_name: 'Quillfen', device: 'd0' } as NonNullable<typeof me.value>;
      await shows(Phones);
      await screen.findByText('The server’s clock jumped, so notes can’t be time-stamped.');
      await screen.findByText(/median of 3 people in the last hour/);
      const button = screen.queryByRole('button', { name: 'The clock is right' });
      expect(button !== null).toBe(role === 'owner');
      if (button) fireEvent.click(button);
      else cleanup();
    }
    await waitFor(() => expect(sent).toContainEqual({ path: '/api/clock', body: { now: doubted.now } }));
  });
});
