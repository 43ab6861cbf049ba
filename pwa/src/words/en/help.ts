/** The help card of each scale. */
export const help = {
  all: 'Scales',
  titles: { head: 'Head size', buds: 'Bud count', roots: 'Roots', leaves: 'Pale leaves' },
  head: [
    '1 and 2: two diameters of the head from above, at right angles. The widest first. Leave out single long shoots.',
    '3: the height, from the rim of the pot to the top of the head.',
    'Read to the half centimetre or the quarter inch. One diameter is enough when the head is round.',
  ],
  buds: [
    'Count every tip with a bud, once, whatever its state. A tip without a bud is a bare tip, counted apart.',
    'Turn the pot once round, and count from the rim upward.',
  ],
  budStates: {
    tight: 'Scales closed, no colour to see.',
    colour: 'The scales part, colour shows at the tip.',
    candle: 'The petals stand out long and closed, like a candle.',
    open: 'The flower is open.',
  },
  rootsTwo: 'Two questions, never one: how far the roots have filled the ball, and whether they are alive.',
  cover: [
    'No root holds the surface; the mix falls off.',
    'Up to a fifth of the surface.',
    'Up to two fifths.',
    'Up to three fifths.',
    'Up to four fifths.',
    'More than four fifths: the ball holds together.',
  ],
  life: [
    '',
    'All brown and soft, no white tip.',
    'Mostly dead, a few live ones.',
    'About half.',
    'Mostly white or tan, some dead.',
    'White and tan, white tips all round.',
  ],
  scratchHow: 'Scrape one brown root with the thumbnail.',
  scratch: {
    firm_white: 'Firm, white or cream inside: an old root, alive.',
    soft: 'Soft and wet, the sleeve slips off a thread: rot.',
    not_scratched: 'No time, or nothing brown to scratch.',
  },
  leavesTrap:
    'New growth is naturally lighter. Compare it with an old leaf of the same plant: even, soft light green on all tips is new flush, not chlorosis.',
  leaves: {
    none: 'Young and old leaves green.',
    young: 'Youngest full leaves pale, their veins green.',
    old: 'Lower leaves pale, the young ones green.',
    whole: 'All leaves pale: look at the roots.',
  },
  severity: [
    '',
    'A little paler between the veins.',
    'Clearly pale between the veins.',
    'Strongly pale, green only along the veins.',
    'Pale, with brown dry edges.',
  ],
};
