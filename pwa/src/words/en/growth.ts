import { counter } from '../plural';

const walks = counter('en', { one: 'walk', other: 'walks' });

export const growth = {
  axis: (unit: string) => `mean head, ${unit}`,
  title: 'Head size since the last pinch',
  noPinch:
    'Nobody has noted a pinch or clip of this lot, so its growth has no start. Note it as work done, with its day.',
  noWalks: (since: string) =>
    `No walk since the last pinch or clip (${since}) measured enough heads. Measure at least 5 of this lot’s pots on a walk.`,
  caption: (count: number, since: string) =>
    `${walks(count)} since the last pinch or clip, ${since}. Each mark is a walk’s mean head with its 90\u202f% interval. Dashed: the fit, with its own.`,
  captionBare: (count: number, since: string) =>
    `${walks(count)} since the last pinch or clip, ${since}. Each mark is a walk’s mean head with its 90\u202f% interval.`,
  none: 'At least 3 walks are needed to say how fast it grows.',
  curves: (count: number) =>
    `Rests on ${walks(count)}: two growth curves, logistic and Gompertz. The 90\u202f% interval covers both.`,
  line: (count: number, why: string) =>
    `Too early for a curve (${why}): a straight line through the last ${walks(count)}, with its 90\u202f% interval. Growth slows down in time; a line does not.`,
  lineForLack: (count: number, why: string) =>
    `No curve (${why}): a straight line through the last ${walks(count)}, with its 90\u202f% interval. Growth slows down in time; a line does not.`,
  why: {
    points: 'fewer than 5 walks',
    fit: 'no growth curve fits these walks',
    asymptote: 'the final size is still too uncertain',
    below: 'the walks already exceed the final size of a curve',
    half: 'less than half of the growth is seen',
  },
  band: (grade: string, low: string, high: string) =>
    `The band is that of the grade ${grade}: heads of ${low} to ${high}.`,
  bandFrom: (grade: string, low: string) => `The band is that of the grade ${grade}: heads of ${low} or more.`,
  bandTo: (grade: string, high: string) => `The band is that of the grade ${grade}: heads up to ${high}.`,
  noBand: 'No grade for its pot size asks a head size, so there is no band to compare with. Set grades under Crops.',
  reaches: (size: string, from: string, to: string) =>
    `At this pace the mean head reaches ${size} between ${from} and ${to}.`,
  passes: (size: string, from: string, to: string) =>
    `At this pace it passes the band (${size}) between ${from} and ${to}.`,
  reachesOpen: (size: string, from: string) =>
    `At this pace the mean head reaches ${size} on ${from} at the earliest. How late it may get, or whether at all, is too uncertain to say.`,
  reachesNever: (size: string) => `At this pace the mean head does not reach ${size}.`,
  reached: (size: string, on: string) => `By the fit the mean head reached ${size} by ${on}.`,
  window:
    'The usual window for the growth regulator is before it passes the band (common practice, no source). The label decides.',
  put: (on: string) => `The growth regulator went on ${on}. Walks before and after it are fitted together.`,
  ship: (on: string, size: string, low: string, high: string) =>
    `On ${on}, when it must be ready, the mean head is likely ${size} (${low} to ${high}).`,
  target: {
    behind: 'Shaded behind: the target band set under Crops.',
    seen: (on: string, dayNo: number, mean: string, low: string, high: string) =>
      `On the last walk (${on}, day ${dayNo} after the pinch or clip) the mean head was ${mean} (${low} to ${high})`,
    inside: (seen: string, low: string, high: string) =>
      `${seen}: inside the target band for that day, ${low} to ${high}.`,
    below: (seen: string, by: string, low: string, high: string) =>
      `${seen}: ${by} below the target band for that day, ${low} to ${high}.`,
    above: (seen: string, by: string, low: string, high: string) =>
      `${seen}: ${by} above the target band for that day, ${low} to ${high}.`,
    unsure: (seen: string, low: string, high: string) =>
      `${seen}. The target band for that day is ${low} to ${high}; the interval reaches over its edge, so nobody can say yet whether the mean head is inside.`,
    noDay: (seen: string, first: number, last: number) =>
      `${seen}. The target band runs from day ${first} to day ${last} only, so there is nothing to compare it with.`,
    oneDay: (seen: string, only: number) =>
      `${seen}. The target band has day ${only} only, so there is nothing to compare it with.`,
    row: (dayNo: number, low: string, high: string) => `day ${dayNo}, ${low} to ${high}`,
    rows: (size: string | undefined, each: string) =>
      `Target band${size === undefined ? '' : ` for ${size} pots`}, by days since the last pinch or clip: ${each}.`,
  },
  table: { walk: 'Walk', scout: 'Scout', pots: 'Heads', mean: 'Mean head' },
  mean: (size: string, low: string, high: string) => `${size} (${low} to ${high})`,
  fit: 'fit',
  walks: 'walks',
  name: (count: number, first: string, last: string) => `Mean head on ${walks(count)}: ${first} to ${last}`,
};
