/** What a scout does with the phone, in a scout's words, and what can be read off the phone afterwards. */
import type { Entry } from '../../schema/types.ts';
import type { Device, Nursery } from './harness.ts';

export interface PotSeen {
  head: string;
  buds: string;
  cover?: number;
  life?: number;
}

/** A walk's first eight pots: head in centimetres and buds, two digits each, as typed. */
export const eightPots: readonly PotSeen[] = [
  { head: '31', buds: '42' },
  { head: '30', buds: '44' },
  { head: '29', buds: '41' },
  { head: '32', buds: '45' },
  { head: '31', buds: '40' },
  { head: '30', buds: '43' },
  { head: '28', buds: '39' },
  { head: '33', buds: '46' },
];

/** Waits until the first beds have come from the server; the season's walks may still be on their way. */
export async function seesBeds(phone: Device): Promise<void> {
  await phone.page.locator('.lines a').first().waitFor({ timeout: 120_000 });
}

/**
 * Waits until the phone has nothing to send, and the server has agreed that the phone holds the same as itself. How much
 * that is the server is asked, in range: what the phone knows of it is as old as its last pull, from which a note that it
 * has sent meanwhile is missing.
 */
export async function hasEverything(phone: Device): Promise<Kept> {
  await until(phone, (now) => now.position > 0 && now.waiting === 0);
  const { head } = await phone.page.evaluate(async () => (await fetch('/api/me')).json() as Promise<{ head: number }>);
  return until(phone, (now) => now.waiting === 0 && now.agreedTo >= head);
}

export async function opensBed(phone: Device, name: string): Promise<void> {
  await phone.page.getByRole('link', { name: new RegExp(`${name}\\b`) }).tap();
  await phone.page.getByRole('heading', { level: 1, name }).waitFor();
}

export async function startsWalk(phone: Device): Promise<void> {
  await phone.taps('Start walk');
  await phone.page.locator('.pad').waitFor();
}

/**
 * A phone with a walk begun in the first bed that is open, or with the one on which its person is
 * already; or in a bed further down.
 */
export async function phoneInABed(nursery: Nursery, further = 0): Promise<Device> {
  const phone = await nursery.phoneInRange('scout');
  await seesBeds(phone);
  await phone.page.locator('.lines li:not(.shut) a').nth(further).tap();
  await phone.taps(/^(Start walk|Continue the walk)/);
  await phone.page.locator('.pad').waitFor();
  return phone;
}

/** Notes one green pot, as a practised hand does: two digits, two digits, two pictures, none. @returns the taps it took */
export async function tapsPot(phone: Device, pot: PotSeen): Promise<number> {
  const before = await potsNoted(phone);
  const taps = await answersPot(phone, pot);
  await showsPot(phone, before + 2);
  return taps;
}

async function showsPot(phone: Device, number: number): Promise<void> {
  await phone.page.waitForFunction(
    (number) => new RegExp(`^pot ${number} `).test(document.querySelector('.top .small')?.textContent ?? ''),
    number,
  );
}

/**
 * Notes the same pot by the same buttons, pressed from within the page, for tests that are about what follows: a tap by the
 * browser's own fingers (tapsPot) takes twice the work.
 */
export async function notesPot(phone: Device, { head, buds, cover = 4, life = 4 }: PotSeen): Promise<void> {
  const before = await potsNoted(phone);
  await phone.page.evaluate(pressesPot, { head, buds, cover, life });
  await showsPot(phone, before + 2);
}

/** Runs in the page. Each press waits until its button is there, and what follows until the card shows what was pressed. */
async function pressesPot({ head, buds, cover, life }: Required<PotSeen>): Promise<void> {
  const frame = () => new Promise((drawn) => requestAnimationFrame(drawn));
  const until = async (fits: () => boolean) => {
    while (!fits()) await frame();
  };
  const press = async (fits: (button: HTMLButtonElement) => boolean) => {
    const found = () =>
      [...document.querySelectorAll('button')].find((each) => !each.disabled && each.checkVisibility() && fits(each));
    await until(() => found() !== undefined);
    found()?.click();
  };
  const says = (text: string) => (button: HTMLButtonElement) => button.textContent?.trim() === text;
  const isAsked = (trait: number) =>
    document.querySelector(`.traits :nth-child(${trait})`)?.getAttribute('aria-current') === 'step';
  const answered = (trait: number, typed: string) =>
    document.querySelector(`.traits :nth-child(${trait}) b`)?.textContent === typed;
  const question = () => document.querySelector('.look h2')?.textContent ?? '';
  for (const [at, typed] of [head, buds].entries()) {
    await until(() => isAsked(at + 1));
    for (const digit of typed) await press(says(digit));
    await until(() => answered(at + 1, typed));
  }
  await press(says('Roots ›'));
  for (const choice of [cover, life]) {
    await until(() => question() !== '');
    const asked = question();
    await press((button) => (button.ariaLabel ?? '').startsWith(`${choice}: `));
    await until(() => question() !== asked);
  }
  await press(says('All green · next pot ›'));
}

/** The taps of a pot alone, for the one that is followed by no other. @returns how many */
export async function answersPot(phone: Device, pot: PotSeen): Promise<number> {
  let taps = 0;
  const tap = async (name: string | RegExp, position?: { x: number; y: number }) => {
    await phone.page
      .getByRole('button', { name, exact: true })
      .first()
      .tap({ ...(position && { position }) });
    taps++;
  };
  for (const digit of pot.head) await tap(digit);
  for (const digit of pot.buds) await tap(digit);
  await tap('Roots ›');
  await tap(new RegExp(`^${pot.cover ?? 4}: `));
  // At a corner of the picture: where it is as far as the one before, a fast machine's second tap would be half of a double tap.
  await tap(new RegExp(`^${pot.life ?? 4}: `), { x: 12, y: 12 });
  await tap('All green · next pot ›');
  return taps;
}

/** How many pots the walk on the screen has by its own count. */
export async function potsNoted(phone: Device): Promise<number> {
  const text = (await phone.page.locator('.top .small').first().textContent()) ?? '';
  return Number(/^pot (\d+)/.exec(text)?.[1] ?? 1) - 1;
}

export interface Kept {
  waiting: number;
  position: number;
  head: number;
  epoch: string;
  /** The position at which the server last said that both hold the same; 0 for never. */
  agreedTo: number;
  device: string;
  inc: number;
  drafts: number;
}

/** What the phone's own database says, whatever the screen shows. */
export async function kept(phone: Device): Promise<Kept> {
  return phone.page.evaluate(keptHere);
}

/** The same, asked in the page itself; it may therefore use nothing but what a page has. */
export async function keptHere(): Promise<Kept> {
  const open = await new Promise<IDBDatabase>((done, fail) => {
    const asked = indexedDB.open('bedwalk');
    asked.addEventListener('success', () => done(asked.result));
    asked.addEventListener('error', () => fail(asked.error));
  });
  const work = open.transaction(['meta', 'entries', 'drafts']);
  const get = <T>(request: IDBRequest<T>) =>
    new Promise<T>((done) => request.addEventListener('success', () => done(request.result)));
  const meta = work.objectStore('meta');
  const [writer, cursor, digest, waiting, drafts] = await Promise.all([
    get(meta.get('writer')),
    get(meta.get('cursor')),
    get(meta.get('digest')),
    get(work.objectStore('entries').index('pending').count()),
    get(work.objectStore('drafts').count()),
  ]);
  open.close();
  return {
    waiting,
    position: cursor?.position ?? 0,
    head: cursor?.head ?? 0,
    epoch: cursor?.epoch ?? '',
    agreedTo: digest?.equal ? digest.position : 0,
    device: writer?.device ?? '',
    inc: writer?.inc ?? 0,
    drafts,
  };
}

/** The notes that this phone wrote, oldest first. */
export async function ownNotes(phone: Device): Promise<Entry[]> {
  return phone.page.evaluate(async () => {
    const asked = indexedDB.open('bedwalk');
    await new Promise((done) => asked.addEventListener('success', done));
    const rows = asked.result.transaction('entries').objectStore('entries').index('own').getAll();
    await new Promise((done) => rows.addEventListener('success', done));
    asked.result.close();
    return (rows.result as { entry: Entry }[]).map(({ entry }) => entry);
  });
}

/** The pots of a bed's newest walks, as the phone's records have them, in an order that does not depend on the phone. */
export async function potsOf(phone: Device, walks: readonly string[]): Promise<string> {
  return phone.page.evaluate(async (ids) => {
    const open = await new Promise<IDBDatabase>((done, fail) => {
      const asked = indexedDB.open('bedwalk');
      asked.addEventListener('success', () => done(asked.result));
      asked.addEventListener('error', () => fail(asked.error));
    });
    const index = open.transaction('records').objectStore('records').index('walk');
    const rows = await Promise.all(
      ids.map(
        (id) =>
          new Promise<unknown[]>((done) => {
            const asked = index.getAll(id);
            asked.addEventListener('success', () => done(asked.result));
          }),
      ),
    );
    open.close();
    return JSON.stringify(rows.flat(), null, 1);
  }, walks);
}

/** Waits until what the phone keeps is as wanted. */
export async function until(phone: Device, wanted: (now: Kept) => boolean, ms = 120_000): Promise<Kept> {
  const deadline = Date.now() + ms;
  for (;;) {
    const now = await kept(phone);
    if (wanted(now)) return now;
    if (Date.now() > deadline) throw new Error(`still so after ${ms} ms: ${JSON.stringify(now)}`);
    await new Promise((done) => setTimeout(done, 250));
  }
}

/** The walk that is on the screen. */
export function walkOf(phone: Device): string {
  return /\/walk\/([0-9a-f]{32})/.exec(phone.page.url())?.[1] ?? '';
}

export const DAY_MS = 86_400_000;

/** From the next start on the phone's clock is so much later. Runs in the page. */
export function later(ms: number): void {
  const Real = Date;
  class Later extends Real {
    constructor(...given: ConstructorParameters<typeof Date> | []) {
      if (given.length > 0) super(...(given as ConstructorParameters<typeof Date>));
      else super(Real.now() + ms);
    }

    static override now(): number {
      return Real.now() + ms;
    }
  }
  globalThis.Date = Later as DateConstructor;
}
