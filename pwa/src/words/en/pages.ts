import { counter, form, stop } from '../plural';

const phones = counter('en', { one: 'phone', other: 'phones' });
const notes = counter('en', { one: 'note', other: 'notes' });
const pots = counter('en', { one: 'pot', other: 'pots' });
const walks = counter('en', { one: 'walk', other: 'walks' });

export const pages = {
  nav: 'Pages',
  beds: 'Beds',
  lots: 'Lots',
  plan: 'Plan',
  crops: 'Crops',
  scouts: 'Scouts',
  phones: 'Phones',
  settings: 'Settings',
  walk: 'Walk',
  skip: 'Skip to content',
  bedName: (name: string) => (/^\d/.test(name) ? `Bed ${name}` : name),
  bedInHouse: (bed: string, house: string) => `${bed}, ${house}`,
  houseName: (name: string) => (/^\d/.test(name) ? `House ${name}` : name),
  lotName: (tag: string) => `Lot ${tag}`,

  data: {
    asOf: (when: string) => `As of ${when}`,
    kept: (when: string) => stop(`Last updated ${when}`),
    trouble: {
      offline: 'The server cannot be reached.',
      slow: 'The server is slow.',
      portal: 'The network may want you to sign in. Open any web page, sign in, and try again.',
      busy: 'The server is busy or restarting.',
      unpaired: 'This device is not paired. Ask the supervisor for a pairing link or code.',
      revoked: 'This device’s access was revoked. Ask the supervisor for a code, then pair it again.',
      notAllowed: 'This page is for supervisors. Ask the owner to change your role.',
    },
    loading: 'Getting the records from the server…',
    slow: 'Still waiting for the server. The first time after a long season is the slowest.',
    failed: 'This page could not be shown',
    toBeds: 'Back to the beds',
  },
  phonesState: (equal: number, paired: number) =>
    equal === 0
      ? `${phones(paired)}, none compared since the last note`
      : equal === paired
        ? `${phones(paired)} ${form('en', paired, { one: 'matches', other: 'match' })} the server`
        : `${equal} of ${phones(paired)} match the server`,
  onPhones: (count: number) => `${notes(count)} still on phones`,
  phonesNone: 'no phone paired yet',
  lastIn: (when: string) => `last sent ${when}`,
  quarantined: (count: number) => `${notes(count)} ${form('en', count, { one: 'needs', other: 'need' })} your decision`,

  overview: {
    title: 'Beds',
    count: (shown: number, all: number) =>
      shown === all ? counter('en', { one: 'bed', other: 'beds' })(all) : `${shown} of ${all} beds`,
    house: 'House',
    everyHouse: 'all',
    crop: 'Crop',
    all: 'all',
    show: 'Show',
    everyBed: 'all beds',
    due: 'due for a walk',
    needsStep: 'needs attention',
    emptyTitle: 'No beds yet',
    empty:
      'Add beds and lots from a spreadsheet, or type them in here. To look around first, start the demo in a separate folder: bedwalk demo --data demo.',
    noneMatch: 'No bed matches. Choose other filters.',
    clearFilters: 'Show all beds',
    days: (count: number) => `${count} d`,
    never: 'no walk yet',
    closed: (until: string) => `closed until ${until}`,
    dueShort: 'due',
    closedShort: 'closed',
    walked: (ago: string) => `walked ${ago}`,
    uniformity: (value: string) => `uniformity ${value}`,
    seen: (n: number) => `${pots(n)} checked`,
    stepNeeded: 'needs attention',
    why: {
      never: 'never walked',
      days: (count: number) => `${counter('en', { one: 'day', other: 'days' })(count)} since the last walk`,
      chlorosis: 'chlorosis on the last walk',
      roots: 'root rot on the last walk',
    },
    table: {
      bed: 'Bed',
      house: 'House',
      lots: 'Lots',
      uniformity: 'Uniformity',
      limitingTrait: 'Held back by',
      n: 'Pots checked',
      chlorosis: 'Chlorosis',
      rot: 'Root rot',
      walked: 'Last walk',
      due: 'Due',
    },
  },

  scoutsPage: {
    title: 'Scouts',
    intro: 'How closely the scouts agree. A scout who reads large isn’t a worse scout: check some pots together.',
    driftTitle: 'Head sizes against the others',
    driftNote:
      'On the same lots in the same weeks. The bar is the 90 % interval, on one axis for all. The middle line means no difference; in the shaded zone (2 % either way) the difference is too small to matter.',
    driftNone: 'Nothing to compare yet. Two scouts must walk the same lots in the same week.',
    drift: (name: string, by: string, low: string, high: string) => `${name} reads heads ${by} (${low} to ${high})`,
    large: (by: string) => `${by} large`,
    small: (by: string) => `${by} small`,
    like: 'like the others',
    walks: (count: number) => `over ${walks(count)}`,
    verdict: {
      chance: 'could be chance',
      little: 'more than chance, but too small to matter',
      maybe: 'more than chance; may or may not matter',
    },
    needsTalk: 'more than chance, and large enough to matter: check some pots together',
    agreeTitle: 'Blind second looks, two scouts at a time',
    agreeNote:
      'Head: how much larger the second scout reads, with the 95 % limits of agreement. Classes: weighted kappa, where 1 is full agreement and 0 is chance.',
    agreeNone: 'No pots have been checked twice yet. Ask for a second look on a bed’s page.',
    pair: 'Scouts',
    pots: 'Pots',
    bias: 'Head, second against first',
    limits: 'Limits of agreement',
    oneClass: 'all pots in one class',
    icc: 'Head, agreement (ICC)',
    cover: 'Root cover',
    life: 'Root life',
    chlorosis: 'Chlorosis',
    and: (a: string, b: string) => `${a} and ${b}`,
    roundsTitle: 'Second looks requested',
    roundsNone: 'None requested.',
    roundBed: 'Bed',
    roundFirst: 'First look by',
    roundBy: 'Second look by',
    roundDone: 'Checked again',
    roundClosed: 'closed',
    anybody: 'anyone else',
    housesTitle: 'Houses of each scout',
    housesNote:
      'A scout’s phone lists the beds of these houses and keeps their notes. The notes of other houses stay at the server; in range, the scout can open any house.',
    housesAll: 'All houses.',
    housesSome: 'Only the houses ticked.',
    housesDiffer: 'Two people chose different houses. The phone keeps those of both until you save.',
    housesSave: (name: string) => `Save for ${name}`,
    housesSaved: (name: string) => `Houses saved for ${name}. The phone gets them when it is in range.`,
  },
};
