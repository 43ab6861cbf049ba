/** A lot's time in the cooler in words. */
import type { ColdHours, CooledLot, CoolerSpot } from '../../../../../schema/types';
import { dateTime, day, number, shipWeek, temperature } from '../../../words/format';
import { word } from '../../../words/entry';
import { supervisorWords } from '../../../words/supervisor';

export function saidDays(lot: CooledLot): string[] {
  const words = supervisorWords.value.cooler;
  const { counted, flagged } = lot;
  if (counted === undefined || flagged === undefined) {
    return [words.noneCount(lot.days), ...(lot.out === '' ? [words.notReady] : [])];
  }
  const [, likely] = lot.stage ?? [];
  return [
    flagged === 0 ? words.allCount(lot.days) : words.someCount(counted, flagged),
    ...(likely === undefined ? [] : [words.wanted(counted, likely, word(words.standing, lot.standing))]),
    words.ready(day(lot.ready)),
  ];
}

export function spotName(spot: CoolerSpot): string {
  const words = supervisorWords.value.cooler;
  return spot.by_hand ? words.hand : words.spot(spot.spot);
}

/** Hours in the band at one spot: from what was read to what is possible, and what they rest on. */
export function saidHours(hours: ColdHours, spot: CoolerSpot): string[] {
  const words = supervisorWords.value.cooler;
  // Down for what is sure and up for what is possible: the span must not promise more than it knows.
  const span = words.hours(number(Math.floor(hours.in_band)), number(Math.ceil(hours.in_band + hours.gap)));
  return [
    span,
    hours.gap < 0.05 ? words.allRead : words.unread(rounded(hours.gap), longest(hours), dateTime(hours.gap_from_ms)),
    ...(hours.below > 0 ? [words.colder(rounded(hours.below))] : []),
    ...(hours.above > 0 ? [words.warmer(rounded(hours.above))] : []),
    spot.by_hand ? words.estimated(hours.readings) : words.rests(hours.readings),
  ];
}

/** '' where there is but one gap, whose length is said already. */
function longest(hours: ColdHours): string {
  return hours.gap - hours.longest_gap < 0.05 ? '' : rounded(hours.longest_gap);
}

export function rounded(hours: number): string {
  return number(hours, hours < 10 && !Number.isInteger(hours) ? 1 : 0);
}

export function saidHeat(hours: ColdHours): string {
  const words = supervisorWords.value.cooler;
  if (hours.mean === undefined) return words.nothingRead;
  return words.mean(temperature(hours.mean * 10), temperature(hours.low_dc), temperature(hours.high_dc));
}

/** The spots of a cooler where something was read of a lot's time, with what was. */
export function readOf(lot: CooledLot, spots: readonly CoolerSpot[]): { spot: CoolerSpot; hours: ColdHours }[] {
  return spots.flatMap((spot, i) => {
    const hours = lot.spots[i];
    return hours && hours.readings > 0 ? [{ spot, hours }] : [];
  });
}

/** When a lot has to leave the cooler; that it has left, where it has. */
export function saidOut(lot: CooledLot): string[] {
  const words = supervisorWords.value.cooler;
  if (lot.out !== '') return [words.isOut(day(lot.out))];
  const inTime = [
    ...(lot.latest50 === '' ? [] : [words.likely(day(lot.latest50))]),
    ...(lot.latest90 === '' ? [] : [words.safe(day(lot.latest90))]),
    lot.ship_week === '' ? words.noWeek : words.forWeek(shipWeek(lot.ship_week)),
  ];
  const most = words.most(day(lot.most_on));
  // What comes first decides, and stands first.
  return lot.latest50 === '' || lot.most_on < lot.latest50 ? [most, ...inTime] : [...inTime, most];
}
