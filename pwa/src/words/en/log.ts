import { counter } from '../plural';

const hours = counter('en', { one: 'hour', other: 'hours' });
const applications = counter('en', { one: 'application', other: 'applications' });

/** The application log. */
export const log = {
  title: 'Application log',
  record:
    'The applications that were noted, newest first. Struck-out notes are not in it. This is not the legal record where the law asks for more.',
  empty: 'No application noted yet. Note one at the bed or the lot.',
  print: 'Print the log',
  table: {
    ended: 'Work ended',
    what: 'What',
    amount: 'How much',
    where: 'Beds, lot',
    until: 'Restricted-entry interval (REI)',
    who: 'Noted by',
  },
  began: (when: string) => `began ${when}`,
  regNo: (number: string) => `Registration number ${number}`,
  notWritten: 'not written',
  hours,
  closed: (until: string) => `KEEP\u00a0OUT until ${until}`,
  over: (at: string) => `over since ${at}`,
  older: (count: number) => `${applications(count)} before these are not shown. They are on the pages of their beds.`,
};
