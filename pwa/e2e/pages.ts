/** The supervisor's pages, for the tests that go through all of them and for the pictures in the README. */
import type { BedsView, DayView, LotBrief, LotsPage } from '../../schema/types.ts';
import type { Device } from './harness.ts';

/** Opens a page and waits until its data are drawn. */
export async function shows(desk: Device, path: string): Promise<void> {
  await desk.opens(path);
  await desk.page.locator('.supervisor main h1').waitFor();
  await hasCome(desk);
}

/** Goes to another page within the running app, as a link would, which takes a tenth of opening it again. */
export async function turnsTo(desk: Device, path: string): Promise<void> {
  await desk.page.evaluate(async (to) => {
    history.pushState(null, '', to);
    dispatchEvent(new PopStateEvent('popstate'));
    for (let frame = 0; frame < 2; frame++) await new Promise((drawn) => requestAnimationFrame(drawn));
  }, path);
  await desk.page.locator('.supervisor main h1').waitFor();
  await hasCome(desk);
}

/** Several parts of one page may still wait for their records. */
async function hasCome(desk: Device): Promise<void> {
  await desk.page.waitForFunction(() => document.querySelector('.waiting') === null);
}

/** What the server gives a page, read with the page's own rights. */
export function viewOf<View>(desk: Device, path: string): Promise<View> {
  return desk.page.evaluate(async (at) => (await fetch(at)).json() as Promise<View>, `/api/views/${path}`);
}

/** The lots of the list's first page, which are all of the demo's. */
export async function lotsOf(desk: Device): Promise<LotBrief[]> {
  const { lots, next } = await viewOf<LotsPage>(desk, 'lots');
  if (next !== '') throw new Error('there are more lots than one page; read the others too');
  return lots;
}

/** Every page once, with a bed and a lot of the demo that have much to show, and one of each that has nothing. */
export async function supervisorPages(desk: Device): Promise<{ name: string; path: string }[]> {
  const { houses } = await viewOf<BedsView>(desk, 'beds');
  const lots = await lotsOf(desk);
  const yesterday = await viewOf<DayView>(desk, 'day');
  const beds = houses.flatMap((house) => house.beds);
  const withFinding = (code: string) =>
    beds.find((bed) => bed.score?.findings.some((finding) => finding.code === code));
  const mixed = beds.find((bed) => bed.spans.length > 1 && bed.score && !bed.score.too_few_pots);
  const open = lots.find((lot) => lot.disagree > 0) ?? lots[0];
  const all = [
    ['beds', '/beds'],
    ['bed-mixed', mixed && `/beds/${mixed.id}`],
    ['bed-patch', withFinding('patch_chlorosis') && `/beds/${withFinding('patch_chlorosis')?.id}`],
    ['bed-unknown', '/beds/00000000000000000000000000000000'],
    ['lots', '/lots'],
    ['lot', open && `/lots/${open.id}`],
    ['plan', '/plan'],
    ['plan-lot', open && `/plan/${open.id}`],
    ['work', '/plan/work'],
    ['tomorrow', '/plan/tomorrow'],
    ['cooler', '/plan/cooler'],
    ['right', '/plan/right'],
    ['routes', '/plan/routes'],
    ['applications', '/plan/applications'],
    ['week', '/plan/week'],
    ['crops', '/crops'],
    ['crop', open && `/crops/${encodeURIComponent(open.crop)}`],
    ['scouts', '/scouts'],
    ['day', `/days/${yesterday.groups.length > 0 ? yesterday.day : yesterday.before}`],
    ['phones', '/phones'],
    ['programs', '/programs'],
  ] as const;
  return all.flatMap(([name, path]) => (path ? [{ name, path }] : []));
}
