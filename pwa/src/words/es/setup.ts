import { inLanguage } from '..';
import { setup as english } from '../en/setup';
import { counter, stop } from '../plural';

const notes = counter('es', { one: 'nota', other: 'notas' });

export const setup = {
  pair: {
    title: 'Vincular este aparato',
    explain: 'El encargado crea un código en la oficina, en la página Teléfonos. Sirve una vez y por diez minutos.',
    fromLink: 'El enlace trae el código. Diga cómo se llama este aparato y vincúlelo.',
    code: 'Código',
    name: '¿Cómo se llama este aparato?',
    nameHint: 'Para que el encargado distinga los aparatos: «Teléfono 3», «Oficina».',
    devices: { android: 'Teléfono Android', computer: 'Computadora' },
    go: 'Vincular',
    working: 'Vinculando…',
    already: (person: string, site: string) => `Este aparato está vinculado: ${person}, ${site}.`,
    again: 'Usar el código y vincular de nuevo',
    others: (count: number, person: string) =>
      `${notes(count)} de ${person} no se ${count === 1 ? 'ha enviado' : 'han enviado'}. Si otra persona vincula este aparato, se quedan aquí, sin enviar, hasta que ${person} lo vincule de nuevo.`,
    offline: 'Para vincular hace falta el servidor una vez. Vaya a donde haya señal y pruebe de nuevo.',
    slow: 'El servidor está lento. Pruebe otra vez; si el código ya no sirve, pida uno nuevo.',
    portal: 'La red pide que usted inicie sesión. Hágalo primero y pruebe de nuevo.',
    busy: 'El servidor no puede responder en este momento. Pruebe dentro de un rato.',
    /** Why a code pairs nothing, by the server's code for it. */
    because: {
      code_mistyped: 'Un carácter del código está mal. Compárelo con la pantalla del encargado y escríbalo otra vez.',
      code_unknown: 'Ese código no existe. Pida otro al encargado.',
      code_used: 'Este código ya se usó; cada uno sirve para un solo aparato. Pida otro al encargado.',
      code_old: 'Este código tiene más de 10 minutos. Pida otro al encargado.',
      too_many_guesses:
        'Se escribieron demasiados códigos equivocados. Espere unos minutos y luego escriba el código con cuidado.',
      other_nursery:
        'Este código es de otro vivero, y este teléfono tiene notas del suyo. Pida un código al encargado de su propio vivero, o use otro teléfono aquí. Si va a cambiar de vivero, primero envíe todas las notas y después borre los datos de este sitio en el navegador.',
      nursery_away:
        'El servidor no puede atender a este vivero en este momento. Las notas se quedan en este teléfono. Pruebe dentro de unos minutos; si no sirve, avise al encargado.',
    },
    welcome: (person: string) => `Listo. Hola, ${person}.`,
  },
  settings: {
    help: 'Ayuda',
    howToScore: 'Cómo calificar una maceta',
    language: 'Idioma',
    theme: 'Pantalla',
    themes: { plain: 'normal', sun: 'sol fuerte', dark: 'oscuro', auto: 'igual que el teléfono' },
    text: 'Tamaño de letra',
    texts: { normal: 'normal', large: 'grande' },
    hand: 'Mano con que toca la pantalla',
    hands: { left: 'izquierda', right: 'derecha' },
    length: 'Medidas',
    lengths: { cm: 'centímetros', in: 'pulgadas' },
    temperature: 'Temperatura',
    volume: 'Volumen',
    volumes: { L: 'litros', gal: 'galones de EE. UU.' },
    entry: 'Escribir números con',
    entries: { keypad: 'teclado', steps: 'botones + y −' },
    caliper: 'El vernier (calibrador digital) envía',
    calipers: { mm: 'milímetros', in: 'pulgadas' },
    phone: 'Este teléfono',
    staying: 'Notas protegidas en este teléfono.',
    notStaying:
      'El navegador podría borrar las notas sin enviar. Agregue Bedwalk a la pantalla de inicio y vaya seguido a donde haya señal.',
    askLater: 'Al guardar la primera nota, Bedwalk pide al navegador que proteja las notas de este teléfono.',
    used: (used: string, quota: string) => `${used} MB usados de ${quota} MB`,
    build: (id: string) => `Versión ${id}`,
  },
  notes: {
    own: 'Notas escritas en este teléfono',
    none: 'Aún no se escribió ninguna nota en este teléfono.',
    older: 'Mostrar notas más viejas',
    sameOlder: (when: string) =>
      `${stop(`Las mismas notas que el servidor ${when}`)} La app de este teléfono es más vieja. Ciérrela y ábrala otra vez donde haya señal para actualizarla.`,
    states: {
      offline: 'Sin señal. Las notas están seguras aquí y se enviarán cuando haya señal.',
      slow: 'El servidor está lento. Las notas están seguras aquí y se enviarán otra vez.',
      portal:
        'La red quizá pide que usted inicie sesión. Abra cualquier página e inicie sesión; después se enviarán las notas.',
      revoked:
        'A este teléfono se le quitó el acceso. Sus notas se guardan y el encargado las revisará. Pregunte al encargado.',
      busy: 'El servidor no recibe notas en este momento. Están seguras aquí y el teléfono lo intenta otra vez. Si sigue así, avise al encargado.',
      refused:
        'El servidor rechaza la nota más antigua. Guarde las notas en un archivo, abajo, y entréguelo al encargado.',
      broken: 'No se pudo enviar. Se intenta otra vez; no se pierde nada.',
      full: 'Este teléfono está lleno: no puede guardar todo lo que anotan los demás, y las notas ya enviadas pueden seguir como “por enviar”. Sigue enviando lo que puede y conserva lo que ya guardó. Libere espacio (fotos, videos o apps que no use); después Bedwalk lo intenta solo otra vez.',
    },
    agrees: (when: string) => stop(`El teléfono y el servidor coincidían ${when}`),
    differs: (when: string) =>
      `${stop(`El teléfono y el servidor no coincidían ${when}`)} El teléfono está trayendo los registros otra vez.`,
    backedUp: 'Con respaldo hasta la última coincidencia.',
    tryNow: 'Enviar ahora',
    nextTry: (when: string) => `Próximo intento ${when}`,
    toFile: 'Guardar en un archivo',
    pending: 'por enviar',
    arrived: 'enviada',
    quarantined: 'retenida para el encargado',
    review: 'la revisará el encargado',
    rejected: 'rechazada por el encargado',
    rejectedNote: 'No está en los registros. Si importa, revise la maceta y anote otra vez, o pregunte al encargado.',
    parked: 'espera a que la persona que la escribió vincule este teléfono',
    kinds: {
      walk: 'Recorrido empezado',
      walk_end: 'Recorrido terminado',
      observation: 'Maceta',
      correction: 'Maceta corregida',
      void: 'Tachada',
      unvoid: 'Recuperada',
      skip: 'Maceta saltada',
      count: 'Conteo',
      recount: 'Reconteo',
      move: 'Traslado',
      event: 'Trabajo hecho',
      application: 'Producto aplicado',
      reading: 'Lectura',
      rooting: 'Conteo de enraizado',
      note: 'Comentario',
      photo: 'Foto',
      trace: 'Temperaturas del registrador',
      task: 'Tarea',
      matter: 'Resuelto o pospuesto',
      cultivar: 'Variedad',
      lot: 'Lote',
      span: 'Tramo de cama',
      bed: 'Cama',
      house: 'Nave',
      site: 'Vivero',
      person: 'Persona',
      profile: 'Perfil de cultivo',
      booking: 'Apartado',
      round: 'Segunda lectura',
    },
  },
} satisfies typeof english;

export const setupWords = inLanguage(english, setup);
