import { counter } from '../plural';
import type { routes as english } from '../en/routes';

const lots = counter('es', { one: 'lote', other: 'lotes' });
const pots = counter('es', { one: 'maceta', other: 'macetas' });
const weeks = counter('es', { one: 'semana', other: 'semanas' });

export const routes: typeof english = {
  title: 'Dos rutas',
  intro:
    'Lo que dejaría en cada ruta una maceta que está hoy en la cama, de hoy en adelante. Lo gastado hasta hoy ya se gastó en las dos, igual que el trabajo y los materiales de la etapa en que está el lote.',
  assumes:
    'Se supone que en la ruta de vivero una maceta del mejor grado se vende como del siguiente, y que el lote se vende cuando está listo. Precios, costos y días cuentan como seguros; el porcentaje del mejor grado y las pérdidas, no. Los días y las pérdidas son los del plan; cuánto puede apartarse de ellas un lote es un supuesto, sin fuente (vea Embarques).',
  empty: 'Todavía no hay lotes, o ya se embarcaron todos.',
  count: (shown, all) => `se pueden comparar ${shown} de ${lots(all)}`,
  florist: 'Florista',
  nursery: 'Vivero',
  answer: {
    florist: (count) => `Florista deja más: ${lots(count)}`,
    nursery: (count) => `Vivero deja más: ${lots(count)}`,
    disagree: (count) => `Una por maceta, la otra por banco: ${lots(count)}`,
    same: (count) => `Las dos dejan lo mismo: ${lots(count)}`,
    unknown: (count) => `No se sabe hasta escribir todos los precios: ${lots(count)}`,
  },
  brief: {
    lot: 'Lote',
    pot: 'Por maceta',
    bench: 'Por banco, por m² y semana',
    chance: 'Que florista deje más por maceta',
    florist: (more) => `florista +${more}`,
    nursery: (more) => `vivero +${more}`,
    same: 'lo mismo',
    wait: (brings) => `esperar deja ${brings}`,
    waitLoses: (loses) => `esperar cuesta ${loses}`,
    ready: (florist, nursery) => `florista ${florist}, vivero ${nursery}`,
    partly: 'según lo escrito',
    planned: { florist: 'planeado: florista', nursery: 'planeado: vivero' },
  },
  line: 'Por maceta',
  ready: 'Listo',
  readyOn: (on, count) => `${on} (${weeks(count)})`,
  now: 'ahora',
  lost: 'Se pierde hasta entonces',
  lostOwn: (share) => `${share}, según sus pérdidas hasta hoy`,
  lostStages: (share) => `${share}, según lo que usted escribió de sus etapas`,
  lostCrop: (share) => `${share}, según lo esperado para el cultivo`,
  within: (value, low, high) => `${value} (${low} a ${high})`,
  sales: 'Venta, sin lo perdido',
  labour: 'Trabajo',
  material: 'Materiales',
  space: 'Banco',
  margin: 'Deja por maceta',
  bench: 'Deja por metro cuadrado de banco y semana',
  noBench: 'ya no ocupa banco',
  unknown: 'no se sabe todavía',
  partly: (sum) => `${sum}, según lo escrito`,
  basis: {
    walk: (grades, seen, on) => `${pots(seen)} con grado, recorrido del ${on}: ${grades}.`,
    earlier: (grades, count) =>
      `Ninguna maceta de este lote tiene grado todavía. Según ${lots(count)} que ya se embarcaron: ${grades}.`,
  },
  gradeSeen: (grade, seen, low, high) => `${grade} ${seen} (${low} a ${high})`,
  gradeShare: (grade, share) => `${grade} ${share}`,
  byPot: {
    florist: (more) => `Por maceta: la ruta de florista deja ${more} más.`,
    nursery: (more) => `Por maceta: la ruta de vivero deja ${more} más.`,
    same: 'Por maceta: las dos dejan lo mismo.',
  },
  byBench: {
    florist: (more) => `Por banco: la ruta de florista deja ${more} más por metro cuadrado y semana.`,
    nursery: (more) => `Por banco: la ruta de vivero deja ${more} más por metro cuadrado y semana.`,
    same: 'Por banco: las dos dejan lo mismo.',
    unknown: 'Por banco: no se sabe mientras no se escriba cuántas macetas caben en un metro cuadrado.',
    none: 'Por banco: ninguna ruta ocupa ya banco.',
  },
  wait: (brings) =>
    `Esperar la ruta de florista deja ${brings} por metro cuadrado y semana del banco que ocupa de más. Conviene si ahí nada dejaría más.`,
  disagree: 'Las dos respuestas no coinciden: una mira la maceta, la otra el lugar que ocupa.',
  priceMissing: (grade) => `Nadie escribió a cuánto se vende una maceta ${grade}.`,
  priceNeeded: (grade, price) => `Las dos rutas dejan lo mismo si una maceta ${grade} se vende a ${price}.`,
  priceNever: (grade) => `El precio de una maceta ${grade} no basta para igualarlas: lo demás ya decide.`,
  evenPrice: (grade, price, now) => `Las dos dejan lo mismo si una maceta ${grade} se vende a ${price} (hoy ${now}).`,
  evenShare: (share, grade, now) => `Las dos dejan lo mismo con ${share} de las macetas en ${grade} (vistas: ${now}).`,
  evenShareEarlier: (share, grade, now) =>
    `Las dos dejan lo mismo con ${share} de las macetas en ${grade} (se espera: ${now}).`,
  whatever: {
    florist: (grade) => `Con cualquier porcentaje de ${grade}, la ruta de florista deja más.`,
    nursery: (grade) => `Con cualquier porcentaje de ${grade}, la ruta de vivero deja más.`,
  },
  chance: (chance) => `Que la ruta de florista deje más por maceta: ${chance}.`,
  notWritten: (what) => `No está en las sumas porque nadie lo escribió: ${what}.`,
  missing: {
    labour: (stage) => `trabajo (${stage})`,
    material: (stage) => `materiales (${stage})`,
    pots_m2: (stage) => `macetas por metro cuadrado (${stage})`,
    wage: 'cuánto cuesta una hora de trabajo',
    space: 'cuánto cuesta el banco',
  },
  mayCost: (more) =>
    `Lo que no está escrito puede costar hasta ${more} más por maceta en la ruta de florista antes de que la de vivero deje más.`,
  mayCostNursery: (more) =>
    `Lo que no está escrito puede costar hasta ${more} más por maceta en la ruta de vivero antes de que la de florista deje más.`,
  cannotTitle: 'Sin comparar',
  cannot: {
    no_grades: 'No hay grados para el tamaño de maceta. Póngalos en Cultivos.',
    one_grade: 'Solo hay un grado para el tamaño de maceta: no hay otro menor que vender.',
    no_stages: 'El cultivo no tiene etapas. Póngalas en Cultivos.',
    start_unknown:
      'Nadie escribió cuándo se puso el esqueje o se enmacetó, así que no se puede decir cuándo estará listo.',
    too_far: 'Falta demasiado para decir cuándo estará listo.',
    unknown: 'Pocas de sus macetas tienen grado y se han embarcado menos de cuatro lotes como este. Recórralo.',
    uncounted: 'Un tramo no está contado. Cuente primero sus macetas.',
    ledger: 'Hay menos macetas en registro que las vistas. Haga un reconteo.',
  },
  money: {
    title: 'Precios y costos',
    site: (wage, space) => `Una hora de trabajo: ${wage}. Un metro cuadrado de banco por semana: ${space}.`,
    notSet: 'sin escribir',
    siteChange: 'Cambiar la hora y el banco',
    cropChange: (crop) => `Cambiar precios y costos: ${crop}`,
    siteTitle: 'Hora de trabajo y banco',
    cropTitle: (crop) => `Precios y costos: ${crop}`,
    noProfile: (crop) => `Todavía no hay grados para ${crop}. Póngalos en Cultivos y después sus precios aquí.`,
    currency: 'Moneda',
    currencyNone: 'sin elegir',
    wage: 'Una hora de trabajo',
    space: 'Un metro cuadrado de banco por semana',
    price: (grade, pot) => `Precio: ${grade}, ${pot}`,
    perPot:
      'Lo que una maceta pide en cada etapa, una vez. Un campo vacío queda sin escribir y se nombra junto a las sumas; ponga 0 donde no hay nada.',
    labour: 'Trabajo, segundos',
    material: 'Materiales',
    density: 'Macetas por metro cuadrado',
    spoken: (stage, field) => `${stage}, ${field}`,
    save: 'Guardar',
    cancel: 'Cancelar',
    saved: 'Precios y costos guardados.',
  },
};
