/** What can hurt at work: a line beside its sign, and the whole of it. */

/** Each caution in a line beside its sign; a tap opens the whole of it. */
export const signs = {
  label: 'The label is the law',
  gear: 'Gloves and eye protection',
  licence: 'Trained people only',
  sum: 'Only math, no advice',
  second: 'A second person checks',
  entry: 'Keep out during the REI',
  cooler: 'Never alone in the cooler',
  heat: 'Heat: water, shade, rest',
  lifting: 'Wet pots are heavy',
  blades: 'Cut away from your hand',
  peat: 'Peat: dust mask and gloves',
  disease: 'Disease: hold and look',
  electricity: 'Water and electricity',
};

export const hazards = {
  title: 'Caution',
  cooler:
    'In the cooler: never work alone; know the way out and the inside release. Leave at once if you hear an alarm, smell something sharp or get a headache. No engines and no ripening fruit inside: gases collect, and buds drop.',
  heat: 'Heat: drink water every 15 to 20 minutes, rest in the shade, watch out for each other. If someone is confused, staggers or faints, treat it as an emergency: cool the person and call for help.',
  lifting:
    'Lifting: wet pots weigh far more than dry ones. Carry fewer at a time, use a cart, bend your knees, get a second person.',
  peat: 'Potting mix and peat: wear a dust mask and gloves, keep the mix damp, cover cuts, and wash your hands and arms when you are done.',
  blades: 'Knives and shears: wear eye protection, cut away from your hand, clean the blades between beds.',
  disease:
    'If a disease that must be reported may be in it: hold the pots where they are and take a photo. Do not move them, and do not put them on the compost or a heap near stock. Ask the plant health authority; its rules and local rules decide. Otherwise bag them, and take them away from the houses.',
  electricity:
    'Water and electricity: pumps, timers and valves stand in the spray. Only qualified people open them, after the power is locked out. Keep cords and boxes out of the wet; local electrical rules decide.',
};
