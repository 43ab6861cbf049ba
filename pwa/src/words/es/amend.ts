import { inLanguage } from '..';
import { amend as english } from '../en/amend';
import { counter } from '../plural';

const notes = counter('es', { one: 'nota', other: 'notas' });
const pots = counter('es', { one: 'maceta', other: 'macetas' });

export const amend = {
  end: {
    title: 'Fin del recorrido',
    saved: 'Todo está guardado en este teléfono.',
    sentByItself: 'Se envía solo cuando hay señal.',
    allSent: 'Ya está en el servidor.',
    found: 'Lo que se vio',
    held: (trait: string) => `Lo que frena la cama: ${trait}.`,
    again: 'Mirar otra vez',
    nothingAgain: 'Nada que mirar otra vez.',
    slip: (where: string, value: string) => `${where}: ${value} está lejos de su lote`,
    slipLikely: (where: string, value: string, likely: string) => `${where}: ${value}; quizá ${likely}`,
    edge: (seen: string, bed: string) => `En la orilla del pasillo: ${seen} de las macetas vistas, ${bed} de la cama.`,
    endNow: 'Terminar el recorrido',
    more: 'Mirar más macetas',
    ended: (when: string) => `Terminado ${when}.`,
    toToday: 'A Hoy',
    struck: (count: number) => `${pots(count)} ${count === 1 ? 'tachada' : 'tachadas'}`,
    nothing: 'No se anotó ninguna maceta.',
    thin: 'Pocas raíces',
    meanHead: (lot: string, value: string, n: number) => `${lot}: copas de ${value} en promedio (${n})`,
    meanBuds: (value: string, n: number) => `botones ${value} (${n})`,
  },
  open: {
    leftOpen: (day: string) =>
      `Empezado el ${day} y nunca terminado. La cama ha cambiado: termine este recorrido y empiece otro para mirar más macetas. Sus macetas quedan como se anotaron.`,
    pot: (pot: number) => `La maceta ${pot} sigue abierta`,
    correction: (pot: number) => `La corrección de la maceta ${pot} sigue abierta`,
    half: 'Una maceta sigue abierta',
    asWords: (seen: string) =>
      `Una maceta quedó a medio anotar: ${seen}. Anotada ahora llevaría la fecha de hoy, así que se guarda como comentario sobre la cama.`,
    asWordsNote: (day: string, place: string, seen: string) =>
      `A medio anotar en el recorrido del ${day}, ${place}: ${seen}`,
    notCounted: 'Todavía no cuenta en ningún lado. Guárdela o déjela fuera, y luego termine el recorrido.',
    savePot: (pot: number) => `Guardar como maceta ${pot}`,
    saveCorrection: 'Guardar la corrección',
    keepWords: 'Guardar como comentario',
    leaveOut: 'Dejarla fuera',
    leftOut: 'Quedó fuera.',
    decideFirst: 'Primero diga qué se hace con la maceta abierta: guárdela o déjela fuera.',
    savedFirst: 'La maceta abierta se guardó hasta donde estaba anotada.',
  },
  toPots: 'Ver y corregir sus macetas',
  struckBy: (who: string, when: string, why: string) => `La tachó ${who}, ${when}: ${why}`,
  struck: 'Nota tachada.',
  restored: 'Recuperada: la nota cuenta otra vez.',
  together: (count: number) => `${notes(count)} se escribieron con un solo Guardar. Se tachan juntas.`,
  opensBeds:
    'Sus camas cuentan entonces como abiertas. Táchela solo si allí no se aplicó nada. Si hay duda, que nadie entre y pregunte al encargado.',
  wholeWalk: 'Se tacha todo el recorrido con todas sus macetas.',
  walkGoesOn: 'El recorrido queda abierto otra vez.',
  /** Why the server takes no notes now, by its code. */
  because: {
    quarantine_full:
      'El servidor ya retiene todas las notas de este teléfono que puede y no recibe más hasta que haya lugar. Las demás se quedan aquí y luego se envían solas. Pida al encargado que decida sobre las que esperan en la página Teléfonos, o entréguele el archivo de abajo.',
    server_clock:
      'El reloj del servidor parece estar mal, y por eso no recibe notas por ahora. Se quedan aquí y se envían solas cuando esté bien. Avise al encargado.',
    data_gone:
      'Los datos del servidor se movieron, se borraron o se cambiaron, y no recibe notas hasta que lo inicien de nuevo. Se quedan aquí. Avise al encargado.',
    server_full:
      'El disco del servidor está lleno. Las notas se quedan aquí y se envían solas cuando haya lugar. Avise al encargado.',
  },
} satisfies typeof english;

export const amendWords = inLanguage(english, amend);
