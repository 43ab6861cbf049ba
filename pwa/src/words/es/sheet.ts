import { counter, some, written } from '../plural';
import type { sheet as english } from '../en/sheet';

const houses = counter('es', { one: 'nave', other: 'naves' });
const beds = counter('es', { one: 'cama', other: 'camas' });
const lots = counter('es', { one: 'lote', other: 'lotes' });
const rows = counter('es', { one: 'fila', other: 'filas' });
const lines = counter('es', { one: 'hilera', other: 'hileras' });

export const sheet = {
  title: 'Traer camas y lotes',
  open: 'Traer camas y lotes',
  from: 'Desde una hoja de cálculo',
  intro:
    'Use una hoja que ya tiene o haga una ahora. Una fila por cada lote en una cama; una cama sin lote lleva su propia fila. La primera fila nombra las columnas, en cualquier orden.',
  needed:
    'Una cama nueva necesita nave, nombre, largo, ancho, hileras a lo largo y macetas a lo ancho. Un lote necesita etiqueta, cultivo, variedad, tamaño de maceta y cantidad de macetas; sin primera y última hilera ocupa toda la cama. Lo demás es opcional. Si nadie sabe un valor, mejor déjelo vacío que adivinarlo. El lado cercano de una cama es el que queda a la derecha al caminar desde la entrada; las macetas a lo ancho se cuentan desde ahí.',
  again: 'Las camas que ya existen quedan como están, y un lote que ya existe no se agrega dos veces.',
  template: 'Descargar una hoja vacía',
  templateName: 'camas y lotes.csv',
  file: 'Elegir un archivo CSV o XLSX',
  reading: 'Leyendo el archivo…',
  pasted: 'Hoja pegada',
  whichSheet: 'Hoja del libro',
  chooseSheet: 'elegir',
  fileProblem: {
    large: (most: string) =>
      `El archivo es demasiado grande: como máximo ${most}, y 100 MB desempacado. Guarde solo la hoja que necesita, sin fotos ni filas vacías, y elija ese archivo.`,
    old: () =>
      'Es un archivo .xls antiguo, o tiene contraseña. Ábralo en su programa y guárdelo como .xlsx sin contraseña.',
    other: () => 'No es una tabla que Bedwalk pueda leer. Ábrala en su programa y guárdela como .xlsx o CSV.',
    damaged: () =>
      'No se puede leer el libro. Ábralo en su programa, guárdelo otra vez como .xlsx o CSV, y elija el archivo nuevo.',
    slow: () =>
      'La lectura tardó más de 30 segundos y se detuvo. Guarde solo la hoja que necesita como CSV, y elija ese archivo.',
    empty: () => 'El archivo está vacío. Elija el archivo donde están las filas.',
    gone: () => 'No se puede leer el archivo. ¿Lo movieron o lo borraron? Elíjalo otra vez.',
  },
  match: 'Qué son estas columnas',
  columnIs: (at: number, written: string) =>
    written === '' ? `Columna ${at}, sin título` : `Columna ${at}, «${written}»`,
  leftOut: 'no usar',
  order: 'Fechas como 3/4/2026: ¿cuál número es el día?',
  dayFirst: 'el primero (día/mes)',
  monthFirst: 'el segundo (mes/día)',
  bothOrders:
    'Algunas fechas solo pueden ser día/mes y otras solo mes/día, así que no se lee ninguna. En la hoja, escríbalas todas como 2026-03-14.',
  mixed: (row: number) =>
    `La fila ${row} está separada con otros signos que los títulos, y no se distinguen sus celdas. Guarde la hoja otra vez desde su programa, con un solo separador en todas las filas.`,
  tooMany: (most: string) =>
    `La hoja tiene más de ${most} filas, lo máximo que se lee de una vez. Borre las filas vacías, o divídala en varias hojas.`,
  leaveOut: (n: number) => (n === 1 ? 'Dejar fuera esta fila' : `Dejar fuera estas ${written('es', n)} filas`),
  more: (n: number) => `Sin mostrar aquí: ${rows(n)} más.`,
  imports: 'Lo que ya se trajo',
  importsNote: 'Deshacer tacha todo lo que agregó una hoja, mientras no se haya anotado nada sobre eso.',
  undoImport: 'Deshacer',
  undone: 'Se tachó todo lo que agregó.',
  undoSince: (n: number) =>
    `No se deshizo: después se ${n === 1 ? 'hizo 1 nota' : `hicieron ${n} notas`} sobre lo que agregó, y se quedarían sin su lote o cama. Mejor corrija o dé de baja lotes y camas sueltos.`,
  undoPart:
    'No se deshizo: todavía no están todas las notas en este aparato. Espere a que lleguen los registros e intente otra vez.',
  paste: 'O copie las celdas, con los títulos, y péguelas aquí',
  oneLot: 'O agregar un solo lote',
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
    `Lo nuevo: ${some([houses, h], [beds, b])}${l === 0 ? '' : `${h + b > 0 ? ', ' : ''}${lots(l)} con ${pots} macetas`}.`,
  sumNone: 'En la hoja no hay nada nuevo.',
  wrong: (n: number) =>
    n === 1
      ? 'Una fila tiene un error. Corríjala arriba o en la hoja de cálculo, o déjela fuera.'
      : `${rows(n)} tienen errores. Corríjalas arriba o en la hoja de cálculo, o déjelas fuera.`,
  lacking: (headings: string) => `Faltan columnas: ${headings}. ¿La primera fila tiene los títulos?`,
  lackingSome: (headings: string) =>
    `Faltan columnas: ${headings}. Agréguelas a la hoja, o elija arriba qué columnas son.`,
  twice: (headings: string) =>
    `Títulos repetidos: ${headings}. De cada uno se lee la primera columna; elija abajo si es otra.`,
  noRows: 'No hay ninguna fila debajo de los títulos.',
  put: 'Agregar',
  done: (b: number, l: number) => `Se agregó: ${some([beds, b], [lots, l])}.`,

  nursery: 'Nombre del vivero',
  zone: 'Zona horaria',
  zoneNone: 'sin poner',
  zoneNote:
    'Los días entre recorridos se cuentan desde la medianoche en la zona horaria del vivero, aquí y en cada teléfono.',
  nurserySave: 'Guardar nombre y zona horaria',
  nurserySaved: 'Guardado.',
  nurseryMissing: 'El nombre está vacío. Escriba cómo lo llama la gente, con 80 letras como máximo.',

  heading: {
    buyer: 'comprador',
    grade: 'grado',
    price: 'precio de una maceta',
    order: 'número de pedido',
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
    formula: (name: string, typed: string) =>
      `${name}: «${typed}» es una fórmula sin resultado. Ponga su valor en la celda, o guarde la hoja con valores.`,
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
