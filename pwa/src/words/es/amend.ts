import { counter } from '../plural';

const notes = counter('es', { one: 'nota', other: 'notas' });

export const amend = {
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
};
