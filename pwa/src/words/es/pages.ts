import { counter, form, stop } from '../plural';
import type { pages as english } from '../en/pages';

const phones = counter('es', { one: 'teléfono', other: 'teléfonos' });
const notes = counter('es', { one: 'nota', other: 'notas' });
const pots = counter('es', { one: 'maceta', other: 'macetas' });
const walks = counter('es', { one: 'recorrido', other: 'recorridos' });

export const pages = {
  nav: 'Páginas',
  beds: 'Camas',
  lots: 'Lotes',
  plan: 'Plan',
  crops: 'Cultivos',
  scouts: 'Monitoreo',
  phones: 'Teléfonos',
  setup: 'Datos',
  settings: 'Ajustes',
  walk: 'Recorrer',
  skip: 'Ir al contenido',
  bedName: (name: string) => (/^\d/.test(name) ? `Cama ${name}` : name.replace(/^Bed\b/, 'Cama')),
  bedInHouse: (bed: string, house: string) => `${bed}, ${house}`,
  houseName: (name: string) => (/^\d/.test(name) ? `Nave ${name}` : name.replace(/^House\b/, 'Nave')),
  lotName: (tag: string) => `Lote ${tag}`,

  data: {
    asOf: (when: string) => `Datos hasta ${when}`,
    awaited: (when: string) => `Actualizando. Datos hasta ${when}`,
    kept: (when: string) => stop(`Actualizado ${when}`),
    trouble: {
      offline: 'No hay conexión con el servidor.',
      slow: 'El servidor está lento.',
      portal: 'La red quizá pide que usted inicie sesión. Abra cualquier página, inicie sesión y pruebe otra vez.',
      busy: 'El servidor no puede responder en este momento.',
      unpaired: 'Este aparato no está vinculado. Pida al encargado un enlace o un código.',
      revoked: 'A este aparato se le quitó el acceso. Pida un código al encargado y vincúlelo otra vez.',
      notAllowed: 'Esta página es para encargados. Pida al dueño que cambie su función.',
    },
    loading: 'Trayendo los registros del servidor…',
    slow: 'El servidor todavía no contesta. La primera vez, tras una temporada larga, tarda más.',
    failed: 'No se pudo mostrar esta página',
    toBeds: 'Volver a las camas',
  },
  phonesState: (equal: number, paired: number) =>
    equal === 0
      ? `${phones(paired)} sin comparar tras la última nota`
      : equal === paired
        ? `${phones(paired)} ${form('es', paired, { one: 'coincide', other: 'coinciden' })} con el servidor`
        : `${equal} de ${phones(paired)} al día`,
  onPhones: (count: number) => `${notes(count)} todavía en teléfonos`,
  phonesNone: 'ningún teléfono vinculado',
  lastIn: (when: string) => `último envío ${when}`,
  quarantined: (count: number) =>
    `${notes(count)} ${form('es', count, { one: 'necesita', other: 'necesitan' })} su decisión`,

  overview: {
    title: 'Camas',
    count: (shown: number, all: number) =>
      shown === all ? counter('es', { one: 'cama', other: 'camas' })(all) : `${shown} de ${all} camas`,
    house: 'Nave',
    everyHouse: 'todas',
    crop: 'Cultivo',
    all: 'todos',
    show: 'Mostrar',
    everyBed: 'todas',
    due: 'por recorrer',
    needsStep: 'piden atención',
    emptyTitle: 'Todavía no hay camas',
    empty: 'Cinco pasos llevan al primer recorrido. La lista queda aquí hasta que se recorra una cama.',
    noneMatch: 'Ninguna cama coincide. Cambie los filtros.',
    clearFilters: 'Mostrar todas',
    days: (count: number) => `${count} d`,
    never: 'sin recorrer',
    closed: (until: string) => `cerrada hasta ${until}`,
    dueShort: 'por recorrer',
    closedShort: 'cerrada',
    walked: (ago: string) => `recorrida ${ago}`,
    inPart: 'sin terminar',
    uniformity: (value: string) => `uniformidad ${value}`,
    seen: (n: number) => `${pots(n)} ${n === 1 ? 'revisada' : 'revisadas'}`,
    stepNeeded: 'pide atención',
    why: {
      never: 'nunca recorrida',
      days: (count: number) => `${counter('es', { one: 'día', other: 'días' })(count)} desde el último recorrido`,
      begun: 'recorrido sin terminar',
      chlorosis: 'clorosis en el último recorrido',
      roots: 'pudrición de raíz en el último recorrido',
    },
    table: {
      bed: 'Cama',
      house: 'Nave',
      lots: 'Lotes',
      uniformity: 'Uniformidad',
      limitingTrait: 'Lo más disparejo',
      n: 'Macetas revisadas',
      chlorosis: 'Clorosis',
      rot: 'Pudrición de raíz',
      pots: (x: number, n: number) => `${x} de ${n}`,
      upTo: (high: string) => `(hasta ${high})`,
      between: (low: string, high: string) => `(${low} a ${high})`,
      walked: 'Último recorrido',
      due: 'Por recorrer',
    },
  },

  scoutsPage: {
    title: 'Monitoreo',
    intro: 'Qué tanto coinciden los monitoreadores. Medir de más no es monitorear peor: revisen juntos unas macetas.',
    driftTitle: 'Tamaño de copa contra los demás',
    driftNote:
      'En los mismos lotes y las mismas semanas. La barra es el intervalo de 90\u202f%, todas en la misma escala. La línea de en medio marca cero diferencia; en la zona sombreada (2\u202f% a cada lado) la diferencia es muy poca para importar.',
    driftNone: 'Nada que comparar todavía. Dos monitoreadores tienen que recorrer los mismos lotes en la misma semana.',
    drift: (name: string, by: string, low: string, high: string) => `${name} mide las copas ${by} (${low} a ${high})`,
    large: (by: string) => `${by} de más`,
    small: (by: string) => `${by} de menos`,
    like: 'igual que los demás',
    walks: (count: number) => `en ${walks(count)}`,
    verdict: {
      chance: 'puede ser casualidad',
      little: 'no es casualidad, pero es muy poco para importar',
      maybe: 'no es casualidad; puede importar o no',
    },
    needsTalk: 'no es casualidad, y es bastante para importar: revisen juntos unas macetas',
    agreeTitle: 'Segundas lecturas a ciegas, de dos en dos',
    agreeNote:
      'Copa: cuánto más mide el segundo, con los límites de concordancia de 95\u202f%. Clases: kappa ponderada; 1 es acuerdo total, 0 es casualidad.',
    agreeNone: 'Todavía no se ha revisado ninguna maceta dos veces. Pida una segunda lectura en la página de una cama.',
    pair: 'Monitoreadores',
    pots: 'Macetas',
    bias: 'Copa, segundo contra primero',
    limits: 'Límites de concordancia',
    oneClass: 'todas en una clase',
    icc: 'Copa, acuerdo (ICC)',
    cover: 'Cobertura de raíz',
    life: 'Vida de raíz',
    chlorosis: 'Clorosis',
    and: (a: string, b: string) => `${a} y ${b}`,
    roundsTitle: 'Segundas lecturas pedidas',
    roundsNone: 'No se ha pedido ninguna.',
    roundBed: 'Cama',
    roundFirst: 'Primera lectura de',
    roundBy: 'Segunda lectura de',
    roundDone: 'Revisadas otra vez',
    roundClosed: 'terminada',
    anybody: 'cualquier otro',
    housesTitle: 'Naves de cada monitoreador',
    housesNote:
      'El teléfono del monitoreador muestra las camas de estas naves y guarda sus notas. Las notas de otras naves se quedan en el servidor; con señal se puede abrir cualquier nave.',
    housesAll: 'Todas las naves.',
    housesSome: 'Solo las naves marcadas.',
    housesDiffer:
      'Dos personas eligieron naves distintas. El teléfono guarda las de ambas hasta que usted guarde el cambio.',
    housesSave: (name: string) => `Guardar para ${name}`,
    housesSaved: (name: string) => `Naves de ${name} guardadas. Su teléfono las recibe cuando tenga señal.`,
  },
} satisfies typeof english;
