/** Every step of an entry from one state to another, allowed or refused. */
import { expect, test } from 'vitest';
import type { Entry } from '../../../../schema/types';
import {
  can,
  counts,
  doubt,
  entryStates,
  giveBack,
  isApart,
  isSent,
  keepApart,
  merge,
  park,
  queued,
  renumber,
  requeue,
  stateOf,
  stepNames,
  stepOf,
  type EntryState,
  type Step,
} from './entryState';
import type { EntryRow } from './shape';

const entry = { id: '1'.repeat(32), device: 'd1', inc: 2, seq: 5, wall: 70, kind: 'note' } as Entry;
const stamp = { at: 80, quality: 'exact', from: 80, to: 80 } as const;
const fault = { field: 'buds', code: 'max', detail: '' } as never;
const own = {
  id: entry.id,
  entry,
  keys: ['fact:1'],
  text: '{}',
  chain: 'c',
  own: ['d1', 2, 5] as [string, number, number],
};

/** A row in each state, as the steps that lead there leave it. */
function rowIn(state: EntryState): EntryRow {
  const sent = queued(own);
  const there: Record<EntryState, () => EntryRow> = {
    queued: () => sent,
    merged: () => merge(sent, stamp, 9),
    quarantined: () => keepApart(sent, 'quarantined', [fault]),
    inReview: () => keepApart(sent, 'review', undefined),
    rejected: () => keepApart(sent, 'left', [fault]),
    parked: () => park(sent),
    unconfirmed: () => doubt(merge(sent, stamp, 9)),
    returned: () => giveBack(doubt(merge(sent, stamp, 9))),
  };
  return there[state]();
}

const take: Record<Step, (row: EntryRow) => EntryRow> = {
  merge: (row) => merge(row, stamp, 9),
  quarantine: (row) => keepApart(row, 'quarantined', [fault]),
  review: (row) => keepApart(row, 'review', undefined),
  reject: (row) => keepApart(row, 'left', undefined),
  requeue: (row) => requeue(row),
  renumber: (row) => renumber(row, queued({ ...own, entry: { ...entry, inc: 3, seq: 1 } })),
  park: (row) => park(row),
  doubt: (row) => doubt(row),
  giveBack: (row) => giveBack(row),
};

/** By hand, not from the code: the state that each step leads to, and "-" where it is refused. */
const table: Record<EntryState, Record<Step, EntryState | '-'>> = {
  queued: row('merged', 'quarantined', 'inReview', 'rejected', '-', 'queued', 'parked', '-', '-'),
  merged: row('merged', '-', '-', '-', 'queued', 'queued', '-', 'unconfirmed', '-'),
  quarantined: row('merged', 'quarantined', 'inReview', 'rejected', 'queued', 'queued', '-', '-', '-'),
  inReview: row('merged', 'quarantined', 'inReview', 'rejected', 'queued', 'queued', '-', '-', '-'),
  rejected: row('merged', '-', '-', '-', 'queued', 'queued', '-', '-', '-'),
  parked: row('merged', 'quarantined', 'inReview', 'rejected', '-', 'queued', 'parked', '-', '-'),
  unconfirmed: row('merged', '-', '-', '-', 'queued', 'queued', '-', '-', 'returned'),
  returned: row('merged', '-', '-', '-', '-', '-', '-', '-', '-'),
};

function row(...to: (EntryState | '-')[]): Record<Step, EntryState | '-'> {
  const steps: Step[] = ['merge', 'quarantine', 'review', 'reject', 'requeue', 'renumber', 'park', 'doubt', 'giveBack'];
  return Object.fromEntries(steps.map((step, i) => [step, to[i]])) as Record<Step, EntryState | '-'>;
}

test.each(entryStates)('a row that is %s is known as such', (state) => {
  expect(stateOf(rowIn(state))).toBe(state);
});

test.each(entryStates.flatMap((state) => stepNames.map((step) => [state, step, table[state][step]] as const)))(
  'what is %s: %s -> %s',
  (state, step, to) => {
    const before = rowIn(state);
    const kept = structuredClone(before);
    if (to === '-') {
      expect(can(before, step)).toBe(false);
      expect(() => take[step](before)).toThrow(/does not/);
    } else {
      expect(can(before, step)).toBe(true);
      const next = take[step](before);
      expect(stateOf(next)).toBe(to);
      // What goes with a state is there in it, and in no other.
      expect(next.pending).toEqual(to === 'queued' ? [next.entry.inc, next.entry.seq] : undefined);
      expect(next.position > 0).toBe(to === 'merged');
      if (to === 'queued') expect([next.stamp.quality, next.faults]).toEqual(['pending', undefined]);
      if (to === 'merged') expect(next.faults).toBeUndefined();
      expect([next.id, next.text, next.keys]).toEqual([own.id, own.text, own.keys]);
    }
    expect(before).toEqual(kept);
  },
);

test('what each state means: at the server, kept apart there, in the records', () => {
  const by = (is: (each: EntryRow) => boolean) => entryStates.filter((state) => is(rowIn(state)));
  expect(by((each) => !isSent(each))).toEqual(['queued', 'parked']);
  expect(by(isApart)).toEqual(['quarantined', 'inReview', 'rejected']);
  expect(by((each) => !counts(each))).toEqual(['rejected', 'returned']);
});

test('a state that a newer server names is a quarantine: nothing is called merged that was not', () => {
  expect(['merged', 'review', 'left', 'quarantined', 'postponed', ''].map(stepOf)).toEqual([
    'merge',
    'review',
    'reject',
    'quarantine',
    'quarantine',
    'quarantine',
  ]);
});
