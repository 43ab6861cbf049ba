import { counter } from '../plural';
import type { sheet as english } from '../en/sheet';

const houses = counter('es', { one: 'nave', other: 'naves' });
const beds = counter('es', { one: 'cama', other: 'camas' });
const lots = counter('es', { one: 'lote', other: 'lotes' });
const rows = counter('es', { one: 'fila', other: 'filas' });
const lines = counter('es', { one: 'hilera', other: 'hileras' });

export const sheet = {
  title: 'Agregar camas y lotes',
  open: 'Agregar camas y lotes',
  from: 'Desde una hoja de cálculo',
  intro:
    'Use una hoja que ya tiene o haga una ahora. Una fila por cada lote en una cama; una cama sin lote lleva su propia fila. La primera fila nombra las columnas, en cualquier orden.',
  needed:
    'Una cama nueva necesita nave, nombre, largo, ancho, hileras a lo largo y macetas a lo ancho. Un lote necesita etiqueta, cultivo, variedad, tamaño de maceta y cantidad de macetas; sin primera y última hilera ocupa toda la cama. Lo demás es opcional. Si nadie sabe un valor, mejor déjelo vacío que adivinarlo. El lado cercano de una cama es el que queda a la derecha al caminar desde la entrada; las macetas a lo ancho se cuentan desde ahí.',
  again: 'Las camas que ya existen quedan como están, y un lote que ya existe no se agrega dos veces.',
  template: 'Descargar una hoja vacía',
  templateName: 'camas y lotes.csv',
  file: 'Elegir un archivo CSV',
  paste: 'O copie las celdas, con los títulos, y péguelas aquí',
  clear: 'Empezar de nuevo',
  example: {
    house: 'Garza',
    bed: 'G1',
    entry: 'puerta',
    far: 'ventilador',
    near: 'lado del paso',
    beyond: 'lado de la pared',
    crop: 'azalea de florista',
  },

  preview: 'Qué agrega cada fila',
  row: 'Fila',
  rowOf: (row: number, place: string) => (place === '' ? `Fila ${row}:` : `Fila ${row}, ${place}:`),
  adds: 'Agrega',
  add: { house: 'la nave', bed: 'la cama', lot: 'el lote', stretch: 'su lugar en la cama' },
  addsNothing: 'nada nuevo',
  sum: (h: number, b: number, l: number, pots: string) =>
    `Lo nuevo: ${houses(h)}, ${beds(b)}, ${lots(l)} con ${pots} macetas.`,
  sumNone: 'En la hoja no hay nada nuevo.',
  wrong: (n: number) =>
    n === 1
      ? 'Una fila tiene un error. Corríjala aquí o en la hoja de cálculo; ya puede agregar las otras.'
      : `${rows(n)} tienen errores. Corríjalas aquí o en la hoja de cálculo; ya puede agregar las otras.`,
  lacking: (headings: string) => `Faltan columnas: ${headings}. ¿La primera fila tiene los títulos?`,
  others: (headings: string) => `Columnas que no se usan porque Bedwalk no las conoce: ${headings}.`,
  twice: (headings: string) => `Columnas repetidas; vale la primera: ${headings}.`,
  noRows: 'No hay ninguna fila debajo de los títulos.',
  put: 'Agregar',
  done: (b: number, l: number) => `Se agregó: ${beds(b)} y ${lots(l)}.`,
  failed: 'No se agregó: este aparato no pudo guardarlo. Libere espacio e intente otra vez; la hoja sigue aquí.',

  nursery: 'Nombre del vivero',
  zone: 'Zona horaria',
  zoneNone: 'sin poner',
  zoneNote:
    'Los días entre recorridos se cuentan desde la medianoche en la zona horaria del vivero, aquí y en cada teléfono.',
  nurserySave: 'Guardar nombre y zona horaria',
  nurserySaved: 'Guardado.',
  nurseryMissing: 'El nombre está vacío. Escriba cómo lo llama la gente, con 80 letras como máximo.',

  heading: {
    house: 'nave',
    bed: 'cama',
    length: 'largo',
    width: 'ancho',
    rows: 'hileras',
    across: 'macetas a lo ancho',
    entry: 'entrada',
    far: 'fondo',
    near: 'lado cercano',
    beyond: 'lado lejano',
    lot: 'lote',
    crop: 'cultivo',
    cultivar: 'variedad',
    pot: 'maceta',
    pots: 'macetas',
    from: 'primera hilera',
    to: 'última hilera',
    struck: 'esqueje puesto',
    potted: 'enmacetado',
    ship: 'semana de embarque',
  },
  problem: {
    noLength: (name: string, typed: string) =>
      `${name}: «${typed}» no es una medida. Solo cifras, y la unidad en el título.`,
    noDay: (name: string, typed: string) =>
      `${name}: «${typed}» no es un día que se lea de una sola manera. Escríbalo como 2026-03-14.`,
    noWeek: (name: string, typed: string) =>
      `${name}: «${typed}» no es una semana. Escriba año y semana como 2027-W04.`,
    lotThere: (tag: string) => `El lote ${tag} ya existe. Ponga otra etiqueta, o anote un traslado en el teléfono.`,
    otherLot: (tag: string, said: string, row: number, first: number, kept: string) =>
      `Lote ${tag}: la fila ${row} tiene ${said}, pero la fila ${first} ${kept === '' ? 'lo deja vacío' : `tiene ${kept}`}. Ponga otra etiqueta a uno, o escriba lo mismo en los dos.`,
    before: 'Enmacetado antes de poner el esqueje. Revise los dos días.',
    past: (to: number, last: number) => `La última hilera ${to} pasa el final de la cama, que tiene ${lines(last)}.`,
    turned: (from: number, to: number) => `La última hilera ${to} viene antes de la primera, ${from}.`,
    taken: (from: number, to: number, lot: string) =>
      `Las hileras ${from} a ${to} son del lote ${lot}. Ponga primera y última hilera de cada uno.`,
    crowded: (pots: number, places: number) =>
      `${pots} macetas no caben: esas hileras tienen ${places} lugares. Revise macetas, hileras y ancho.`,
  },
} satisfies typeof english;
