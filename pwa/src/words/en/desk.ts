import { counter, form } from '../plural';

const phones = counter('en', { one: 'phone', other: 'phones' });
const notes = counter('en', { one: 'note', other: 'notes' });
const pots = counter('en', { one: 'pot', other: 'pots' });
const walks = counter('en', { one: 'walk', other: 'walks' });

export const desk = {
  nav: 'Pages',
  beds: 'Beds',
  lots: 'Lots',
  crops: 'Crops',
  scouts: 'Scouts',
  phones: 'Phones',
  settings: 'Settings',
  walk: 'Walk',
  skip: 'To the content',
  bedName: (name: string) => (/^\d/.test(name) ? `Bed ${name}` : name),
  bedInHouse: (bed: string, house: string) => `${bed}, ${house}`,
  houseName: (name: string) => (/^\d/.test(name) ? `House ${name}` : name),
  lotName: (tag: string) => `Lot ${tag}`,

  data: {
    asOf: (when: string) => `As of ${when}`,
    kept: (when: string) => `This is what it said ${when}.`,
    trouble: {
      offline: 'The server cannot be reached.',
      slow: 'The server did not answer in time.',
      portal:
        'The network answers in place of the server: it may want a sign-in first. Open any web page, sign in, and try again.',
      busy: 'The server is busy or being restarted.',
      unpaired: 'This device is not paired. Ask the supervisor for a pairing link or code.',
      revoked: 'This device’s access was taken back. Ask the supervisor for a code, then pair it again.',
      notAllowed: 'This page is for supervisors. Ask the owner to change your role.',
    },
    loading: 'Getting the records from the server…',
    slow: 'Still waiting for the server. The first time after a long season takes longest.',
    failed: 'This page could not be drawn',
    noRecord: 'The server keeps nothing under this address.',
    toBeds: 'To the beds',
  },
  phonesState: (equal: number, paired: number) =>
    equal === 0
      ? `${phones(paired)}, none compared since the last note`
      : equal === paired
        ? `${phones(paired)} ${form('en', paired, { one: 'agrees', other: 'agree' })} with the server`
        : `${equal} of ${phones(paired)} agree with the server`,
  phonesWaiting: (count: number) => `${notes(count)} still on phones`,
  phonesNone: 'no phone paired yet',
  lastIn: (when: string) => `last sent ${when}`,
  held: (count: number) => `${notes(count)} ${form('en', count, { one: 'waits', other: 'wait' })} for you`,

  overview: {
    title: 'Beds',
    count: (shown: number, all: number) =>
      shown === all ? counter('en', { one: 'bed', other: 'beds' })(all) : `${shown} of ${all} beds`,
    house: 'House',
    everyHouse: 'all',
    crop: 'Crop',
    all: 'all',
    show: 'Show',
    everyBed: 'every bed',
    due: 'due for a walk',
    needsStep: 'needs a step',
    emptyTitle: 'No beds yet',
    empty:
      'Beds and lots come from a spreadsheet, or are typed in like one. To look around first, start the demo in a folder of its own: bedwalk demo --data demo.',
    noneMatch: 'No bed matches. Choose other filters.',
    clearFilters: 'Show every bed',
    since: 'Since yesterday',
    sinceNone: 'Nothing new since yesterday.',
    scale: (size: string) => `${size} long`,
    plan: (house: string) => `${house}: beds drawn to scale`,
    entry: 'entry',
    days: (count: number) => `${count} d`,
    never: 'no walk yet',
    few: 'few pots',
    closed: (until: string) => `closed until ${until}`,
    dueShort: 'due',
    closedShort: 'closed',
    walked: (ago: string) => `walked ${ago}`,
    uniformity: (value: string) => `uniformity ${value}`,
    seen: (n: number) => `${pots(n)} seen`,
    stepNeeded: 'needs a step',
    legend: 'Uniformity',
    legendUnder: (top: number) => `under ${top}`,
    legendFrom: (low: number) => `${low} to ${low + 9}`,
    legendOver: (low: number) => `${low} and over`,
    legendFew: 'too few pots to tell',
    legendNever: 'no walk yet',
    legendNote:
      'The share of pots, out of a hundred, that are near enough to their own lot’s mean; the weaker of head size and bud count.',
    why: {
      never: 'never walked',
      days: (count: number) => `${counter('en', { one: 'day', other: 'days' })(count)} since the last walk`,
      chlorosis: 'chlorosis on the last walk',
      roots: 'root trouble on the last walk',
    },
    table: {
      bed: 'Bed',
      house: 'House',
      lots: 'Lots',
      uniformity: 'Uniformity',
      heldBy: 'Held back by',
      n: 'Pots seen',
      chlorosis: 'Chlorosis',
      rot: 'Root rot',
      walked: 'Last walk',
      due: 'Due',
    },
  },

  scoutsPage: {
    title: 'Scouts',
    intro: 'How alike the scouts read. A scout who reads large is no worse a scout: look at the same pots together.',
    driftTitle: 'Head sizes against the others',
    driftNote:
      'On the same lots in the same weeks. The bar is the 90 % interval, all on one axis; the line in the middle is no difference, the shaded zone (2 % either way) too little to matter.',
    driftNone: 'Nothing to compare yet. Two scouts have to walk the same lots in the same week.',
    drift: (name: string, by: string, low: string, high: string) => `${name} reads heads ${by} (${low} to ${high})`,
    large: (by: string) => `${by} large`,
    small: (by: string) => `${by} small`,
    like: 'like the others',
    walks: (count: number) => `over ${walks(count)}`,
    verdict: {
      chance: 'no more than chance',
      little: 'more than chance, but too little to matter',
      maybe: 'more than chance; whether it matters is not sure',
    },
    needsTalk: 'more than chance, and enough to matter: read some pots together',
    agreeTitle: 'Blind second looks, two scouts at a time',
    agreeNote:
      'Head: how much more the second reads, with the 95 % limits of agreement. Classes: weighted kappa, 1 is full agreement, 0 is chance.',
    agreeNone: 'No pots have been read twice yet. Ask for a second look on a bed’s page.',
    pair: 'Scouts',
    pots: 'Pots',
    bias: 'Head, second to first',
    limits: 'Limits of agreement',
    oneClass: 'all pots in one class',
    icc: 'Head, agreement (ICC)',
    cover: 'Root cover',
    life: 'Root life',
    chlorosis: 'Chlorosis',
    and: (a: string, b: string) => `${a} and ${b}`,
    roundsTitle: 'Second looks asked for',
    roundsNone: 'None has been asked for.',
    roundBed: 'Bed',
    roundFirst: 'First read by',
    roundBy: 'To be read again by',
    roundDone: 'Read again',
    roundClosed: 'closed',
    anybody: 'anybody else',
  },
};
