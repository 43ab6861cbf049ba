import { counter, stop } from '../plural';
import type { scout as english } from '../en/scout';
import { theTrait } from './common';

const pots = counter('es', { one: 'maceta', other: 'macetas' });
const notes = counter('es', { one: 'nota', other: 'notas' });
const photos = counter('es', { one: 'foto', other: 'fotos' });
const records = counter('es', { one: 'registro', other: 'registros' });
const days = counter('es', { one: 'día', other: 'días' });

export const scout = {
  nav: { label: 'Pantallas', today: 'Hoy', notes: 'Notas', settings: 'Ajustes', beds: 'Camas' },
  nowhere: { title: 'Aquí no hay nada', home: 'Ir a la primera pantalla' },
  unable:
    'Esta dirección no es segura y el navegador no guarda notas. Abra Bedwalk con su dirección https o, en este equipo, como http://localhost.',
  missing: 'Una parte de la app aún no está en este teléfono. Vaya una vez a donde haya señal y pruebe de nuevo.',

  today: 'Hoy',
  greeting: (day: string, person: string) => `${day} · ${person}`,
  bedName: (house: string, bed: string) => (house ? `${house}, ${bed}` : bed),
  due: (count: number) => `Por recorrer (${count})`,
  nothingDue: 'Hoy no hay camas por recorrer. De todos modos puede recorrer cualquiera de abajo.',
  firstReading: {
    share: (share: string) => `Trayendo los registros: ${share}.`,
    stay: 'Quédese donde haya señal. Las camas por recorrer aparecen cuando estén todos.',
    offline: 'Vuelva a donde haya señal. Las camas por recorrer aparecen cuando estén todos.',
    signs: 'Puede faltar alguna cama cerrada. Lea los letreros de la nave antes de entrar.',
  },
  arriving: (share: string) => `Trayendo los registros del vivero: ${share}. Las camas de abajo aún pueden cambiar.`,
  noBedsAtAll: 'Aún no hay camas dadas de alta. El encargado las agrega en la oficina, con naves y lotes.',
  closed: 'Cerradas ahora',
  opens: (when: string) => `Entrada restringida (REI): abre ${when}`,
  allBeds: 'Todas las camas',
  goOn: 'Seguir con el recorrido',
  halfway: (bed: string, seen: number) => `${bed}: ${pots(seen)} ${seen === 1 ? 'anotada' : 'anotadas'}, sin terminar`,
  leftOpen: (bed: string, day: string, seen: number) =>
    `${bed}: abierto desde el ${day}, ${pots(seen)} ${seen === 1 ? 'anotada' : 'anotadas'}. Ya no se puede seguir este recorrido. Revise sus macetas y ciérrelo.`,
  roundLeftOpen: (bed: string, day: string, seen: number) =>
    `${bed}: segunda lectura abierta desde el ${day}, ${pots(seen)} ${seen === 1 ? 'anotada' : 'anotadas'}. Ya no se puede seguir. Revise sus macetas y ciérrela.`,
  toEnd: 'Revisar y cerrar',
  scan: 'Leer una etiqueta',
  spot: 'Anotar aquí',
  rounds: 'Segunda lectura',
  roundExplain: (bed: string, count: number) => `${bed}: las mismas ${pots(count)} de antes, sin ver lo anotado.`,
  roundStart: 'Empezar segunda lectura',
  roundHalfway: (bed: string, seen: number) =>
    `${bed}: segunda lectura, ${pots(seen)} ${seen === 1 ? 'anotada' : 'anotadas'}, sin terminar`,
  why: {
    never: 'nunca recorrida',
    days: (count: number) => `${days(count)} desde el último recorrido`,
    chlorosis: (day: string) => `clorosis vista ${day}`,
    roots: (day: string) => `pudrición de raíz vista ${day}`,
    recent: (ago: string) => `recorrida ${ago}`,
  },

  queue: {
    pairAgain: 'Vincular de nuevo este teléfono',
    allSent: 'Todas las notas enviadas.',
    sentAt: (when: string) => stop(`Último envío ${when}`),
    neverSent: 'aún no se envió nada',
    pending: (count: number) => `${notes(count)} por enviar`,
    lastAt: (when: string) => `último envío ${when}`,
    photos: (count: number) => `${photos(count)} todavía por enviar`,
    parked: (count: number) =>
      `${notes(count)} de otra persona se enviarán cuando esa persona vuelva a vincular este teléfono`,
    resting: 'Las notas nuevas se envían solas.',
    syncing: 'Enviando…',
    offline: 'Sin señal. Las notas están seguras aquí y se enviarán cuando haya señal.',
    slow: 'El servidor está lento. Las notas están seguras aquí y se enviarán otra vez.',
    portal:
      'La red quizá pide que usted inicie sesión. Abra cualquier página e inicie sesión; después se enviarán las notas.',
    unpaired: 'El servidor ya no conoce este teléfono. Las notas se quedan aquí. Vuelva a vincularlo para enviarlas.',
    revokedShort: 'A este teléfono se le quitó el acceso.',
    revokedKept:
      'Las notas se quedan en el teléfono y se siguen enviando, pero solo cuentan cuando el encargado las revise. A este teléfono ya no llega nada nuevo.',
    revokedDo: 'Pida un código al encargado y vuelva a vincular este teléfono.',
    revoked:
      'A este teléfono se le quitó el acceso. Sus notas se guardan y el encargado las revisará. Pregunte al encargado.',
    busy: 'El servidor está ocupado o reiniciándose. El teléfono lo intenta otra vez.',
    refused:
      'El servidor rechaza la nota más antigua. Guarde las notas en un archivo, abajo, y entréguelo al encargado.',
    broken: 'No se pudo enviar. Se intenta otra vez; no se pierde nada.',
    agrees: (when: string) => stop(`El teléfono y el servidor coincidían ${when}`),
    differs: (when: string) =>
      `${stop(`El teléfono y el servidor no coincidían ${when}`)} El teléfono está trayendo los registros otra vez.`,
    backedUp: 'Con respaldo hasta la última coincidencia.',
    tryNow: 'Enviar ahora',
    nextTry: (when: string) => `Próximo intento ${when}`,
  },

  notice: {
    aside: (count: number) =>
      `Falló el almacenamiento del teléfono. ${notes(count)} ${count === 1 ? 'quedó' : 'quedaron'} aparte en este teléfono. Cierre la app y ábrala otra vez para ${count === 1 ? 'guardarla' : 'guardarlas'}.`,
    blocked:
      'Una versión anterior de Bedwalk está abierta en otra pestaña o ventana. Sus notas están guardadas. Ciérrela y esta sigue.',
    outdated: 'Una versión más nueva de Bedwalk está abierta en otra pestaña',
    outdatedKept:
      'Todo lo anotado aquí está guardado, también la maceta a medio llenar. Recargue esta pestaña para seguir aquí, o ciérrela.',
    reload: 'Recargar',
    rebuilt: (count: number) =>
      `${records(count)} de este teléfono ${count === 1 ? 'estaba dañado y se rehízo' : 'estaban dañados y se rehicieron'} a partir de las notas. No se pierde nada.`,
    fetchedAgain: (count: number) =>
      `${records(count)} de este teléfono ${count === 1 ? 'estaba dañado y llega' : 'estaban dañados y llegan'} otra vez del servidor.`,
    unfolded: (count: number) =>
      `${records(count)} de este teléfono no se ${count === 1 ? 'puede' : 'pueden'} mostrar: ${count === 1 ? 'tiene una nota que no se puede leer' : 'en cada uno hay una nota que no se puede leer'}. Todas las notas están guardadas. Muéstrelo al encargado.`,
    update: 'Hay una versión nueva.',
    takeUpdate: 'Actualizar',
    install: 'Agregue Bedwalk a la pantalla de inicio. Así abre sin red y el teléfono protege sus notas.',
    installNow: 'Agregar',
    installIos:
      'En el navegador, toque Compartir y luego «Agregar a la pantalla de inicio» o «Añadir a pantalla de inicio».',
    later: 'Después',
    notSavedFull:
      'NO guardado: el teléfono está lleno. Libere espacio y toque otra vez. Nada de esta tarjeta se pierde.',
    notSavedBroken:
      'Falló el almacenamiento del teléfono. La nota quedó aparte en este teléfono: cierre la app y ábrala otra vez para guardarla.',
  },

  bed: {
    lots: 'Lotes en esta cama',
    noLots: 'No hay lotes registrados en esta cama.',
    lotLine: (tag: string, cultivar: string) => `${tag} ${cultivar}`.trim(),
    potSize: (size: string) => `maceta de ${size}`,
    lastWalk: 'Último recorrido',
    neverWalked: 'Esta cama aún no se ha recorrido.',
    fewPots: (seen: number) =>
      `Solo ${pots(seen)} ${seen === 1 ? 'revisada' : 'revisadas'}: muy pocas para dar un número.`,
    uniformityOf: (value: string, low: string, high: string) => `Uniformidad ${value} (${low} a ${high})`,
    limitingTrait: (trait: string) => `lo más disparejo: ${theTrait(trait)}`,
    seenBy: (seen: number, when: string) => `${pots(seen)} ${seen === 1 ? 'revisada' : 'revisadas'}, ${when}`,
    chlorosis: 'Clorosis',
    rot: 'Pudrición de raíz',
    start: 'Empezar recorrido',
    goOn: 'Seguir con el recorrido',
    planned: (count: number) => `Unas ${pots(count)} por revisar.`,
    closedUntil: (when: string) =>
      `Cerrada por el intervalo de entrada restringida (REI). ${stop(`Abre ${when}`)} No entre.`,
    onTheSpot: 'Anotar aquí',
  },

  walk: {
    pot: (number: number, planned: number) => `maceta ${number} de unas ${planned}`,
    potOfKnown: (number: number, all: number) => `maceta ${number} de ${all}`,
    correcting: (number: number) => `Corrigiendo la maceta ${number}`,
    tabs: 'Qué revisar',
    sure: (value: string) => `Uniformidad ${value}`,
    sureYet: 'Uniformidad: aún muy pocas',
    range: (low: string, high: string) => `(${low} a ${high})`,
    more: (count: number) => `unas ${count} más`,
    enough: 'bastan',
    blindLeft: (count: number) => `faltan ${count}`,
    blindDone: 'todas revisadas',
    typical: (value: string) => `lo usual del lote: ${value}`,
    slip: (value: string, typical: string) => `¿${value}? Lo usual: ${typical}. Si es así, siga.`,
    slipLikely: (value: string, likely: string) => `¿${value}? ¿Quiso decir ${likely}? Si es ${value}, siga.`,
    tooLarge: (text: string, least: string, most: string) =>
      `${text} es demasiado (de ${least} a ${most}). No se guardó.`,
    tooSmall: (text: string, least: string, most: string) =>
      `${text} es muy poco (de ${least} a ${most}). No se guardó.`,
    notNumber: (text: string, least: string, most: string) =>
      `«${text}» no es un número (de ${least} a ${most}). No se guardó.`,
    sizeNotCount: 'El vernier envió una medida, pero aquí se cuentan botones. No se guardó.',
    saved: 'guardado',
    saving: 'guardando…',
    head: 'copa',
    buds: 'botones',
    roots: 'raíces',
    leaves: 'hojas',
    toHead: 'Copa ›',
    toBuds: 'Botones ›',
    toRoots: 'Raíces ›',
    toLeaves: 'Hojas ›',
    nextPot: 'Siguiente ›',
    saveCorrection: 'Guardar ›',
    backToPot: (number: number) => `Volver a la ${number}`,
    more_: 'Más',
    first: 'primer diámetro',
    second: 'segundo diámetro',
    secondShort: '2.º ⌀',
    firstShort: '1.er ⌀',
    steps: '+ y −',
    keypad: '1-2-3',
    addSteps: '+1 +5 +10',
    halfHead: 'copa ½',
    bare: 'puntas sin botón',
    bareCount: (count: number) => `${count} sin botón`,
    states: 'Botones por estado',
    budStates: { tight: 'cerrado', colour: 'mostrando color', candle: 'vela', open: 'abierto' },
    answered: (trait: string, value: string) => `${trait}: ${value}`,
    cover: '¿Cuánto del cepellón está cubierto?',
    coverNames: ['nada', '20\u202f%', '40\u202f%', '60\u202f%', '80\u202f%', 'todo'],
    life: '¿Están vivas?',
    lifeNames: ['', 'todas muertas', 'casi todas muertas', 'la mitad', 'casi todas vivas', 'todas vivas'],
    scratchQuestion: '¿Están cafés? Raspe una.',
    scratchCard: 'raspar la raíz',
    scratchShort: { firm_white: 'firme', soft: 'blanda', not_scratched: 'sin raspar' },
    scratchHint: 'Blanca al rasparla: raíz vieja, viva. No es pudrición.',
    which: '¿Qué hojas están pálidas?',
    whichNames: {
      none: 'verdes',
      young: 'nuevas, venas verdes',
      old: 'hojas viejas',
      whole: 'toda la planta',
    },
    whichShort: { none: 'verdes', young: 'nuevas', old: 'viejas', whole: 'todas' },
    noneNext: 'Verdes · siguiente ›',
    howMuch: '¿Qué tan pálidas?',
    howMuchFirst:
      '¿Qué tan pálidas están las hojas? Sin eso la maceta no recibe grado. Si no sabe, toque Siguiente otra vez.',
    otherLeaves: '‹ Otras hojas',
    severityNames: ['', 'leve', 'media', 'fuerte', 'orillas cafés'],
    softFlush: 'brote nuevo tierno',
    softFlushHint: 'Lo nuevo es más claro por naturaleza.',
    skipped: 'Maceta saltada.',
    voided: 'Maceta tachada.',
    closedKept: 'Salga del área. Sus notas quedan guardadas y puede seguir el recorrido cuando se abra la cama.',
    menu: {
      title: 'Más',
      other: 'Otra maceta',
      skip: 'Saltar maceta',
      photo: 'Foto',
      spot: 'Anotar aquí',
      words: 'Comentario',
      earlier: 'Macetas anteriores',
      saveNow: 'Guardar así',
      pause: 'Pausa',
      end: 'Terminar el recorrido',
      help: 'Ayuda',
    },
    skipWhy: { missing: 'no hay maceta', blocked: 'no se alcanza', wet: 'recién regada', other: 'otro motivo' },
    skipTitle: '¿Por qué se salta?',
    otherTitle: '¿Qué maceta tomó?',
    row: 'Hilera',
    acrossLabel: 'Desde el pasillo',
    take: 'Revisar esta maceta',
    unknownPlace: 'En otro lugar',
    earlierTitle: 'Macetas de este recorrido',
    noEarlier: 'Aún no hay macetas anotadas.',
    open: 'Corregir',
    strike: 'Tachar',
    restore: 'Recuperar',
    strikeTitle: '¿Por qué se tacha?',
    wordsTitle: 'Más sobre esta maceta',
    wordsLabel: 'Comentario',
    disease: 'posible enfermedad',
    lowerBrown: 'hojas de abajo cafés junto a la maceta',
    bypass: 'brotes que sobresalen',
    height: 'Altura sobre el borde',
  },
} satisfies typeof english;
