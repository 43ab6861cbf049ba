/** The headings that a sheet of beds and lots, or one of bookings, may have, in both languages. */

export type Heading = (typeof headings)[number]['heading'] | (typeof ofBooking)[number]['heading'];

export interface Known {
  heading: Heading;
  names: readonly string[];
}

/** names are compared without case, accents and marks, and without the unit at the end. */
export const headings = [
  { heading: 'house', names: ['house', 'greenhouse', 'casa', 'nave', 'invernadero'], of: 'bed' },
  { heading: 'bed', names: ['bed', 'bench', 'cama', 'cantero', 'mesa'], of: 'bed' },
  { heading: 'length', names: ['length', 'largo'], of: 'bed' },
  { heading: 'width', names: ['width', 'ancho'], of: 'bed' },
  { heading: 'rows', names: ['rows', 'hileras', 'filas'], of: 'bed' },
  { heading: 'across', names: ['across', 'pots across', 'a lo ancho', 'macetas a lo ancho'], of: 'bed' },
  { heading: 'entry', names: ['entry', 'entry end', 'entrada'], of: 'bed' },
  { heading: 'far', names: ['far', 'far end', 'fondo'], of: 'bed' },
  { heading: 'near', names: ['near side', 'near', 'lado cercano'], of: 'bed' },
  { heading: 'beyond', names: ['far side', 'lado lejano'], of: 'bed' },
  { heading: 'lot', names: ['lot', 'tag', 'lote', 'etiqueta'], of: 'lot' },
  { heading: 'crop', names: ['crop', 'cultivo'], of: 'lot' },
  { heading: 'cultivar', names: ['cultivar', 'variety', 'variedad'], of: 'lot' },
  { heading: 'pot', names: ['pot', 'pot size', 'maceta'], of: 'lot' },
  { heading: 'pots', names: ['pots', 'count', 'macetas', 'cantidad'], of: 'lot' },
  { heading: 'from', names: ['from', 'from row', 'first row', 'desde', 'desde hilera', 'primera hilera'], of: 'lot' },
  { heading: 'to', names: ['to', 'to row', 'last row', 'hasta', 'hasta hilera', 'ultima hilera'], of: 'lot' },
  {
    heading: 'struck',
    names: [
      'struck',
      'stuck',
      'struck on',
      'esqueje puesto',
      'esqueje puesto el',
      'clavado',
      'clavado el',
      'esquejado',
    ],
    of: 'lot',
  },
  { heading: 'potted', names: ['potted', 'potted on', 'enmacetado', 'macetado', 'plantado'], of: 'lot' },
  {
    heading: 'ship',
    names: ['ship week', 'ship', 'semana de embarque', 'embarque', 'semana de salida', 'salida'],
    of: 'lot',
  },
] as const;

const ofBooking = [
  { heading: 'buyer', names: ['buyer', 'customer', 'client', 'comprador', 'cliente'] },
  { heading: 'grade', names: ['grade', 'grado'] },
  { heading: 'price', names: ['price', 'price of a pot', 'precio', 'precio de una maceta'] },
  { heading: 'order', names: ['order', 'order number', 'reference', 'pedido', 'numero de pedido', 'referencia'] },
] as const;

/** The headings of a sheet of bookings. */
export const bookingHeadings: readonly Known[] = [
  ...ofBooking,
  ...headings.filter(({ heading }) => ['lot', 'crop', 'cultivar', 'pot', 'pots', 'ship'].includes(heading)),
];

/** Lower case, without accents. */
export function fold(text: string): string {
  return text.normalize('NFD').replace(/\p{M}/gu, '').toLowerCase().trim();
}
