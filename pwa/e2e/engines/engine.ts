/**
 * The few things that the walk asks of any browser engine, so that one walk is written once and runs in engines that
 * share no protocol: Firefox speaks WebDriver BiDi, WebKitGTK the older WebDriver.
 *
 * Neither has a switch that takes the network away. Out of range therefore means that the server is gone: every
 * connection is refused. A network that swallows packets, or an `offline` event, is not shown here but in Chromium.
 */
export interface Engine {
  opens(url: string): Promise<void>;
  /** Ends what the phone would lose when it ends the app, and opens the address again. */
  isSwitchedOffAndOn(url: string): Promise<void>;
  /** Presses, with the engine's own pointer, what the function finds on the page. @returns false if it found nothing */
  presses(find: (given: string) => Element | null, given: string): Promise<boolean>;
  /** Runs a function in the page: it may use nothing but what the page has and its argument. */
  asks<Answer, Given>(ask: (given: Given) => Answer | Promise<Answer>, given: Given): Promise<Answer>;
  /** Errors in the page that no code caught, as far as the engine tells of them. */
  readonly troubles: readonly string[];
  close(): Promise<void>;
}

/** What a browser needs on this machine, and how to get it. */
export interface Make {
  name: string;
  /** Programs without which the engine cannot be started. */
  needs: readonly string[];
  remedy: string;
  start(): Promise<Engine>;
}

const PATIENCE_MS = 30_000;

/** Asks again until the answer is yes. @throws after `ms`, with what the screen says then */
export async function waitsUntil(
  engine: Engine,
  what: string,
  yes: () => Promise<boolean>,
  ms = PATIENCE_MS,
): Promise<void> {
  const deadline = Date.now() + ms;
  let trouble = '';
  for (;;) {
    try {
      if (await yes()) return;
      trouble = '';
    } catch (error) {
      // A page that is just being exchanged cannot answer; the next one can.
      trouble = String(error);
    }
    if (Date.now() > deadline) {
      const screen = await engine.asks(() => `${location.pathname}\n${document.body.innerText}`, null).catch(String);
      throw new Error(`not within ${ms} ms: ${what}\n${trouble}\nthe screen: ${screen}`);
    }
    await new Promise((done) => setTimeout(done, 100));
  }
}

/** Taps the button or link of that name, once it can be tapped. */
export function taps(engine: Engine, name: string): Promise<void> {
  return waitsUntil(engine, `a button or link "${name}"`, () => engine.presses(named, name));
}

export function sees(engine: Engine, text: string): Promise<void> {
  return waitsUntil(engine, `the text "${text}"`, () =>
    engine.asks((wanted) => document.body.innerText.replace(/\s+/g, ' ').includes(wanted), text),
  );
}

/** The name as a screen reader says it. A line of a list is known by the bold word that it begins with. */
function named(name: string): Element | null {
  const said = (element: Element) =>
    (element.getAttribute('aria-label') ?? element.textContent ?? '').replace(/\s+/g, ' ').trim();
  const all = [...document.querySelectorAll('button:not(:disabled), a[href]')].filter(
    (element) => element.getClientRects().length > 0,
  );
  const begins = (element: Element) => {
    const bold = element.querySelector('b');
    return bold !== null && said(bold) === name;
  };
  // The whole name first: a trait on whose card a 4 has been typed begins with the bold word "4" too.
  return all.find((element) => said(element) === name) ?? all.find(begins) ?? null;
}
