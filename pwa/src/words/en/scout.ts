import { counter, stop } from '../plural';

const pots = counter('en', { one: 'pot', other: 'pots' });
const notes = counter('en', { one: 'note', other: 'notes' });
const photos = counter('en', { one: 'photo', other: 'photos' });
const records = counter('en', { one: 'record', other: 'records' });
const days = counter('en', { one: 'day', other: 'days' });
const beds = counter('en', { one: 'bed', other: 'beds' });

export const scout = {
  nav: { label: 'Screens', today: 'Today', notes: 'Notes', settings: 'Settings', beds: 'Beds' },
  nowhere: { title: 'Nothing here', home: 'Go to the first screen' },
  unable:
    'This address is not secure, so the browser will not keep notes. Open Bedwalk at its https address, or on this computer at http://localhost.',
  missing: 'A part of the app is not on this phone yet. Come into range once, then try again.',

  today: 'Today',
  greeting: (day: string, person: string) => `${day} · ${person}`,
  bedName: (house: string, bed: string) => (house ? `${house}, ${bed}` : bed),
  lotLine: (tag: string, cultivar: string) => `${tag} ${cultivar}`.trim(),
  due: (count: number) => `Due for a walk (${count})`,
  nothingDue: 'No bed is due today. You can still walk any bed below.',
  firstReading: {
    share: (share: string) => `Getting the records: ${share}.`,
    stay: 'Stay in range. Due beds show once all records are here.',
    offline: 'Go back to where there is a signal. Due beds show once all records are here.',
    signs: 'A closed bed may not show yet. Read the signs posted at the house before you enter.',
  },
  arriving: (share: string) => `Getting the nursery’s records: ${share}. Beds below may still change.`,
  noBedsAtAll: 'No beds are set up yet. The supervisor adds houses, beds and lots in the office.',
  closed: 'Closed now',
  opens: (when: string) => `Restricted entry (REI): opens ${when}`,
  otherBeds: 'Other beds',
  closedUntil: (bed: string, when: string) => `${bed} until ${when}`,
  moreClosed: (count: number) => `${beds(count)} more below`,
  uniformity: 'uniformity',
  goOn: 'Continue the walk',
  halfway: (bed: string, seen: number) => `${bed}: ${pots(seen)} noted, not ended`,
  leftOpen: (bed: string, day: string, seen: number) =>
    `${bed}: open since ${day}, ${pots(seen)} noted. The walk is too old to continue. Check its pots and close it.`,
  roundLeftOpen: (bed: string, day: string, seen: number) =>
    `${bed}: second look open since ${day}, ${pots(seen)} noted. It is too old to continue. Check its pots and close it.`,
  toEnd: 'Check and close it',
  scan: 'Scan a tag',
  spot: 'Add a note',
  workList: 'Work list',
  rounds: 'Second look',
  roundHalfway: (bed: string, seen: number) => `${bed}: second look, ${pots(seen)} noted, not ended`,
  why: {
    never: 'never walked',
    days: (count: number) => `${days(count)} since the last walk`,
    chlorosis: (day: string) => `chlorosis seen ${day}`,
    roots: (day: string) => `root rot seen ${day}`,
    recent: (ago: string) => `walked ${ago}`,
    part: (seen: number, about: number, ago: string) =>
      `${about > seen ? `${seen} of about ${pots(about)}` : pots(seen)} checked ${ago}, not finished`,
    away: 'its notes are not here yet',
  },

  queue: {
    pairAgain: 'Pair this phone again',
    allSent: 'All notes sent.',
    sentAt: (when: string) => stop(`Last sent ${when}`),
    neverSent: 'nothing sent yet',
    pending: (count: number) => `${notes(count)} to send`,
    lastAt: (when: string) => `last sent ${when}`,
    photos: (count: number) => `${photos(count)} still to send`,
    parked: (count: number) => `${notes(count)} by someone else will be sent when that person pairs this phone again`,
    unpaired: 'The server no longer knows this phone. The notes stay here. Pair the phone again to send them.',
    revokedShort: 'This phone’s access was revoked.',
    revokedKept:
      'Notes stay on the phone and are still sent, but count only after the supervisor has reviewed them. Nothing new comes to this phone.',
    revokedDo: 'Ask the supervisor for a code, then pair this phone again.',
    full: 'This phone is full.',
    resting: 'New notes are sent automatically.',
    syncing: 'Sending now.',
  },

  notice: {
    aside: (count: number) =>
      `The phone’s storage failed. ${notes(count)} ${count === 1 ? 'is' : 'are'} set aside on this phone. Close the app and open it again to save ${count === 1 ? 'it' : 'them'}.`,
    blocked:
      'An older version of Bedwalk is open in another tab or window. Its notes are kept. Close it, and this one continues.',
    outdated: 'A newer version of Bedwalk is open in another tab',
    outdatedKept:
      'Everything noted here is saved, even a half-filled pot card. Reload this tab to continue here, or close it.',
    reload: 'Reload',
    rebuilt: (count: number) =>
      `${records(count)} on this phone ${count === 1 ? 'was' : 'were'} damaged and rebuilt from the notes. Nothing is lost.`,
    fetchedAgain: (count: number) =>
      `${records(count)} on this phone ${count === 1 ? 'was' : 'were'} damaged and ${count === 1 ? 'is' : 'are'} being fetched again from the server.`,
    unfolded: (count: number) =>
      `${records(count)} on this phone cannot be shown because a note in ${count === 1 ? 'it' : 'each'} cannot be read. All notes are kept. Show this to the supervisor.`,
    update: 'A new version is ready.',
    takeUpdate: 'Update now',
    install: 'Add Bedwalk to the home screen. It then opens without a network, and the phone protects its notes.',
    installNow: 'Add to home screen',
    installIos: 'In the browser, tap Share, then “Add to Home Screen”.',
    later: 'Later',
    notSavedFull: 'NOT saved: the phone is full. Free some space, then tap again. Nothing on this card is lost.',
    notSavedBroken:
      'The phone’s storage failed. The note is set aside on this phone: close the app and open it again to save it.',
  },
};
