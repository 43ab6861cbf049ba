/**
 * One simulated phone: a disk, and on it at most one running app. It does one thing at a time (a tap, an answer, a timer that is due),
 * comes to rest, and tells what it asks of the network and when it wants to be woken.
 */
import { Disk } from './disk.mjs';
import { globalsOf, names } from './globals.mjs';
import { forget, run } from './tasks.mjs';

/**
 * @typedef {typeof import('./app.ts')} App
 * @typedef {import('./globals.mjs').Signal} Signal
 * @typedef {{id: number, method: string, path: string, headers: Record<string, string>, body: string}} Ask a request; its body in base64
 * @typedef {{status: number, type: string, body: string, cut?: boolean}} Answer
 * @typedef {{settle: (answer: Answer) => void, fail: (error: Error) => void, limit: Signal | undefined}} Waiting
 */

export class Phone {
  disk = new Disk();
  seed = 0;
  /** Milliseconds: true time, which timers go by, and the phone's two clocks. */
  at = 0;
  wall = 0;
  mono = 0;
  /** @type {Map<number, {due: number, what: () => void}>} */
  timers = new Map();
  /** @type {Ask[]} */
  asks = [];
  /** @type {Map<number, Waiting>} */
  #waiting = new Map();
  /** @type {App | undefined} */
  app;
  #count = 0;

  /** @param {(...globals: unknown[]) => App} make */
  start(make) {
    this.end();
    const globals = globalsOf(this);
    this.app = make(...names.map((name) => globals[name]));
  }

  /** The app's process ends. */
  end() {
    this.app = undefined;
    this.timers.clear();
    this.#waiting.clear();
    this.asks = [];
    this.disk.crash();
    forget();
  }

  /**
   * Does something to rest, or to death.
   * @template T
   * @param {(app: App) => T | Promise<T>} what
   * @param {number} most tasks that the app lives for; 0 for as long as it likes
   * @returns {Promise<{died: boolean, said: boolean, gave: T | undefined}>} said: it was done before the app died
   */
  async does(what, most) {
    if (!this.app) throw new Error('the app of this phone does not run; start it first');
    /** @type {{gave?: T, said?: true, wrong?: unknown}} */
    const become = {};
    void followed(what, this.app, become);
    const died = !(await run(most));
    if (died) this.end();
    if (become.wrong) throw become.wrong;
    return { died, said: become.said === true, gave: become.gave };
  }

  /** @param {() => void} what @param {number} ms @returns {number} */
  later(what, ms) {
    this.timers.set(++this.#count, { due: this.at + Math.max(Math.round(ms), 1), what });
    return this.#count;
  }

  /** When the next timer is due; 0 where there is none. */
  next() {
    return Math.min(...[...this.timers.values()].map(({ due }) => due), Infinity);
  }

  /** Lets the timers go off that are due. */
  ring() {
    const due = [...this.timers].filter(([, timer]) => timer.due <= this.at);
    for (const [id, { what }] of due.sort(([a, x], [b, y]) => x.due - y.due || a - b))
      if (this.timers.delete(id)) what();
  }

  /**
   * @param {string} path
   * @param {RequestInit} init
   * @returns {Promise<unknown>}
   */
  fetch(path, { method = 'GET', headers = {}, body, signal }) {
    const id = ++this.#count;
    const bytes =
      typeof body === 'string' ? Buffer.from(body) : Buffer.from(/** @type {Uint8Array} */ (body ?? new Uint8Array()));
    this.asks.push({
      id,
      method,
      path,
      headers: /** @type {Record<string, string>} */ (headers),
      body: bytes.toString('base64'),
    });
    const limit = /** @type {Signal | undefined} */ (/** @type {unknown} */ (signal));
    return new Promise((done, fail) => {
      this.#waiting.set(id, { settle: (answer) => done(response(answer)), fail, limit });
      signal?.addEventListener('abort', () => {
        this.#waiting.delete(id);
        fail(/** @type {Error} */ (signal.reason));
      });
    });
  }

  /** @param {number} id @param {Answer | undefined} answer undefined where none came */
  answer(id, answer) {
    const waiting = this.#waiting.get(id);
    this.#waiting.delete(id);
    waiting?.limit?.end();
    if (answer) waiting?.settle(answer);
    else waiting?.fail(new TypeError('Failed to fetch'));
  }

  /** Requests that have no answer yet. */
  get open() {
    return this.#waiting.size;
  }
}

/**
 * @template T
 * @param {(app: App) => T | Promise<T>} what
 * @param {App} app
 * @param {{gave?: T, said?: true, wrong?: unknown}} become
 */
async function followed(what, app, become) {
  try {
    become.gave = await what(app);
    become.said = true;
  } catch (error) {
    become.wrong = error;
  }
}

/** @param {Answer} answer */
function response({ status, type, body, cut }) {
  const text = () =>
    cut ? Promise.reject(new TypeError('network error')) : Promise.resolve(Buffer.from(body, 'base64').toString());
  return { status, headers: { get: (/** @type {string} */ name) => (name === 'content-type' ? type : null) }, text };
}
