import { inLanguage } from '..';
import { guide as english } from '../en/guide';
import { counter } from '../plural';

const rows = counter('es', { one: 'hilera', other: 'hileras' });
const more = (count: number) => (count === 1 ? 'una maceta más' : `unas ${count} macetas más`);
/** What a crew calls an end in its own words has no gender that is known here. */
const the = (end: string) => (end === 'entrada' ? 'la entrada' : end === 'fondo' ? 'el fondo' : `«${end}»`);

export const guide = {
  place: (row: number, nth: number, from: string) => `hilera ${row}, ${nth}.ª desde ${from}`,
  rowOnly: (row: number) => `hilera ${row}`,
  rowColumn: 'hilera',
  named: (name: string) => (/^lado\b/i.test(name) ? `el ${name}` : `el lado «${name}»`),
  nearSide: 'el lado cercano',
  aisle: 'el pasillo',
  onTheRight: (entry: string) => `la derecha, vista desde ${the(entry)}`,
  onTheLeft: (entry: string) => `la izquierda, vista desde ${the(entry)}`,
  entry: 'entrada',
  farEnd: 'fondo',
  noPlaceNoted: 'En otro lugar',
  acrossFrom: (from: string) => `Contada desde ${from}`,

  on: (count: number) => `${rows(count)} adelante`,
  back: (count: number, entry: string) => `${rows(count)} hacia ${the(entry)}`,
  same: 'Misma hilera',
  row: (row: number) => `Hilera ${row}`,
  rowFromFar: (row: number, far: string) => `Hilera ${row} desde ${the(far)}`,
  way: (along: string, nth: number) => `${along} · ${nth}.ª`,
  inFrom: (nth: number, side: string) => `${nth}.ª desde ${side}`,
  from: (side: string) => `desde ${side}`,
  lot: (tag: string) => `etiqueta ${tag}`,
  rowAt: (row: number, distance: string, entry: string) => `hilera ${row} · a ${distance} de ${the(entry)}`,
  rowOn: (row: number, distance: string) => `hilera ${row} · ${distance} adelante`,
  rowBack: (row: number, distance: string) => `hilera ${row} · a ${distance} de aquí`,
  otherSide: 'otro lado',
  otherLot: 'otro lote',
  you: 'usted',
  right: 'pasillo derecho',
  left: 'pasillo izquierdo',
  onlyAisle: 'pasillo',
  noPlace: 'Sin maceta elegida',
  noPlaceHow: 'Toque Más y luego Otra maceta para decir dónde está.',
  enough: 'Ya son suficientes macetas',
  enoughHow: 'Toque Más y luego Terminar el recorrido. O toque Otra maceta para agregar una.',
  wayOf: (bed: string, way: string) => `${bed}: ${way}`,

  bare: 'sin botón',
  notApplied: 'sin aplicar',
  nothingToUndo: 'No queda nada por deshacer.',
  undoneHere: (last: number) => `Aquí no queda nada por deshacer. Toque otra vez para corregir la maceta ${last}.`,
  correctPot: (pot: number) => `Corregir maceta ${pot}`,
  wasIs: (trait: string, was: string, is: string) => `${trait}: antes ${was}, ahora ${is}`,
  moreNow: (count: number) => `Ahora ${more(count)}`,
  moreForRot: (count: number) => `Hay pudrición: ${more(count)}`,
  moreForPale: (count: number) => `Hojas pálidas: ${more(count)}`,
  moreForSpread: (count: number) => `Más disparejo: ${more(count)}`,
  mayNeedForRot: 'Hay pudrición: quizá más macetas',
  mayNeedForPale: 'Hojas pálidas: quizá más macetas',
  fewerDecided: (count: number) => `Problema seguro: unas ${count} más`,
  fewerSound: (count: number) => `Últimas sanas: unas ${count} más`,
  fewerSure: (count: number) => `Ya hay más certeza: unas ${count} más`,
} satisfies typeof english;

export const guideWords = inLanguage(english, guide);
