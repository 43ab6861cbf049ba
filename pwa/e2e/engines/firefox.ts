/** Firefox as Debian ships it, without a driver program: it speaks WebDriver BiDi itself. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { launch, type Browser, type ElementHandle, type Page } from 'puppeteer-core';
import type { Engine, Make } from './engine.ts';

const program = process.env['FIREFOX'] ?? '/usr/bin/firefox-esr';

/** An answer that has not come by then will not come. */
const ANSWER_MS = 60_000;
/** Firefox reports what finds no server like an error of the page; out of range that is how it must be. */
const REFUSED = /^Firefox can’t establish a connection to the server at ws:|^Failed to load ‘.*NetworkError/s;

export const firefox: Make = {
  name: 'Firefox',
  needs: [program],
  remedy: 'apt-get install firefox-esr, or name a Firefox in the variable FIREFOX',
  async start() {
    const profile = mkdtempSync(join(tmpdir(), 'bedwalk-firefox-'));
    try {
      const engine = new Firefox(profile);
      await engine.isSwitchedOn();
      return engine;
    } catch (error) {
      rmSync(profile, { recursive: true, force: true });
      throw error;
    }
  },
};

class Firefox implements Engine {
  readonly troubles: string[] = [];
  readonly #profile: string;
  #browser: Browser | undefined;
  #shown: Page | undefined;

  constructor(profile: string) {
    this.#profile = profile;
  }

  async isSwitchedOn(): Promise<void> {
    this.#browser = await launch({
      browser: 'firefox',
      executablePath: program,
      userDataDir: this.#profile,
      headless: true,
      protocolTimeout: ANSWER_MS,
    });
    this.#shown = await this.#browser.newPage();
    await this.#shown.setViewport({ width: 390, height: 844 });
    this.#shown.on('pageerror', (error) => {
      const said = error instanceof Error ? error.message : String(error);
      if (!REFUSED.test(said)) this.troubles.push(said);
    });
  }

  async opens(url: string): Promise<void> {
    await this.#page.goto(url);
  }

  /** The whole browser ends: what it finds afterwards was on the disk. */
  async isSwitchedOffAndOn(url: string): Promise<void> {
    await this.#browser?.close();
    await this.isSwitchedOn();
    await this.opens(url);
  }

  async presses(find: (given: string) => Element | null, given: string): Promise<boolean> {
    const found = (await this.#page.evaluateHandle(find, given)).asElement() as ElementHandle<Element> | null;
    if (!found) return false;
    await found.click();
    return true;
  }

  async asks<Answer, Given>(ask: (given: Given) => Answer | Promise<Answer>, given: Given): Promise<Answer> {
    return (await this.#page.evaluate(ask as (given: unknown) => unknown, given)) as Answer;
  }

  async close(): Promise<void> {
    await this.#browser?.close();
    rmSync(this.#profile, { recursive: true, force: true });
  }

  get #page(): Page {
    if (!this.#shown) throw new Error('Firefox is not started');
    return this.#shown;
  }
}
