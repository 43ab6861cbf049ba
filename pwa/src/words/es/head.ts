import { head as english } from '../en/head';
import { inLanguage } from '..';

const head = {
  title: 'Tamaño de copa con foto',
  open: 'Tamaño de copa con foto',
  steps: [
    'Ponga la tarjeta impresa bien plana encima de la copa.',
    'Sostenga el teléfono a nivel, justo arriba, a unos 60\u202fcm (2\u202fpies) de la tarjeta.',
    'Tome la copa completa con la cámara del teléfono, sin zoom.',
  ],
  drop: 'De la tarjeta hacia abajo, hasta las hojas más anchas',
  dropNote: 'Mídalo al lado de la planta.',
  bar: (print: string) => `Largo de la barra impresa con la tarjeta ${print}`,
  barNote:
    'Mídala una vez con una regla: muchas impresoras cambian el tamaño. El teléfono la guarda para todas las tarjetas de esta impresión.',
  barWrong: (low, high) => `La barra: escriba un número de ${low} a ${high} mm, como marca la regla.`,
  reading: 'Buscando la tarjeta…',
  tapFirst: 'Toque una orilla de la copa, donde las hojas son más anchas.',
  tapOther: 'Ahora toque la orilla de enfrente.',
  fine: 'Arrastre una marca para moverla. Con teclado: las flechas.',
  edge: ['Primera orilla', 'Orilla de enfrente'],
  photo: 'La foto',
  about: (size, within) => `Unos ${size} ± ${within}`,
  isEstimate:
    'Es un cálculo aproximado de esta foto y se guarda con ella. No contesta «Copa», y no se usa para uniformidad, grados ni promesas.',
  needDrop: 'Escriba a qué distancia abajo están las hojas más anchas.',
  needBar: (print) => `Escriba cuánto mide la barra impresa con la tarjeta ${print}.`,
  saved: (size, within) => `Foto guardada, copa de unos ${size} ± ${within}.`,
  fact: (size, within) => `copa de unos ${size} ± ${within}, calculada con esta foto`,
  inTable: (size, within) => `foto: ${size} ± ${within}`,
  photoOnly: (count) =>
    count === 1
      ? 'La copa de 1 maceta solo se calculó con una foto. No se usa para uniformidad, grados ni promesas.'
      : `Las copas de ${count} macetas solo se calcularon con fotos. No se usan para uniformidad, grados ni promesas.`,
  refused: {
    unreadable: 'Este archivo no se pudo leer como imagen. Tómela otra vez o elija un JPEG.',
    noReader: 'El lector de códigos todavía no está en este teléfono. Vaya una vez a donde haya señal.',
    noFocal:
      'Esta imagen no dice con qué lente se tomó. Tómela con la cámara del teléfono; una captura de pantalla o una imagen de un chat no sirve.',
    zoomed: 'Esta foto se tomó con zoom. Tómela otra vez sin zoom.',
    form: 'Esta foto no es 4:3: la cámara la cortó y el tamaño podría salir muy equivocado. En los ajustes de la cámara ponga la relación de aspecto (formato) en 4:3 o 3:4 y tome otra foto.',
    cropped: 'Esta foto se recortó después de tomarla. Elija la original o tome otra.',
    noCard:
      'No se encontró la tarjeta en esta foto. Póngala boca arriba sobre la copa, que se vea completa, y tome otra foto.',
    small: 'La tarjeta sale muy chica en la foto. Acérquese, a unos 60\u202fcm (2\u202fpies).',
    unclear:
      'La tarjeta no se distingue bien. Límpiela, sostenga firme el teléfono, sin sombras encima, y tome otra foto.',
    bent: 'La tarjeta no está plana. Use cartulina firme, póngala plana y tome otra foto.',
    tilted: 'El teléfono no estaba a nivel sobre la tarjeta. Sosténgalo a nivel, justo arriba, y tome otra foto.',
    outside: 'Una orilla queda fuera de la foto. Tome otra con la copa completa.',
    far: 'El teléfono estaba demasiado lejos para saberlo. Sosténgalo a unos 60\u202fcm (2\u202fpies) de la tarjeta y tome otra foto.',
    mirrored: 'Esta foto está al revés, como en un espejo. Tómela con la cámara de atrás del teléfono.',
    wide: 'No se guarda: podría fallar por más de 6 %. Revise las dos orillas y ponga la tarjeta en medio de la copa. Para una copa chica use una regla.',
  },
  card: {
    choose: 'Qué imprimir',
    tags: 'Etiquetas para lotes',
    cards: 'Tarjetas para fotos de copas',
    intro:
      'Imprima en cartulina y recorte las tarjetas. La tarjeta se pone sobre la copa al tomar la foto, y su código muestra el tamaño de todo.',
    measure:
      'Muchas impresoras achican la página un poco. Mida la barra con una regla; el teléfono pregunta su largo una vez.',
    sheet: 'Hoja de tarjetas',
    bar: (mm, print) => `Esta barra debe medir ${mm} mm. Impresión ${print}.`,
    name: (print) => `Tarjeta ${print}`,
    lay: 'Póngala plana sobre la copa, boca arriba.',
  },
} satisfies typeof english;

export const headWords = inLanguage(english, head);
