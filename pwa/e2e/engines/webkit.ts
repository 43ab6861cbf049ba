/**
 * WebKitGTK's small browser, driven over W3C WebDriver (https://www.w3.org/TR/webdriver2/), on a screen of its own.
 *
 * A driven WebKitGTK keeps its storage in memory, for as long as its session lives. Switching off and on is therefore
 * closing the page and opening another in the same session; what a restart of the whole browser leaves is not shown.
 */
import { spawn, type ChildProcess } from 'node:child_process';
import type { Readable } from 'node:stream';
import { freePort } from '../server.ts';
import type { Engine, Make } from './engine.ts';

const driver = process.env['WEBKIT_DRIVER'] ?? '/usr/bin/WebKitWebDriver';
const browser = process.env['MINIBROWSER'] ?? '/usr/lib/x86_64-linux-gnu/webkit2gtk-4.1/MiniBrowser';
const screen = '/usr/bin/Xvfb';

/** The key under which WebDriver names an element of the page; fixed by the standard, chapter "Elements". */
const ELEMENT = 'element-6066-11e4-a52e-4f735466cecf';

/** An answer that has not come by then will not come. */
const ANSWER_MS = 60_000;

export const webkit: Make = {
  name: 'WebKitGTK',
  needs: [driver, browser, screen],
  remedy: 'apt-get install webkit2gtk-driver xvfb, or name the programs in WEBKIT_DRIVER and MINIBROWSER',
  async start() {
    const children: ChildProcess[] = [];
    try {
      const display = await startScreen(children);
      return await Webkit.start(children, display);
    } catch (error) {
      for (const child of children) child.kill();
      throw error;
    }
  },
};

/** @returns the name of a display that nobody else uses */
async function startScreen(children: ChildProcess[]): Promise<string> {
  const args = ['-displayfd', '3', '-screen', '0', '600x1000x24', '-nolisten', 'tcp'];
  const child = start(children, screen, args, ['ignore', 'ignore', 'ignore', 'pipe']);
  const number = await new Promise<string>((done, fail) => {
    (child.stdio[3] as Readable).setEncoding('utf8').once('data', (text: string) => done(text.trim()));
    child.once('exit', (code) => fail(new Error(`${screen} ended with ${code} before it had a display`)));
  });
  return `:${number}`;
}

function start(
  children: ChildProcess[],
  program: string,
  args: string[],
  stdio: ('ignore' | 'pipe')[],
  env = process.env,
): ChildProcess {
  const child = spawn(program, args, { stdio, env });
  children.push(child);
  process.once('exit', () => child.kill());
  return child;
}

class Webkit implements Engine {
  /** WebDriver has no word for uncaught errors. */
  readonly troubles: string[] = [];
  readonly #children: readonly ChildProcess[];
  readonly #address: string;
  #session = '';

  private constructor(children: readonly ChildProcess[], address: string) {
    this.#children = children;
    this.#address = address;
  }

  static async start(children: ChildProcess[], display: string): Promise<Webkit> {
    const port = await freePort();
    const env = { ...process.env, DISPLAY: display, GDK_BACKEND: 'x11', LIBGL_ALWAYS_SOFTWARE: '1' };
    start(children, driver, [`--port=${port}`], ['ignore', 'ignore', 'ignore'], env);
    const engine = new Webkit(children, `http://127.0.0.1:${port}`);
    await engine.#begins();
    return engine;
  }

  async opens(url: string): Promise<void> {
    await this.#say('POST', '/url', { url });
  }

  async isSwitchedOffAndOn(url: string): Promise<void> {
    // The new window first: the session ends with its last one.
    const { handle } = await this.#say<{ handle: string }>('POST', '/window/new', { type: 'window' });
    await this.#say('DELETE', '/window');
    await this.#say('POST', '/window', { handle });
    await this.#fits();
    await this.opens(url);
  }

  async presses(find: (given: string) => Element | null, given: string): Promise<boolean> {
    const script = `return (${find.toString()})(arguments[0])`;
    const found = await this.#say<Record<string, string> | null>('POST', '/execute/sync', { script, args: [given] });
    if (!found) return false;
    await this.#say('POST', `/element/${found[ELEMENT]}/click`, {});
    return true;
  }

  async asks<Answer, Given>(ask: (given: Given) => Answer | Promise<Answer>, given: Given): Promise<Answer> {
    const script = `const done = arguments[1];
      Promise.resolve(arguments[0]).then(${ask.toString()})
        .then((answer) => done({ answer: answer ?? null }), (error) => done({ trouble: String(error) }))`;
    const said = await this.#say<{ answer: Answer } | { trouble: string }>('POST', '/execute/async', {
      script,
      args: [given],
    });
    if ('trouble' in said) throw new Error(said.trouble);
    return said.answer;
  }

  async close(): Promise<void> {
    await this.#say('DELETE', '').catch(() => undefined);
    for (const child of this.#children) child.kill();
  }

  async #begins(): Promise<void> {
    const deadline = Date.now() + 20_000;
    const options = { binary: browser, args: ['--automation'] };
    const timeouts = { script: ANSWER_MS / 2, pageLoad: ANSWER_MS / 2 };
    const wanted = { capabilities: { alwaysMatch: { 'webkitgtk:browserOptions': options, timeouts } } };
    while (!(await fetch(`${this.#address}/status`).catch(() => undefined))) {
      if (Date.now() > deadline) throw new Error(`${driver} does not answer at ${this.#address}`);
      await new Promise((done) => setTimeout(done, 100));
    }
    const { sessionId } = await this.#send<{ sessionId: string }>('POST', '/session', wanted);
    this.#session = `/session/${sessionId}`;
    await this.#fits();
  }

  /** About the width of a large phone; the browser's own bar takes some of the height. */
  async #fits(): Promise<void> {
    await this.#say('POST', '/window/rect', { x: 0, y: 0, width: 430, height: 980 });
  }

  #say<Value>(method: string, path: string, body?: object): Promise<Value> {
    return this.#send(method, this.#session + path, body);
  }

  async #send<Value>(method: string, path: string, body?: object): Promise<Value> {
    const answer = await fetch(this.#address + path, {
      method,
      headers: { 'content-type': 'application/json' },
      signal: AbortSignal.timeout(ANSWER_MS),
      ...(body && { body: JSON.stringify(body) }),
    });
    const { value } = (await answer.json()) as { value: Value & { error?: string; message?: string } };
    if (!answer.ok) throw new Error(`WebDriver ${method} ${path}: ${value.error}: ${value.message}`);
    return value;
  }
}
