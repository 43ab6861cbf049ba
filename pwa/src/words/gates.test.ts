import { beforeEach, expect, test } from 'vitest';
import type { PlanGate } from '../../../schema/types';
import { speak } from '.';
import { cropPlan } from '../screens/supervisor/sample-plan.testing';
import { saidGate, shortGate } from './gates';

beforeEach(() => speak('en'));

function gate(changes: Partial<PlanGate> = {}): PlanGate {
  const seen = { met: 10, looked: 30, pots_on_beds: 900, low: 0.21, high: 0.48, on: '2026-11-16', scouts: ['Orla'] };
  return { line: 'root_cover', at_least: 3, share_bp: 7500, state: 'not_yet', ...seen, ...changes };
}

const said = (changes: Partial<PlanGate> = {}, until = '') =>
  saidGate(gate(changes), cropPlan({ closed_until: until })).join(' ');

test('a closed gate says what was asked, what was seen by whom, and from when the plan counts on the next step', () => {
  expect(said({}, '2026-11-23')).toMatch(
    /^75\s?% of the pots should have root cover 3 or more\. Not yet: too few pots have it\. 10 of 30 pots have it: 21\s?% to 48\s?% of all 900\. Walk of .*16.*, Orla\. So the plan does not count on the next step before .*23/,
  );
});

test('of a large lot the pots are written with a separator', () => {
  expect(said({ pots_on_beds: 1117 })).toContain(' of all 1,117.');
});

test('a gate that nobody looked at has no numbers', () => {
  expect(said({ state: 'not_looked_at', met: 0, looked: 0, low: 0, high: 0, on: '' })).toMatch(
    /root cover 3 or more\. Nobody has looked since this stage began\.$/,
  );
  expect(shortGate(gate({ state: 'not_looked_at', looked: 0 }))).toBe('root cover 3 or more: not looked at');
});

test('a bed without a walk is why a gate is not certain', () => {
  expect(said({ state: 'unsure', unwalked: true })).toContain('also stands on a bed without a finished walk');
});

test('ripe buds are what a person says they are', () => {
  expect(said({ line: 'buds_ready', state: 'open', by_hand: true, on: '2026-12-01' })).toMatch(/^Buds seen ready .*1/);
  expect(said({ line: 'buds_ready', state: 'not_looked_at' })).toMatch(/^Nobody has noted/);
});
