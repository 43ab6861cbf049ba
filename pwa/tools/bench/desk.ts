/** What a supervisor's desk waits for and what it is sent: the real app in Chromium, against a nursery of some size. */
import type { BedsView, LotsPage } from '../../../schema/types.ts';
import { openNursery, type Device, type Nursery } from '../../e2e/harness.ts';
import { viewOf } from '../../e2e/pages.ts';
import { phoneInABed, tapsPot } from '../../e2e/walking.ts';
import { figure } from './notes.mjs';
import { SLOWER } from './phone.ts';

/** How often each page is opened, and each view asked for. */
const OPENINGS = 3;
const ASKINGS = 20;
/** Pots that are noted while a desk shows the beds. */
const CHANGES = 6;
/** So long nothing more has come after a change: then all that it brings is here. */
const QUIET_MS = 1500;

/** @param data the folder of the nursery, which goes when all is measured; undefined for the demo */
export async function measureDesk(data: string | undefined): Promise<void> {
  const nursery = await openNursery(data === undefined ? { demo: true } : { data });
  try {
    const desk = await nursery.viewer('supervisor', 'desk');
    await desk.opens('/beds');
    await desk.page.locator('.bedtile, .foldline').first().waitFor({ timeout: 600_000 });
    const { bed, lot } = await someOf(desk);
    await opens(desk, bed, lot);
    await asks(desk, bed, lot);
    await changes(nursery, desk);
  } finally {
    await nursery.close();
  }
}

/** A bed that was walked, and a lot that stands somewhere. */
async function someOf(desk: Device): Promise<{ bed: string; lot: string }> {
  const { houses } = await viewOf<BedsView>(desk, 'beds');
  const walked = houses.flatMap(({ beds }) => beds).find((bed) => bed.score && bed.spans.length > 0);
  const { lots } = await viewOf<LotsPage>(desk, 'lots');
  const lot = walked?.spans[0]?.lot ?? lots[0]?.id;
  if (!walked || lot === undefined) throw new Error('the nursery has no bed that was walked; measure another');
  return { bed: walked.id, lot };
}

/** From the address to the first thing that can be worked with, at full speed and slowed down. */
async function opens(desk: Device, bed: string, lot: string): Promise<void> {
  const pages = [
    ['beds: first bed', '/beds', ':is(.bedtile, .foldline)'],
    ['beds: first row of what needs you', '/beds', '.needs ol > li'],
    ['a bed', `/beds/${bed}`, 'main svg'],
    ['a lot', `/lots/${lot}`, '#known dd'],
    ['lots', '/lots', 'main tbody tr'],
    ['plan', '/plan', 'main :is(table, svg, ol, ul) :is(tr, g, li)'],
    ['ship weeks', '/plan/weeks', 'main :is(details, table, section)'],
    ['which beds next', '/plan/tomorrow', 'main :is(li, tr)'],
  ] as const;
  for (const [speed, name] of [
    [1, 'full speed'],
    [SLOWER, 'slow'],
  ] as const) {
    await desk.isSlow(speed);
    for (const [page, path, wanted] of pages) {
      for (let nth = 0; nth < OPENINGS; nth++) {
        await desk.opens(path);
        await desk.page.locator(wanted).first().waitFor({ timeout: 120_000 });
        figure(`${page}, ${name}`, 'ms', await desk.page.evaluate(() => performance.now()));
      }
    }
  }
  await desk.isSlow(1);
}

/** Each view again and again, as pages ask for it when nothing has changed. */
async function asks(desk: Device, bed: string, lot: string): Promise<void> {
  const { version } = await viewOf<BedsView>(desk, 'beds');
  const views = [
    ['beds', 'beds'],
    ['beds, nothing new', `beds?since=${encodeURIComponent(version)}`],
    ['attention', 'attention'],
    ['supply', 'supply'],
    ['bed', `beds/${bed}`],
    ['lot', `lots/${lot}`],
    ['lot history', `lots/${lot}/history`],
    ['lots', 'lots'],
    ['names', 'names'],
    ['plan', 'plan'],
    ['tomorrow', 'tomorrow'],
    ['work', 'work'],
    ['scouts', 'scouts'],
    ['phones', 'phones'],
    ['cooler', 'cooler'],
    ['right', 'right'],
  ] as const;
  for (const [name, path] of views) {
    const { took, bytes } = await desk.page.evaluate(
      async ({ address, times }) => {
        performance.setResourceTimingBufferSize(10_000);
        const took: number[] = [];
        for (let nth = 0; nth < times; nth++) {
          const began = performance.now();
          const answer = await fetch(address);
          if (!answer.ok) throw new Error(`${address}: ${answer.status}`);
          await answer.arrayBuffer();
          took.push(performance.now() - began);
        }
        const sent = performance.getEntriesByName(new URL(address, location.href).href) as PerformanceResourceTiming[];
        return { took, bytes: sent.at(-1)?.encodedBodySize ?? Number.NaN };
      },
      { address: `/api/views/${path}`, times: ASKINGS },
    );
    for (const ms of took) figure(`view ${name}`, 'ms', ms);
    figure(`view ${name}, sent`, 'bytes', bytes);
  }
}

/** A scout notes pots while a desk shows all beds: what each of them sends to the desk. */
async function changes(nursery: Nursery, desk: Device): Promise<void> {
  await desk.opens('/beds');
  await desk.page.locator('.needs ol > li').first().waitFor({ timeout: 120_000 });
  const phone = await phoneInABed(nursery);
  await settles(desk);
  for (let nth = 0; nth < CHANGES; nth++) {
    await desk.page.evaluate(() => performance.clearResourceTimings());
    await tapsPot(phone, { head: '31', buds: '42' });
    const sent = await settles(desk);
    figure('a change: requests of the page', 'requests', sent.length);
    figure(
      'a change: all views',
      'bytes',
      sent.reduce((sum, { bytes }) => sum + bytes, 0),
    );
    for (const view of ['beds', 'attention', 'supply']) {
      const own = sent.filter(({ path }) => path === `/api/views/${view}`);
      figure(
        `a change: ${view}`,
        'bytes',
        own.reduce((sum, { bytes }) => sum + bytes, 0),
      );
    }
  }
}

/** Waits until the page is sent nothing more. @returns the views that it was sent since they were last cleared */
async function settles(desk: Device): Promise<{ path: string; bytes: number }[]> {
  const seen = () =>
    desk.page.evaluate(() =>
      (performance.getEntriesByType('resource') as PerformanceResourceTiming[])
        .map(({ name, encodedBodySize }) => ({ path: new URL(name).pathname, bytes: encodedBodySize }))
        .filter(({ path }) => path.startsWith('/api/views/')),
    );
  let before = -1;
  for (;;) {
    const now = await seen();
    if (now.length === before && now.length > 0) return now;
    before = now.length;
    await new Promise((done) => setTimeout(done, QUIET_MS));
  }
}
