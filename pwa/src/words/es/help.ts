import { inLanguage } from '..';
import { help as english } from '../en/help';

/** The help card of each scale. */
export const help = {
  all: 'Escalas',
  titles: { head: 'Tamaño de copa', buds: 'Conteo de botones', roots: 'Raíces', leaves: 'Hojas pálidas' },
  head: [
    '1 y 2: dos diámetros de la copa vista desde arriba, en cruz. Primero el más ancho. No cuente brotes largos sueltos.',
    '3: la altura, del borde de la maceta a la punta de la copa.',
    'Lea al medio centímetro o al cuarto de pulgada. Con la copa redonda basta un diámetro.',
  ],
  buds: [
    'Cuente cada punta con botón, una vez, en cualquier estado. Una punta sin botón se cuenta aparte.',
    'Gire la maceta una vuelta y cuente del borde hacia arriba.',
  ],
  budStates: {
    tight: 'Escamas cerradas, sin color a la vista.',
    colour: 'Las escamas se abren, se ve color en la punta.',
    candle: 'Los pétalos salen largos y cerrados, como una vela.',
    open: 'La flor está abierta.',
  },
  rootsTwo: 'Dos preguntas, nunca una: cuánto han llenado el cepellón las raíces y si están vivas.',
  cover: [
    'Ninguna raíz sujeta; el sustrato se cae.',
    'Hasta un quinto de la superficie.',
    'Hasta dos quintos.',
    'Hasta tres quintos.',
    'Hasta cuatro quintos.',
    'Más de cuatro quintos: el cepellón se sostiene.',
  ],
  life: [
    '',
    'Todas cafés y blandas, sin puntas blancas.',
    'Casi todas muertas, unas pocas vivas.',
    'Más o menos la mitad.',
    'Casi todas blancas o beige, algunas muertas.',
    'Blancas y beige, puntas blancas por todos lados.',
  ],
  scratchHow: 'Raspe una raíz café con la uña del pulgar.',
  scratch: {
    firm_white: 'Firme, blanca o crema por dentro: raíz vieja, viva.',
    soft: 'Blanda y mojada, la funda se sale de un hilo: pudrición.',
    not_scratched: 'Sin tiempo, o nada café que raspar.',
  },
  leavesTrap:
    'Lo nuevo es más claro por naturaleza. Compárelo con una hoja vieja de la misma planta: un verde claro, parejo y tierno en todas las puntas es brote nuevo, no clorosis.',
  leaves: {
    none: 'Hojas nuevas y viejas verdes.',
    young: 'Las hojas nuevas ya hechas pálidas, con venas verdes.',
    old: 'Las hojas de abajo pálidas, las nuevas verdes.',
    whole: 'Todas pálidas: mire las raíces.',
  },
  severity: [
    '',
    'Un poco más pálida entre las venas.',
    'Pálida de forma marcada entre las venas.',
    'Muy pálida, verde solo junto a las venas.',
    'Pálida, con orillas cafés y secas.',
  ],
} satisfies typeof english;

export const helpWords = inLanguage(english, help);
