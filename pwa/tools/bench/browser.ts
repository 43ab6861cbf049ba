/**
 * The real app in a fresh Chromium: how long it takes to pull a whole journal, a sync with nothing to do, and the score
 * of a walk on a processor four times as slow. Loaded by bench-sync.mjs through Vite, as the harness is TypeScript.
 */
import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { openNursery, type Device } from '../../e2e/harness.ts';
import { figure } from './notes.mjs';

/** Fills a nursery by the Go bench, and lets a fresh phone pull it all. */
export async function measurePull(bench: string, notes: number): Promise<void> {
  const nursery = await openNursery();
  try {
    const code = (await nursery.server.pairingLink('owner')).split('/').pop() ?? '';
    const { status, stderr } = spawnSync(
      bench,
      ['load', '--url', nursery.server.url, '--code', code, '--notes', String(notes)],
      { encoding: 'utf8' },
    );
    if (status !== 0) throw new Error(`the nursery could not be filled: ${stderr}`);
    const phone = await nursery.phone('scout');
    const ms = await pulledAfter(phone, notes);
    figure('chromium pull', 'notes/s', (1000 * notes) / ms);
    figure('chromium pull whole', 's', ms / 1000);
    const idle = await idleSync(phone);
    figure('chromium idle', 'ms', idle.ms);
    figure('chromium idle requests', 'requests', idle.requests);
  } finally {
    await nursery.close();
  }
}

/** Milliseconds from the first pull's start until the cursor, written with the notes, stands at the head. */
function pulledAfter(phone: Device, notes: number): Promise<number> {
  return phone.page.evaluate(async (wanted) => {
    const pause = (ms: number) => new Promise((done) => setTimeout(done, ms));
    const read = <T>(request: IDBRequest<T>) =>
      new Promise<T>((done, fail) => {
        request.addEventListener('success', () => done(request.result));
        request.addEventListener('error', () => fail(request.error ?? new Error('the journal cannot be read')));
      });
    const deadline = performance.now() + 600_000;
    while (performance.now() < deadline) {
      const name = (await indexedDB.databases()).find((one) => one.name?.startsWith('bedwalk'))?.name;
      if (name !== undefined) {
        const base = await read(indexedDB.open(name));
        const cursor = await read(base.transaction('meta').objectStore('meta').get('cursor'));
        const entries = await read(base.transaction('entries').objectStore('entries').count());
        base.close();
        if (cursor && cursor.position === cursor.head && entries >= wanted) {
          const [first] = performance.getEntriesByType('resource').filter(({ name }) => name.includes('/api/pull'));
          return performance.now() - (first?.startTime ?? 0);
        }
      }
      await pause(50);
    }
    throw new Error(`the phone has not pulled ${wanted} notes in ten minutes`);
  }, notes);
}

/** Wakes the phone as the network's return does; it asks once and finds nothing. The median of several times. */
async function idleSync(phone: Device): Promise<{ ms: number; requests: number }> {
  const took: number[] = [];
  const times = 9;
  let requests = 0;
  for (let i = 0; i < times; i++) {
    const one = await phone.page.evaluate(async () => {
      performance.clearResourceTimings();
      const began = performance.now();
      dispatchEvent(new Event('online'));
      const asked = () =>
        performance
          .getEntriesByType('resource')
          .filter(({ name }) => name.includes('/api/')) as PerformanceResourceTiming[];
      while (!asked().some(({ name }) => name.includes('/api/pull'))) {
        if (performance.now() - began > 60_000) throw new Error('the phone did not sync when the network came back');
        await new Promise((done) => setTimeout(done, 5));
      }
      await new Promise((done) => setTimeout(done, 200));
      return { ms: Math.max(...asked().map(({ responseEnd }) => responseEnd)) - began, requests: asked().length };
    });
    took.push(one.ms);
    requests = Math.max(requests, one.requests);
  }
  return { ms: took.sort((a, b) => a - b)[(times - 1) / 2] ?? 0, requests };
}

/** The score of a walk on a slow phone; script is score.ts as one file that leaves `bench` behind. */
export async function measureScore(script: string, walk: string): Promise<void> {
  const nursery = await openNursery();
  try {
    const phone = await nursery.strangePhone();
    await phone.opens('about:blank');
    await phone.isSlow(4);
    const times = await phone.page.evaluate(
      ({ source, input }) => {
        // A page's own policy allows no foreign script; an empty page has none.
        const run = new Function(`${source}; return bench.timesOf(${input}, 60);`) as () => number[];
        return run();
      },
      { source: readFileSync(script, 'utf8'), input: readFileSync(walk, 'utf8') },
    );
    // The first ones, before the engine has compiled anything, are what the first pots of a day meet.
    figure('phone score first', 'ms', times[0] ?? 0);
    const warm = times.slice(10).sort((a, b) => a - b);
    figure('phone score median', 'ms', warm[Math.floor(warm.length / 2)] ?? 0);
    figure('phone score p95', 'ms', warm[Math.floor(warm.length * 0.95)] ?? 0);
  } finally {
    await nursery.close();
  }
}
