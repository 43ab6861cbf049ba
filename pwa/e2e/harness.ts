/**
 * What a browser test needs, in a grower's words: a nursery with its server, and phones and desks in it.
 *
 *     const nursery = await openNursery({ demo: true });
 *     const scout = await nursery.phone('scout');
 *     await scout.goesOutOfRange();
 *     await scout.taps('Start walk');
 *     await nursery.close();
 *
 * Each nursery is a fresh server process and each device a storage of its own, so tests share nothing but the browser.
 */
import { mkdirSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import type AxeBuilder from 'axe-core';
import {
  chromium,
  type Browser,
  type BrowserContext,
  type BrowserContextOptions,
  type CDPSession,
  type Page,
} from 'playwright-core';
import { chromium as program, root } from '../tools/steps.mjs';
import { Network } from './network.ts';
import { contrastFaults } from './rendered.ts';
import { Server, type Role } from './server.ts';

export const phoneScreen = {
  viewport: { width: 390, height: 844 },
  deviceScaleFactor: 2,
  hasTouch: true,
  isMobile: true,
};
const deskScreen = { viewport: { width: 1440, height: 900 } };

const pictures = join(root, 'test-output', 'pictures');
const axeSource = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** Rules by the tags that axe-core gives them. Colours are most of axe's work, and what reaches 7:1 reaches 4.5:1. */
const runOnly = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];
const axeRules = {
  all: { runOnly, rules: { 'color-contrast-enhanced': { enabled: true }, 'color-contrast': { enabled: false } } },
  state: { runOnly, rules: { 'color-contrast-enhanced': { enabled: false }, 'color-contrast': { enabled: false } } },
  names: { runOnly: ['cat.name-role-value', 'cat.text-alternatives', 'cat.language'] },
} satisfies { [asked: string]: AxeBuilder.RunOptions };

/** @param options data is a folder with a nursery that is given over to it */
export async function openNursery(options: { demo?: boolean; data?: string } = {}): Promise<Nursery> {
  const server = await Server.start({ demo: options.demo ?? false, data: options.data });
  try {
    return new Nursery(server, await takeBrowser(), leaveBrowser);
  } catch (error) {
    await server.close();
    throw error;
  }
}

/** Without these flags Chromium asks for its maker's hosts at every start, which takes long in a closed network. */
export const quiet = [
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
];

export const browserProgram = {
  executablePath: program,
  args: ['--no-sandbox', '--disable-gpu', '--disable-sync', ...quiet],
};

/** One browser for all nurseries of this process, since starting it costs as much as opening the app. */
let shared: Promise<Browser> | undefined;
let users = 0;

async function takeBrowser(): Promise<Browser> {
  shared ??= chromium.launch(browserProgram);
  try {
    const browser = await shared;
    users++;
    return browser;
  } catch (error) {
    shared = undefined;
    throw error;
  }
}

/** Ended when nobody has taken it again for a while: whoever waits for this process to end would wait for it too. */
async function leaveBrowser(): Promise<void> {
  users--;
  setTimeout(() => {
    if (users > 0) return;
    void shared?.then((browser) => browser.close());
    shared = undefined;
  }, 3000);
}

export class Nursery {
  readonly server: Server;
  readonly #browser: Browser;
  readonly #leave: () => Promise<void>;
  readonly #devices: Device[] = [];

  /** @param leave what becomes of the browser in the end */
  constructor(server: Server, browser: Browser, leave: () => Promise<void>) {
    this.server = server;
    this.#browser = browser;
    this.#leave = leave;
  }

  /** A paired phone, held upright. */
  async phone(role: Role): Promise<Device> {
    return this.#pair(role, phoneScreen);
  }

  /** A paired phone with which no page is opened out of range and no update taken: without a service worker, as a desk. */
  async phoneInRange(role: Role): Promise<Device> {
    return this.#pair(role, phoneScreen, false);
  }

  /**
   * A paired computer in the office. Its browser has no service worker, as in a private window: to keep the app's files is half
   * the work of a first start, and what that is good for is looked at on phones.
   */
  async desk(role: Role): Promise<Device> {
    return this.#pair(role, deskScreen, false);
  }

  /**
   * A paired device that is given no records, for pages that the server draws: of a season they are by far the most of the
   * work, and no such page shows them. Without a service worker too, unless it keepsFiles.
   */
  async viewer(role: Role, kind: 'phone' | 'desk', keepsFiles = false): Promise<Device> {
    const device = await this.#device(kind === 'phone' ? phoneScreen : deskScreen, keepsFiles);
    await device.page.context().route('**/api/pull?*', (route) => route.abort());
    await device.pairs(await this.server.pairingLink(role));
    return device;
  }

  /** A phone that nobody has paired. */
  async strangePhone(): Promise<Device> {
    return this.#device(phoneScreen);
  }

  /** A computer that nobody has paired. */
  async strangeDesk(): Promise<Device> {
    return this.#device(deskScreen);
  }

  /** Ends devices and server, and fails when any page threw an error that nobody caught. */
  async close(): Promise<void> {
    const troubles = this.#devices.flatMap((device) => device.troubles);
    await Promise.all(this.#devices.map((device) => device.ends()));
    await this.#leave();
    await this.server.close();
    if (troubles.length > 0) throw new Error(`uncaught in the page:\n${troubles.join('\n')}`);
  }

  async #pair(role: Role, screen: BrowserContextOptions, keepsFiles = true): Promise<Device> {
    const device = await this.#device(screen, keepsFiles);
    await device.pairs(await this.server.pairingLink(role));
    return device;
  }

  async #device(screen: BrowserContextOptions, keepsFiles = true): Promise<Device> {
    const network = await Network.open();
    const { proxy } = network;
    const context = await this.#browser.newContext({ ...screen, proxy, baseURL: this.server.url, locale: 'en-GB' });
    // Only a page that has stopped may fail a test, never one on a busy machine.
    context.setDefaultTimeout(120_000);
    if (!keepsFiles)
      await context.addInitScript(() => void Reflect.deleteProperty(Navigator.prototype, 'serviceWorker'));
    const device = new Device(context, await context.newPage(), network);
    this.#devices.push(device);
    inUse.add(device);
    return device;
  }
}

/** Every device that a test has and has not ended. */
export const inUse = new Set<Device>();

/** One device of one person. Its storage lives as long as the nursery, whatever happens to its pages. */
export class Device {
  /** The page now open, for what the sentences below do not say. */
  page!: Page;
  /** Errors that no code caught, from every page that the device has shown. */
  readonly troubles: string[] = [];
  readonly #complaints: string[] = [];
  readonly #context: BrowserContext;
  readonly #network: Network;

  /** @param network the one that the context was made with */
  constructor(context: BrowserContext, page: Page, network: Network) {
    this.#context = context;
    this.#network = network;
    this.#show(page);
  }

  /** Is put out of use, with all that it has stored. */
  async ends(): Promise<void> {
    inUse.delete(this);
    await this.#context.close();
    await this.#network.close();
  }

  /** Where it is, the words on its screen, what no code caught and the last that its console complained of, for who has to find out why a test failed. */
  async shows(): Promise<string> {
    const words = await this.page.evaluate(() => document.body.innerText).catch(String);
    const found = [...this.troubles.slice(0, 3), ...this.#complaints.slice(-5)];
    return [this.page.url(), words.replaceAll(/\s+/g, ' ').slice(0, 800), ...found].join('\n  ');
  }

  async opens(path: string): Promise<void> {
    await this.page.goto(path);
  }

  /** Follows a pairing link, under the name that the device proposes for itself, until the app's first screen is there. */
  async pairs(link: string): Promise<void> {
    await this.page.goto(link);
    await this.page.locator('.pair [type=submit]').click();
    await this.page.waitForURL((url) => !url.pathname.startsWith('/pair'));
    await this.page.locator('main h1').waitFor();
  }

  /** Taps (or, at a desk, clicks) the button of that name. */
  async taps(name: string | RegExp): Promise<void> {
    const button = this.page.getByRole('button', { name }).first();
    await (this.#hasTouch() ? button.tap() : button.click());
  }

  /** Waits until the text can be seen. */
  async sees(text: string | RegExp): Promise<void> {
    await this.page.getByText(text).first().waitFor();
  }

  /** Waits until the app has all its files on the device and can start without the server. */
  async isReadyForTheField(): Promise<void> {
    await this.page.evaluate(async () => {
      await navigator.serviceWorker.ready;
    });
  }

  /** The network is cut, and the browser says so to its pages, as a phone's does. */
  async goesOutOfRange(): Promise<void> {
    this.#network.cuts();
    await this.#context.setOffline(true);
  }

  async comesIntoRange(): Promise<void> {
    this.#network.restores();
    await this.#context.setOffline(false);
  }

  /** Loses the page without warning, as when the phone ends an app in the background, and opens the app again. */
  async isSwitchedOffAndOn(path = '/'): Promise<void> {
    await this.page.close({ runBeforeUnload: false });
    this.#show(await this.#context.newPage());
    await this.page.goto(path);
  }

  /** Opens the app in a tab beside the others, and goes on in it. @param first runs there before every page's own scripts */
  async opensAnotherTab(path: string, first?: () => void): Promise<void> {
    this.#show(await this.#context.newPage());
    if (first) await this.page.addInitScript(first);
    await this.page.goto(path);
  }

  /**
   * Leaves the app for an empty page of the same origin, to do something to its database while no app runs. No address will do:
   * the service worker answers each with the app.
   */
  async leavesTheApp(): Promise<void> {
    await Promise.all([
      this.page.waitForURL(/^blob:/),
      this.page.evaluate(() => location.assign(URL.createObjectURL(new Blob([], { type: 'text/html' })))),
    ]);
  }

  /**
   * What can be undone is offered for ten seconds, which a test on a busy machine may need for what it looks at first. From now on the
   * open page offers it for an hour.
   */
  async keepsOffers(): Promise<void> {
    await this.page.evaluate(() => {
      const begin = globalThis.setTimeout;
      const longer = (what: () => void, ms?: number) => begin(what, ms === 10_000 ? 3_600_000 : ms);
      globalThis.setTimeout = longer as typeof setTimeout;
    });
  }

  /** Runs at a fraction of this machine's speed; 4 is about a cheap phone. */
  async isSlow(times: number): Promise<CDPSession> {
    const session = await this.#context.newCDPSession(this.page);
    await session.send('Emulation.setCPUThrottlingRate', { rate: times });
    return session;
  }

  /**
   * What axe-core finds wrong on the screen as it is, one line for each place; text must reach 7:1. By all rules each screen is
   * looked at once. In a state of a screen contrastFaults (rendered.ts) measures the colours,
   * with far less work and no allowance for large letters. After a change of the language only what has to have a name need be
   * asked, after one of the theme only the colours.
   */
  async accessibilityFaults(asked: keyof typeof axeRules = 'state'): Promise<string[]> {
    return [...(await this.#axeFaults(asked)), ...(asked === 'state' ? await contrastFaults(this) : [])];
  }

  async #axeFaults(asked: keyof typeof axeRules): Promise<string[]> {
    if (!(await this.page.evaluate(() => 'axe' in globalThis))) await this.page.evaluate(axeSource);
    return this.page.evaluate(async (rules) => {
      const { axe } = globalThis as unknown as { axe: typeof AxeBuilder };
      const faults = async (asked: AxeBuilder.RunOptions) =>
        (await axe.run(document, { ...asked, resultTypes: ['violations'] })).violations.flatMap(({ id, help, nodes }) =>
          nodes.map(({ target, html }) => ({
            at: target.join(' '),
            says: `${id}: ${help}: ${target.join(' ')}: ${html}`,
          })),
        );
      const { scrollX, scrollY } = globalThis;
      const found: string[] = [];
      for (const { at, says } of await faults(rules)) {
        if (says.startsWith('target-size: ')) {
          // Axe measures what is to be seen now, and what lies under a bar can be scrolled out from under it.
          document.querySelector(at)?.scrollIntoView({ block: 'center' });
          const still = await faults({ runOnly: { type: 'rule', values: ['target-size'] } });
          if (!still.some((each) => each.at === at)) continue;
        }
        found.push(says);
      }
      scrollTo(scrollX, scrollY);
      return found;
    }, axeRules[asked]);
  }

  /** The scripts that the open page has asked for in its first so many milliseconds (all unless given), as files of the build. */
  async scripts(within = Infinity): Promise<string[]> {
    const paths = await this.page.evaluate(
      (ms) =>
        performance
          .getEntriesByType('resource')
          .filter((entry) => entry.startTime < ms)
          .map((entry) => new URL(entry.name).pathname),
      within,
    );
    return paths.filter((path) => path.endsWith('.js')).map((path) => path.slice(1));
  }

  /** Keeps a picture of the whole screen in test-output/pictures/ for who asks for it by PICTURES=some or PICTURES=all. */
  async picture(name: string): Promise<void> {
    if (!process.env['PICTURES']) return;
    mkdirSync(pictures, { recursive: true });
    await this.page.screenshot({ path: join(pictures, `${name}.png`), fullPage: true });
  }

  #show(page: Page): void {
    this.page = page;
    page.on('console', (said) => {
      if (said.type() === 'error') this.#complaints.push(`${said.text()} ${said.location().url}`);
    });
    // Some of the browser's own errors have neither a stack nor a message.
    page.on('pageerror', (error) =>
      this.troubles.push(error.stack || `${error.name} ${error.message} at ${page.url()}`),
    );
  }

  #hasTouch(): boolean {
    return (this.page.viewportSize()?.width ?? 0) < 1000;
  }
}
