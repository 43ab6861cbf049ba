/** Every state of the scout's screens, open sheets too, in an order in which each can be reached from the one before. */
import type { Device } from './harness.ts';
import { anywhere, inAWalk, type Limits } from './rendered.ts';

export interface State {
  name: string;
  limits: Limits;
  open: (phone: Device) => Promise<void>;
}

export interface Known {
  walk: string;
  bed: string;
  lot: string;
  closedBed: string;
}

/** Goes to an address within the running app, as a link would. */
export async function turnsTo(phone: Device, path: string): Promise<void> {
  await phone.page.evaluate(async (to) => {
    history.pushState(null, '', to);
    dispatchEvent(new PopStateEvent('popstate'));
    for (let frame = 0; frame < 2; frame++) await new Promise((drawn) => requestAnimationFrame(drawn));
  }, path);
  await phone.page.locator('main h1').waitFor();
}

/** What a theme does to the page, and nothing else: the setting's own effect is looked at in its own test. */
export async function wears(at: Device, theme: string): Promise<void> {
  await at.page.evaluate((wanted) => (document.documentElement.dataset['theme'] = wanted), theme);
}

export type Language = 'en' | 'es';

/** Has the running app speak another language, by its own settings; opening it again takes ten times as much. */
export async function choosesLanguage(phone: Device, language: Language): Promise<void> {
  await turnsTo(phone, '/settings');
  await phone.page.getByText({ en: 'English', es: 'Español' }[language], { exact: true }).click();
  await phone.page.waitForFunction((wanted) => document.documentElement.lang === wanted, language);
}

/** Presses what is there, from within the page, since these tests are about looks; as soon as it can be seen and is not disabled. */
async function taps(phone: Device, selector: string): Promise<void> {
  const there = phone.page.locator(`${selector}:not(:disabled)`).first();
  // Waited for from here: a loop within the page has no end, and would not say what it waited for.
  await there.waitFor();
  await there.evaluate(async (element: HTMLElement) => {
    element.click();
    for (let frame = 0; frame < 2; frame++) await new Promise(requestAnimationFrame);
  });
}
const shows = (phone: Device, selector: string) => phone.page.locator(selector).first().waitFor();

async function menu(phone: Device, nth: number): Promise<void> {
  await closesSheet(phone);
  await taps(phone, '.foot .more');
  await taps(phone, `dialog .menu > button:nth-of-type(${nth})`);
}

async function closesSheet(phone: Device): Promise<void> {
  const sheet = phone.page.locator('dialog[open] > header button');
  if ((await sheet.count()) > 0) await sheet.tap();
  await phone.page.locator('dialog > header').waitFor({ state: 'detached' });
  await phone.page.locator('dialog[open]').waitFor({ state: 'detached' });
}

async function turnsCard(phone: Device, trait: number): Promise<void> {
  await closesSheet(phone);
  await taps(phone, `.traits button:nth-child(${trait})`);
}

/** Takes back every answer of the card that is open. */
async function emptiesCard(phone: Device): Promise<void> {
  while ((await phone.page.locator('.traits b').allTextContents()).some((answer) => answer !== '–')) {
    await taps(phone, '.foot .undo');
  }
}

const forms = ['lot', 'move', 'step', 'event', 'application', 'loss', 'recount', 'rooting', 'reading', 'note'];

export function statesOf({ walk, bed, lot, closedBed }: Known): readonly State[] {
  const screen = (name: string, path: string): State => ({
    name,
    limits: anywhere,
    open: (phone) => turnsTo(phone, path),
  });
  const sheet = (name: string, open: State['open']): State => ({ name, limits: inAWalk, open });
  return [
    screen('today', '/'),
    screen('bed', `/bed/${bed}`),
    screen('bed-closed', `/bed/${closedBed}`),
    screen('lot', `/lot/${lot}`),
    screen('notes', '/notes'),
    {
      name: 'notes-strike',
      limits: anywhere,
      open: async (phone) => {
        await taps(phone, '.own .clay');
        await shows(phone, '.own fieldset button:enabled');
      },
    },
    screen('settings', '/settings'),
    screen('pair', '/pair'),
    screen('nowhere', '/nowhere'),
    ...['way', 'head', 'buds', 'roots', 'leaves'].map((scale) => screen(`help-${scale}`, `/help/${scale}`)),
    screen('work', `/work?bed=${bed}&lot=${lot}`),
    screen('scan', '/scan'),
    screen('photo', `/work/photo?bed=${bed}&lot=${lot}`),
    screen('head-photo', `/work/head?bed=${bed}&lot=${lot}&pot=${walk}`),
    screen('mix', '/work/mix'),
    ...forms.map((form): State => ({
      name: `form-${form}`,
      limits: { ...anywhere, target: 64 },
      open: async (phone) => {
        await turnsTo(phone, `/work/${form}`);
        await phone.page.locator('.work form').evaluate((each: HTMLFormElement) => each.requestSubmit());
        await shows(phone, '.work .problems');
      },
    })),
    screen('end', `/walk/${walk}/end`),
    sheet('card-head', async (phone) => {
      await turnsTo(phone, `/walk/${walk}`);
      await shows(phone, '.traits');
      await emptiesCard(phone);
      await turnsCard(phone, 1);
      await shows(phone, '.pad');
    }),
    sheet('sheet-more', async (phone) => {
      await taps(phone, '.foot .more');
      await shows(phone, 'dialog[open] > header');
    }),
    sheet('sheet-skip', (phone) => menu(phone, 3)),
    sheet('sheet-other', (phone) => menu(phone, 2)),
    sheet('sheet-earlier', (phone) => menu(phone, 1)),
    sheet('sheet-strike', async (phone) => {
      await taps(phone, 'dialog .pots [aria-expanded]');
      await taps(phone, 'dialog .pots .clay');
      await shows(phone, 'dialog .pots fieldset');
    }),
    sheet('sheet-words', (phone) => menu(phone, 4)),
    sheet('card-doubt', async (phone) => {
      await turnsCard(phone, 1);
      for (const digit of ['9', '1']) await phone.page.getByRole('button', { name: digit, exact: true }).tap();
      await turnsCard(phone, 1);
      await shows(phone, '.doubt');
    }),
    sheet('card-head-steps', async (phone) => {
      await menu(phone, 9);
      await shows(phone, '.steps');
    }),
    sheet('card-buds-steps', (phone) => turnsCard(phone, 2)),
    sheet('card-buds', (phone) => taps(phone, '.steps > :last-child')),
    sheet('card-bare', (phone) => taps(phone, '.pad > :nth-child(13)')),
    sheet('card-cover', (phone) => turnsCard(phone, 3)),
    sheet('card-life', (phone) => taps(phone, '.pictures > :nth-child(5)')),
    sheet('card-scratch', (phone) => taps(phone, '.pictures > :nth-child(6)')),
    sheet('card-leaves', (phone) => turnsCard(phone, 4)),
    sheet('card-pale', (phone) => taps(phone, '.pictures > :nth-child(1)')),
    {
      name: 'end-open',
      limits: anywhere,
      open: async (phone) => {
        await turnsTo(phone, `/walk/${walk}/end`);
        await shows(phone, '.end .open');
        await taps(phone, '.end .entrance .main');
        await shows(phone, '.end .open .attention');
      },
    },
    sheet('card-correction', async (phone) => {
      await turnsTo(phone, `/walk/${walk}`);
      await shows(phone, '.traits');
      await emptiesCard(phone);
      await menu(phone, 1);
      await taps(phone, 'dialog .pots [aria-expanded]');
      await taps(phone, 'dialog .pots .pair > :first-child');
      await shows(phone, '.pad');
    }),
    screen('today-again', '/'),
  ];
}
