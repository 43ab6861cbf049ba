import { spelling } from '../variety';

/** The help card of each scale, and of the way to the next pot. */
export const help = {
  all: 'Help',
  wayShort: 'way',
  // A step of about 75 cm is common practice, no source.
  way: [
    '“7 rows on · 3rd in”: seven rows farther from the entry end, then the third pot in from the aisle named below.',
    'Diamond: you. Thick ring: this pot. Thin rings: the next pots. Filled dots: done.',
    'Walk in the green strip. The hatched strip is the other aisle: “other side” means go around the end of the bed.',
    'Two steps are about 1.5\u202fm (5\u202fft). Pace a long way, then count the last rows.',
    'No pot there? Tap More, then Skip this pot. Earlier pots lists it, with a way back.',
  ],
  titles: {
    way: 'Finding the next pot',
    head: 'Head size',
    buds: 'Bud count',
    roots: 'Roots',
    leaves: 'Pale leaves',
  },
  head: [
    '1 and 2: two diameters of the head from above, at right angles, the widest first. Ignore single long shoots.',
    '3: the height, from the rim of the pot to the top of the head.',
    spelling(
      'Read to the half centimeter or the quarter inch. One diameter is enough when the head is round.',
      'Read to the half centimetre or the quarter inch. One diameter is enough when the head is round.',
    ),
    '“Usual for this lot” is the median of its pots on this walk; until enough are checked, the last walk’s.',
  ],
  buds: [
    'Count every tip with a bud once, whatever its stage. A tip without a bud is a bare tip and is counted separately.',
    'Turn the pot around once, and count from the rim up.',
  ],
  budStates: {
    tight: spelling('Scales closed, no color showing.', 'Scales closed, no colour showing.'),
    colour: spelling('The scales part, color shows at the tip.', 'The scales part, colour shows at the tip.'),
    candle: 'The petals stand out long and closed, like a candle.',
    open: 'The flower is open.',
  },
  rootsTwo: 'Two separate questions: how much of the root ball is covered, and whether the roots are alive.',
  cover: [
    'No roots on the surface; the mix falls off.',
    'Up to 20\u202f% of the surface.',
    'Up to 40\u202f%.',
    'Up to 60\u202f%.',
    'Up to 80\u202f%.',
    'More than 80\u202f%: the ball holds together.',
  ],
  life: [
    '',
    'All brown and soft, no white tip.',
    'Mostly dead, a few live ones.',
    'About half.',
    'Mostly white or tan, some dead.',
    'White and tan, with white tips all around.',
  ],
  scratchHow: 'Scratch one brown root with your thumbnail.',
  scratch: {
    firm_white: 'Firm, white or cream inside: an old root, alive.',
    soft: 'Soft and wet; the skin slides off and leaves a thread: rot.',
    not_scratched: 'No time, or no brown roots to scratch.',
  },
  leavesTrap:
    'New growth is naturally lighter. Compare it with an old leaf on the same plant: an even, soft, light green on all tips is new flush, not chlorosis.',
  leaves: {
    none: 'Young and old leaves green.',
    young: 'Youngest full leaves pale, with green veins.',
    old: 'Lower leaves pale, young leaves green.',
    whole: 'All leaves pale: check the roots.',
  },
  severity: [
    '',
    'A little paler between the veins.',
    'Clearly pale between the veins.',
    'Very pale, green only along the veins.',
    'Pale, with dry brown edges.',
  ],
};
