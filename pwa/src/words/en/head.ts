/** A head measured in a photo, and the card for it. */
export const head = {
  title: 'Head size from a photo',
  open: 'Head size from a photo',
  steps: [
    'Lay the printed card flat on top of the head.',
    'Hold the phone level, straight above, about 60\u202fcm (2\u202fft) over the card.',
    'Take the whole head with the phone’s own camera, without zoom.',
  ],
  drop: 'From the card down to the widest leaves',
  dropNote: 'Measure it at the side of the plant.',
  bar: (print: string) => `Length of the bar printed with card ${print}`,
  barNote:
    'Measure it once with a ruler: printers often change the size. The phone keeps it for all cards of this printing.',
  barWrong: (low: string, high: string) => `The bar: enter a number from ${low} to ${high} mm, as the ruler shows.`,
  reading: 'Looking for the card…',
  tapFirst: 'Tap one edge of the head, where its leaves are widest.',
  tapOther: 'Now tap the edge across from it.',
  fine: 'Drag a mark to move it. With a keyboard: arrow keys.',
  edge: ['First edge', 'Edge across'],
  photo: 'The photo',
  about: (size: string, within: string) => `About ${size} ± ${within}`,
  isEstimate:
    'An estimate from this photo, kept with it. It does not answer “Head”, and uniformity, grades and promises do not use it.',
  needDrop: 'Enter how far down the widest leaves are.',
  needBar: (print: string) => `Enter how long the bar printed with card ${print} is.`,
  saved: (size: string, within: string) => `Photo saved, head about ${size} ± ${within}.`,
  fact: (size: string, within: string) => `head about ${size} ± ${within}, estimated from this photo`,
  inTable: (size: string, within: string) => `photo: ${size} ± ${within}`,
  photoOnly: (count: number) =>
    count === 1
      ? 'The head of 1 pot was only estimated from a photo. Uniformity, grades and promises do not use it.'
      : `The heads of ${count} pots were only estimated from photos. Uniformity, grades and promises do not use them.`,
  refused: {
    unreadable: 'This file could not be read as a picture. Take it again, or choose a JPEG.',
    noReader: 'The code reader is not on this phone yet. Come into range once.',
    noFocal:
      'This picture doesn’t say which lens took it. Take it with the phone’s own camera app; a screenshot or a picture from a chat won’t do.',
    zoomed: 'This picture was taken with zoom. Take it again without.',
    form: 'This picture is not 4:3, so the camera cut it, and a size from it could be too far off. In the camera app set the photo’s aspect ratio to 4:3 (also written 3:4) and take it again.',
    cropped: 'This picture was cropped after it was taken. Choose the original, or take it again.',
    noCard:
      'No head card found in this picture. Lay the card face up on the head, all of it in view, and take it again.',
    small: 'The card is too small in the picture. Go closer, about 60\u202fcm (2\u202fft) over it.',
    unclear: 'The card can’t be made out well. Wipe it, hold the phone still, keep shadows off it, and take it again.',
    bent: 'The card is not flat. Use stiff card, lay it flat, and take it again.',
    tilted: 'The phone was not level over the card. Hold it level, straight above, and take it again.',
    outside: 'One edge lies outside the picture. Take it again with the whole head in it.',
    far: 'The phone was too far away to tell. Hold it about 60\u202fcm (2\u202fft) over the card and take it again.',
    mirrored: 'This picture is mirrored. Take it with the camera on the phone’s back.',
    wide: 'Not kept: it could be more than 6 % off. Check both edges and lay the card in the middle of the head. For a small head use a ruler.',
  },
  card: {
    choose: 'What to print',
    tags: 'Tags for lots',
    cards: 'Cards for head photos',
    intro:
      'Print on stiff paper and cut the cards out. A card lies on a head while you take its photo, and its code shows how large everything is.',
    measure:
      'Printers often shrink a page by a few percent. Measure the bar with a ruler; the phone asks for its length once.',
    sheet: 'Sheet of cards',
    bar: (mm: string, print: string) => `This bar is meant to be ${mm} mm long. Printing ${print}.`,
    name: (print: string) => `Head card ${print}`,
    lay: 'Lay flat on the head, face up.',
  },
};
