/** What a crew member reads when the phone’s storage has failed. */
import { inLanguage } from '..';
import { broken as english } from '../en/broken';
import { counter } from '../plural';

const notes = counter('es', { one: 'nota', other: 'notas' });

export const broken = {
  title: 'No se pueden abrir las notas de este teléfono',
  explain: 'Falló el almacenamiento del teléfono. Muchas veces se arregla al reiniciarlo.',
  olderTitle: 'Esta versión de Bedwalk ya no puede abrir las notas',
  older: 'Las notas de este teléfono se guardaron con una versión más nueva. Esta no las cambia.',
  safe: 'Lo que está a salvo',
  sent: 'Toda nota que se envió está en el servidor.',
  waited: (count: number, when: string) =>
    `Sin enviar en el último conteo (${when}): ${notes(count)}. Puede que sigan en este teléfono.`,
  allSent: (when: string) =>
    `En el último conteo (${when}) todas las notas estaban enviadas. Lo anotado después puede que siga en este teléfono.`,
  neverCounted: 'Puede que en este teléfono queden notas sin enviar.',
  todo: 'Qué hacer',
  never:
    'No borre los datos del navegador ni quite Bedwalk del teléfono: se perderían las notas que no se han enviado.',
  steps: [
    'Cierre Bedwalk en todas las pestañas y ventanas, y ábralo otra vez.',
    'Si el teléfono está lleno, libere espacio: borre videos o aplicaciones que nadie use.',
    'Reinicie el teléfono y abra Bedwalk otra vez.',
    'Si eso no ayuda, guarde en un archivo lo que aún se pueda leer, aquí abajo.',
  ],
  stepsOlder: [
    'Vaya a donde haya señal y pruebe otra vez: la versión nueva se descarga sola.',
    'Cierre Bedwalk en todas las pestañas y ventanas, y ábralo otra vez.',
    'Si eso no ayuda, guarde en un archivo lo que aún se pueda leer, aquí abajo.',
  ],
  toFile: 'Guardar en un archivo las notas sin enviar',
  supervisor:
    'Muestre esta pantalla al encargado y entréguele el archivo. Para seguir con los recorridos mientras tanto, vincule otro teléfono, u otro navegador de este, con un código nuevo.',
  inFile: (count: number) =>
    `${notes(count)} ${count === 1 ? 'se pudo leer y está' : 'se pudieron leer y están'} en el archivo.`,
  nothingRead: 'Ahora no se puede leer ninguna nota sin enviar. Reinicie el teléfono y pruebe otra vez.',
  unread: (count: number) => `${notes(count)} no se ${count === 1 ? 'pudo' : 'pudieron'} leer ahora.`,
} satisfies typeof english;

export const brokenWords = inLanguage(english, broken);
