import { inLanguage } from '..';
import { amend as english } from '../en/amend';
import { counter, stop } from '../plural';
import { theTrait } from './common';

const notes = counter('es', { one: 'nota', other: 'notas' });
const pots = counter('es', { one: 'maceta', other: 'macetas' });

export const amend = {
  earlier: {
    title: 'Lotes anteriores de esta cama',
    shipped: (count: number, day: string) => `${pots(count)} ${count === 1 ? 'enviada' : 'enviadas'}, ${day}`,
    moved: (bed: string) => `Se trasladó a ${bed}`,
    evenness: (value: string, when: string) => `Último recorrido: uniformidad ${value}, ${when}`,
    asOf: (when: string) => stop(`Datos de ${when}`),
    away: (count: number) =>
      `${notes(count)} de este lote ${count === 1 ? 'está' : 'están'} en el servidor, no en este teléfono.`,
    fetch: 'Traer sus notas',
    coming: 'Llegarán cuando haya señal.',
    pin: 'Guardar en este teléfono',
    pinned: 'Guardado en este teléfono.',
    unpin: 'Dejar de guardarlo',
    noPots: 'En este teléfono no hay macetas de recorridos anteriores de esta cama.',
  },
  bed: {
    lots: 'Lotes en esta cama',
    noLots: 'No hay lotes registrados en esta cama.',
    potSize: (size: string) => `maceta de ${size}`,
    lastWalk: 'Último recorrido',
    neverWalked: 'Esta cama aún no se ha recorrido.',
    fewPots: (seen: number) =>
      `Solo ${pots(seen)} ${seen === 1 ? 'revisada' : 'revisadas'}: muy pocas para dar un número.`,
    uniformityOf: (value: string, low: string, high: string) => `Uniformidad ${value} (${low} a ${high})`,
    limitingTrait: (trait: string) => `lo más disparejo: ${theTrait(trait)}`,
    inPart:
      'Se dañó el almacenamiento de este teléfono y pueden faltar macetas de este recorrido. Los números se ven cuando el servidor las haya mandado otra vez.',
    seenBy: (seen: number, when: string) => `${pots(seen)} ${seen === 1 ? 'revisada' : 'revisadas'}, ${when}`,
    chlorosis: 'Clorosis',
    rot: 'Pudrición de raíz',
    start: 'Empezar recorrido',
    startLater:
      'Podrá empezar un recorrido cuando estén todos los registros. Hasta entonces este teléfono no sabe qué lotes hay en esta cama.',
    startWithLot: 'Para empezar un recorrido, anote primero qué lote hay aquí: toque «Anotar aquí».',
    goOn: 'Seguir con el recorrido',
    planned: (count: number) => `Unas ${pots(count)} por revisar.`,
    closedUntil: (when: string) =>
      `Cerrada por el intervalo de entrada restringida (REI). ${stop(`Abre ${when}`)} No entre.`,
    onTheSpot: 'Anotar aquí',
  },
  roundExplain: (bed: string, count: number) => `${bed}: las mismas ${pots(count)} de antes, sin ver lo anotado.`,
  roundStart: 'Empezar segunda lectura',
  walkMenu: {
    menu: {
      title: 'Más',
      other: 'Otra maceta',
      skip: 'Saltar maceta',
      photo: 'Foto',
      spot: 'Anotar aquí',
      words: 'Síntomas, altura, comentario',
      earlier: 'Macetas anteriores',
      saveNow: 'Guardar así',
      steps: 'Teclas +\u00a0y\u00a0−',
      keypad: 'Teclas 1-2-3',
      pause: 'Pausa',
      end: 'Terminar el recorrido',
      help: 'Ayuda',
    },
    skipTitle: '¿Por qué la salta?',
    otherTitle: '¿Qué maceta tomó?',
    otherHow: (row: number) =>
      `Se agrega al recorrido. La maceta prevista, hilera ${row}, sigue después. Si ya no está, sáltela primero.`,
    otherFirst: (row: number) => `La hilera ${row} sigue después.`,
    otherAdded: (row: number) => `Una maceta más. La hilera ${row} sigue después.`,
    row: 'Hilera',
    take: 'Revisar esta maceta',
    earlierTitle: 'Macetas de este recorrido',
    noEarlier: 'Aún no hay macetas anotadas.',
    wordsTitle: 'Más sobre esta maceta',
  },
  houses: {
    title: 'Otras naves',
    explain: 'Este teléfono guarda las notas de las naves de usted. Las de otras naves se quedan en el servidor.',
    notKept: (beds: string, count: number) => `${beds}, no se ${count === 1 ? 'guarda' : 'guardan'} en este teléfono`,
    still: (beds: string) => `${beds}; las notas aún están en este teléfono`,
    open: 'Abrir esta nave',
    close: 'Cerrar esta nave',
    outOfRange: 'Sin señal. Para abrirla, vaya a donde haya señal.',
    coming: (lots: string) => `Abriendo. Falta recibir: ${lots}.`,
    toCome: (lots: string) => `Falta recibir: ${lots}.`,
    goThere: 'Vaya a donde haya señal.',
    isOpen: 'Abierta en este teléfono',
    bed: (house: string) =>
      `Los recorridos anteriores de esta cama no se guardan en este teléfono: ${house} no es una de sus naves.`,
    lot: (house: string) =>
      `No todas las notas de este lote se guardan en este teléfono: ${house} no es una de sus naves.`,
    shipped:
      'El último recorrido de esta cama vio también lotes ya enviados o trasladados. Sus notas están en el servidor: tráigalas en «Lotes anteriores de esta cama».',
    notYet: 'Aún faltan notas.',
    barred: 'A este teléfono no llega nada nuevo hasta que se vuelva a vincular.',
    noRoom: 'A este teléfono no llega nada nuevo, porque está lleno. Borre videos o aplicaciones que nadie use.',
  },
  end: {
    title: 'Fin del recorrido',
    saved: 'Todo está guardado en este teléfono.',
    sentByItself: 'Se enviará cuando haya señal.',
    allSent: 'Todas las notas enviadas.',
    found: 'Lo que se vio',
    limitingTrait: (trait: string) => `Lo más disparejo: ${theTrait(trait)}.`,
    again: 'Revisar otra vez',
    nothingAgain: 'Nada que revisar otra vez.',
    slip: (where: string, value: string) => `${where}: ${value} es muy distinto del resto del lote`,
    slipLikely: (where: string, value: string, likely: string) => `${where}: ${value}; ¿quiso decir ${likely}?`,
    edge: (seen: string, bed: string) =>
      `En la orilla del pasillo: ${seen} de las macetas revisadas, ${bed} de la cama.`,
    endNow: 'Terminar el recorrido',
    isFinished: 'Este teléfono no sabe si el recorrido se completó. ¿Se completó?',
    finished: 'Se completó: terminar',
    stopped: 'Se dejó antes: terminar',
    more: 'Revisar más macetas',
    ended: (when: string) => stop(`Terminado ${when}`),
    toToday: 'Volver a Hoy',
    voided: (count: number) => `${pots(count)} ${count === 1 ? 'tachada' : 'tachadas'}`,
    nothing: 'No se anotó ninguna maceta.',
    thin: 'Pocas raíces',
    meanHead: (lot: string, value: string, n: number) => `${lot}: copas de ${value} en promedio (${n})`,
    meanBuds: (value: string, n: number) => `botones ${value} (${n})`,
  },
  open: {
    leftOpen: (day: string) =>
      `Empezó el ${day} y no se terminó. La cama ha cambiado y ya no se puede seguir este recorrido. Termínelo y empiece otro para revisar más macetas. Sus macetas quedan como se anotaron.`,
    pot: (pot: number) => `La maceta ${pot} sigue abierta`,
    correction: (pot: number) => `La corrección de la maceta ${pot} sigue abierta`,
    half: 'Una maceta sigue abierta',
    asWords: (seen: string) =>
      `Una maceta quedó a medio llenar: ${seen}. Si se guardara ahora llevaría la fecha de hoy; por eso queda como comentario sobre la cama.`,
    asWordsNote: (day: string, place: string, seen: string) =>
      `A medio llenar en el recorrido del ${day}, ${place}: ${seen}`,
    noDegree: 'No dice qué tan pálidas están las hojas, así que no recibe grado. Vuelva al recorrido para contestarlo.',
    notCounted: 'Todavía no cuenta. Guárdela o descártela, y luego termine el recorrido.',
    savePot: (pot: number) => `Guardar como maceta ${pot}`,
    saveCorrection: 'Guardar la corrección',
    keepWords: 'Guardar como comentario',
    leaveOut: 'Descartar',
    leftOut: 'Descartada.',
    decideFirst: 'Primero guarde o descarte la maceta abierta.',
    savedFirst: 'La maceta abierta se guardó como estaba.',
  },
  toPots: 'Ver y corregir sus macetas',
  voidedBy: (who: string, when: string, why: string) => `La tachó ${who}, ${when}: ${why}`,
  voided: 'Nota tachada.',
  restored: 'Recuperada: la nota cuenta otra vez.',
  together: (count: number) => `${notes(count)} se guardaron juntas, así que se tachan juntas.`,
  opensBeds:
    'Las camas de esta nota contarán como abiertas. Táchela solo si allí no se aplicó nada. Si hay duda, que nadie entre y pregunte al encargado.',
  wholeWalk: 'Se tacha todo el recorrido con todas sus macetas.',
  walkGoesOn: 'El recorrido queda abierto otra vez.',
  /** Why the server takes no notes now, by its code. */
  because: {
    quarantine_full:
      'El servidor ya retiene demasiadas notas de este teléfono y no recibe más hasta que haya lugar. Las demás se quedan aquí y se enviarán entonces. Pida al encargado que decida sobre las retenidas en la página Teléfonos, o entréguele el archivo de abajo.',
    server_clock:
      'El reloj del servidor parece estar mal, y por ahora no recibe notas. Se quedan aquí y se enviarán cuando esté bien. Avise al encargado.',
    data_gone:
      'Los datos del servidor se movieron, se borraron o se cambiaron, y no recibe notas hasta que lo reinicien. Se quedan aquí. Avise al encargado.',
    server_full:
      'El disco del servidor está lleno. Las notas se quedan aquí y se enviarán cuando haya lugar. Avise al encargado.',
  },
} satisfies typeof english;

export const amendWords = inLanguage(english, amend);
