/** The clock of a nursery that is in another time zone than this device, and typed times as moments. No part of the first script. */
import { inLanguage } from '.';
import { deviceWall, number, otherClock, type OtherClock } from './format';

const english = {
  there: (when: string) => `${when} nursery time`,
  earlier: (hours: string) => `Times are the nursery’s: ${hours} h earlier than on this device.`,
  later: (hours: string) => `Times are the nursery’s: ${hours} h later than on this device.`,
};

const spanish: typeof english = {
  there: (when) => `${when}, hora del vivero`,
  earlier: (hours) => `Las horas son las del vivero: ${hours} h menos que en este dispositivo.`,
  later: (hours) => `Las horas son las del vivero: ${hours} h más que en este dispositivo.`,
};

const words = inLanguage(english, spanish);

/** @returns undefined for a zone that this browser does not know */
export function clockOf(zone: string): OtherClock | undefined {
  try {
    aheadIn(zone, 0);
  } catch {
    return undefined;
  }
  const wall = (ms: number) => ms + aheadIn(zone, ms);
  const differs = (ms: number) => Math.round((wall(ms) - deviceWall(ms)) / 60_000) / 60;
  return {
    zone,
    wall,
    // The second look is for a moment near a change of the clocks.
    momentAt: (at) => at - aheadIn(zone, at - aheadIn(zone, at)),
    there: (when, ms) => (differs(ms) === 0 ? when : words.value.there(when)),
    note: (now) => {
      const hours = differs(now);
      if (hours === 0) return '';
      const said = number(Math.abs(hours), hours % 1 === 0 ? 0 : 2);
      return hours < 0 ? words.value.earlier(said) : words.value.later(said);
    },
  };
}

/** The moment at which the nursery's clocks show that, whichever zone they are in. */
export function momentAt(wall: number): number {
  if (otherClock.value) return otherClock.value.momentAt(wall);
  return new Date(new Date(wall).toISOString().slice(0, -1)).getTime();
}

/** A day and a time of day on the nursery's clocks, ms since 1970; undefined where they make none. */
export function momentOf(day: string, time: string): number | undefined {
  const wall = Date.parse(`${day}T${time}Z`);
  return Number.isNaN(wall) ? undefined : momentAt(wall);
}

const formats = new Map<string, Intl.DateTimeFormat>();

/** How far a zone is ahead of UTC at a moment, in milliseconds. Throws a RangeError for a zone that this browser does not know. */
export function aheadIn(timeZone: string, at: number): number {
  let format = formats.get(timeZone);
  if (!format) {
    format = new Intl.DateTimeFormat('en-US', {
      timeZone,
      hourCycle: 'h23',
      year: 'numeric',
      month: 'numeric',
      day: 'numeric',
      hour: 'numeric',
      minute: 'numeric',
      second: 'numeric',
    });
    formats.set(timeZone, format);
  }
  const parts = format.formatToParts(at);
  const part = (type: string) => Number(parts.find((each) => each.type === type)?.value);
  const wall = Date.UTC(part('year'), part('month') - 1, part('day'), part('hour'), part('minute'), part('second'));
  return wall - Math.floor(at / 1000) * 1000;
}
