/**
 * The real app in a fresh Chromium: how long it takes to pull a whole journal, a sync with nothing to do, and the score
 * of a walk on a processor four times as slow.
 */
import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { openNursery, type Device, type Nursery } from '../../e2e/harness.ts';
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
    const ms = await pulledAfter(nursery, phone, notes);
    figure('chromium pull', 'notes/s', (1000 * notes) / ms);
    figure('chromium pull whole', 's', ms / 1000);
    const idle = await idleSync(nursery, phone);
    figure('chromium idle', 'ms', idle.ms);
    figure('chromium idle requests', 'requests', idle.requests);
  } finally {
    await nursery.close();
  }
}

/**
 * Milliseconds from the start of the first pull until the cursor, which is written with the notes, stands at the head.
 * The sync worker is a thread of its own, so when it asked is read in the server's log; both clocks are this machine's.
 */
export async function pulledAfter(nursery: Nursery, phone: Device, notes: number): Promise<number> {
  const ended = await phone.page.evaluate(async (wanted) => {
    const pause = (ms: number) => new Promise((done) => setTimeout(done, ms));
    const read = <T>(request: IDBRequest<T>) =>
      new Promise<T>((done, fail) => {
        request.addEventListener('success', () => done(request.result));
        request.addEventListener('error', () => fail(request.error ?? new Error('the journal cannot be read')));
      });
    const deadline = Date.now() + 600_000;
    while (Date.now() < deadline) {
      // Only a database that is there already: opening another would make an empty one in the app's place.
      if ((await indexedDB.databases()).some(({ name }) => name === 'bedwalk')) {
        const base = await read(indexedDB.open('bedwalk'));
        const cursor = await read(base.transaction('meta').objectStore('meta').get('cursor'));
        const kept = base.transaction(['entries', 'packs']);
        const rows = cursor ? await read(kept.objectStore('entries').count()) : 0;
        const packs = cursor ? ((await read(kept.objectStore('packs').getAll())) as { count: number }[]) : [];
        const entries = packs.reduce((sum, { count }) => sum + count, rows);
        base.close();
        if (cursor && cursor.position === cursor.head && entries >= wanted) return Date.now();
      }
      await pause(50);
    }
    throw new Error(`the phone has not pulled ${wanted} notes in ten minutes`);
  }, notes);
  const [first] = requests(nursery.server.printed).filter(({ route }) => route === '/api/pull');
  if (!first) throw new Error('the server has no pull in its log');
  return ended - first.began;
}

/** Wakes the phone as the network's return does; it asks and finds nothing. The median of several times. */
async function idleSync(nursery: Nursery, phone: Device): Promise<{ ms: number; requests: number }> {
  const took: number[] = [];
  const times = 9;
  let most = 0;
  for (let i = 0; i < times; i++) {
    const before = nursery.server.printed.length;
    const began = await phone.page.evaluate(() => {
      dispatchEvent(new Event('online'));
      return performance.timeOrigin + performance.now();
    });
    const deadline = Date.now() + 60_000;
    const asked = () => requests(nursery.server.printed.slice(before));
    while (!asked().some(({ route }) => route === '/api/pull')) {
      if (Date.now() > deadline) throw new Error('the phone did not sync when the network came back');
      await new Promise((done) => setTimeout(done, 10));
    }
    await new Promise((done) => setTimeout(done, 300));
    took.push(Math.max(...asked().map(({ ended }) => ended)) - began);
    most = Math.max(most, asked().length);
  }
  return { ms: took.sort((a, b) => a - b)[(times - 1) / 2] ?? 0, requests: most };
}

/** The requests in a server's log, with when they began and ended, in milliseconds since 1970. */
function requests(printed: string): { route: string; began: number; ended: number }[] {
  return [...printed.matchAll(/^\{"time":"([^"]+)".*"msg":"request".*"route":"(\/api\/[^"]*)".*"ms":(\d+)/gm)].map(
    ([, time = '', route = '', ms = '']) => {
      // A Date keeps whole milliseconds and drops the rest of the log's nanoseconds.
      const ended = Date.parse(time);
      return { route, began: ended - Number(ms), ended };
    },
  );
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
