import { inLanguage } from '..';
import { help as english } from '../en/help';

/** The help card of each scale, and of the way to the next pot. */
export const help = {
  all: 'Ayuda',
  wayShort: 'camino',
  way: [
    '«7 hileras adelante · 3.ª»: siete hileras más lejos de la entrada y luego la tercera maceta desde el pasillo que se nombra abajo.',
    'Rombo: usted. Anillo grueso: esta maceta. Anillos delgados: las que siguen. Puntos llenos: ya revisadas.',
    'Camine por la franja verde. La rayada es el otro pasillo: «otro lado» quiere decir que dé la vuelta por la punta de la cama.',
    'Dos pasos son como 1.5\u202fm (5\u202fpies). Cuente los pasos de un tramo largo y luego las últimas hileras.',
    '¿No hay maceta? Toque Más y luego Saltar maceta. Queda en Macetas anteriores y puede volver a ella.',
  ],
  titles: {
    way: 'Cómo llegar a la siguiente',
    head: 'Tamaño de copa',
    buds: 'Conteo de botones',
    roots: 'Raíces',
    leaves: 'Hojas pálidas',
  },
  head: [
    '1 y 2: dos diámetros de la copa vista desde arriba, en cruz, primero el más ancho. No cuente brotes largos sueltos.',
    '3: la altura, del borde de la maceta a la punta de la copa.',
    'Redondee al medio centímetro o al cuarto de pulgada. Con la copa redonda basta un diámetro.',
    '«Normal en este lote» es el valor de en medio de sus macetas en este recorrido; hasta revisar suficientes, el del último recorrido.',
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
  rootsTwo: 'Dos preguntas aparte: cuánto del cepellón está cubierto y si las raíces están vivas.',
  cover: [
    'Sin raíces en la superficie; el sustrato se cae.',
    'Hasta 20\u202f% de la superficie.',
    'Hasta 40\u202f%.',
    'Hasta 60\u202f%.',
    'Hasta 80\u202f%.',
    'Más de 80\u202f%: el cepellón se sostiene.',
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
    soft: 'Blanda y mojada; se pela y queda un hilo: pudrición.',
    not_scratched: 'Sin tiempo, o sin raíces cafés que raspar.',
  },
  leavesTrap:
    'Lo tierno sale más claro: es normal. Compárelo con una hoja vieja de la misma planta: un verde claro, parejo y tierno en todas las puntas es brote nuevo, no clorosis.',
  leaves: {
    none: 'Hojas nuevas y viejas verdes.',
    young: 'Las hojas nuevas ya formadas, pálidas con venas verdes.',
    old: 'Las hojas de abajo pálidas, las nuevas verdes.',
    whole: 'Todas pálidas: revise las raíces.',
  },
  severity: [
    '',
    'Un poco más pálida entre las venas.',
    'Claramente pálida entre las venas.',
    'Muy pálida, verde solo junto a las venas.',
    'Pálida, con orillas cafés y secas.',
  ],
} satisfies typeof english;

export const helpWords = inLanguage(english, help);
