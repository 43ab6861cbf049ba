/** What a sheet is read against: the nursery as it is, and the reader's own units. */
import { computed } from '@preact/signals';
import { beds, houses, lots, spans } from '../../../journal/records/registers';
import { settings } from '../../../state';
import type { Units } from './asked';
import type { There } from './reading';

export const there = computed<There>(() => ({
  houses: [...houses.value.values()],
  beds: [...beds.value.values()],
  lots: [...lots.value.values()],
  spans: [...spans.value.values()],
}));

export function sheetUnits(): Units {
  return settings.value.units.length === 'in' ? { long: 'ft', short: 'in' } : { long: 'm', short: 'cm' };
}
