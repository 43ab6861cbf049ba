import { counter, stop, written } from '../plural';
import type { phones as english } from '../en/phones';

const notes = counter('es', { one: 'nota', other: 'notas' });

export const phones = {
  title: 'Teléfonos',
  emptyTitle: 'Todavía no hay teléfonos vinculados',
  empty: 'Cree abajo un código y escanéelo con el teléfono del monitoreador.',
  head: (position: string) => `El diario del servidor va en la posición ${position}.`,
  backup: (position: string, when: string) => stop(`Con respaldo hasta la posición ${position}, hecho ${when}`),
  backupBehind: (count: string) => `Notas desde el último respaldo: ${count}.`,
  backupNone:
    'Todavía no hay respaldo. Corra «bedwalk backup» en la computadora del servidor y guarde la copia en otro disco.',

  thisOne: 'este',
  device: 'Aparato',
  person: 'Persona',
  pending: 'Por enviar',
  pendingNone: 'nada',
  pendingNotes: notes,
  pendingPhotos: (count: number) => counter('es', { one: 'foto', other: 'fotos' })(count),
  pendingAsOf: 'según su último aviso',
  seen: 'Visto por última vez',
  silent: (ago: string) => `${ago}, nada desde entonces`,
  never: 'nunca',
  clock: 'Reloj',
  clockRight: 'bien',
  clockAhead: (by: string) => `${by} adelantado`,
  clockBehind: (by: string) => `${by} atrasado`,
  clockNote: 'sus notas llevan la hora del servidor',
  minutes: (count: number) => counter('es', { one: 'minuto', other: 'minutos' })(count),
  hours: (count: number) => counter('es', { one: 'hora', other: 'horas' })(count),
  daysOff: (count: number) => counter('es', { one: 'día', other: 'días' })(count),
  records: 'Registros',
  match: (position: string) => `coinciden con el servidor en la posición ${position}`,
  sameOlder: (position) =>
    `las mismas notas que el servidor en la posición ${position}; la app de este teléfono es más vieja, y sus registros no se comparan`,
  differ: 'no coinciden: el teléfono los está trayendo otra vez',
  unknown: 'todavía no se comparan',
  comparedAt: (when: string) => `comparados ${when}`,
  sent: (count: string) => `notas enviadas: ${count}`,
  revoked: (when: string) => `acceso quitado ${when}`,
  revoke: 'Quitar acceso',
  revokeName: (device: string) => `Quitar acceso: ${device}`,
  revokeTitle: (device: string) => `¿Quitar el acceso a ${device}?`,
  revokeNote:
    'Desde ahora no recibe nada. Las notas que todavía tiene no se pierden: lo que envíe después, o lo que venga en su archivo de notas, queda retenido en esta página para que usted lo revise.',
  revokeDo: 'Quitar el acceso',
  revokeDone: (device: string) => `${device} ya no tiene acceso.`,

  waitTitle: 'Notas que necesitan su decisión',
  waitNone: 'Ninguna. Todo lo que llegó está en los registros.',
  waitIntro: 'Están guardadas, pero no cambian ningún registro hasta que usted decida.',
  waitOf: (phone: string, count: string, since: string) =>
    `${phone}, notas retenidas: ${count}, la más antigua recibida ${since}`,
  waitFromFile: 'De un archivo',
  waitReturned: (phone: string) => `Devueltas por ${phone}`,
  waitReturnedUnknown: 'Devueltas por un teléfono',
  allNote:
    'Esto solo incluye las notas retenidas porque a su teléfono se le quitó el acceso. Decida sobre las demás una por una.',
  mergeAll: 'Incluir todas las que se pueda',
  leaveAll: 'Rechazarlas todas',
  waitMore: (shown: string, all: string) =>
    `Aquí se ven ${shown} de ${all} notas, las más recientes de cada teléfono. Abra arriba un teléfono para ver todas sus notas.`,
  lookAll: (count: string) => `Ver las ${count}, una por una`,
  lookLess: 'Cerrar la lista',
  page: (page: string, count: string) => `Página ${page}, primero las más recientes. Retenidas: ${count}.`,
  pageOlder: 'Notas anteriores',
  pageNewer: 'Notas más recientes',
  pageNone: 'Ya no hay notas retenidas en esta página.',
  decidedAll: (decided: string, waiting: string) => `Decididas: ${decided}. Retenidas todavía: ${waiting}.`,
  stateHeld: 'retenida',
  stateReview: 'por revisar',
  whyHeld: 'El servidor no pudo aceptarla así:',
  whyReview: 'Vino de un aparato que ya no tenía acceso.',
  whyReturned: 'La devolvió otro teléfono:',
  merge: 'Incluirla',
  leave: 'Rechazarla',
  cannotMerge: 'Así no se puede incluir. Pida que la escriban otra vez y rechace esta.',
  merged: 'Incluida.',
  rejected: 'Rechazada. Sigue en el diario.',
  received: (when: string) => `recibida ${when}`,
  asWritten: 'Como se escribió',

  fileTitle: 'Notas de un archivo',
  fileIntro:
    'Un teléfono que ya no puede enviar guarda sus notas sin enviar en un archivo. Cárguelo aquí; cargarlo dos veces no hace daño.',
  fileChoose: 'Elegir el archivo',
  fileDone: (all: number, merged: number, known: number, held: number) =>
    `${notes(all)} en el archivo. Incluidas: ${written('es', merged)}; ya estaban aquí: ${written('es', known)}; retenidas arriba para su decisión: ${written('es', held)}.`,
  fileWrong:
    'Este archivo no trae notas sin enviar. Elija el que guardó el teléfono: su nombre empieza con bedwalk-unsent.',

  clockDoubt: {
    jumped: 'El reloj del servidor dio un salto; las notas no reciben hora.',
    behind: 'El reloj del servidor está atrasado respecto a la última hora que dio; las notas no reciben hora.',
    unproven:
      'El servidor estuvo apagado. Las notas reciben hora en cuanto un teléfono marque la misma que el servidor.',
    phones: 'Los teléfonos de la mayoría marcan otra hora que el servidor; las notas no reciben hora.',
  },
  clockNow: (now: string) => stop(`El reloj del servidor marca ${now}`),
  clockPhones: (when: string, people: string) =>
    `Los teléfonos marcan ${when} (mediana de ${people} en la última hora).`,
  clockPeople: counter('es', { one: 'persona', other: 'personas' }),
  clockKept: 'Los teléfonos guardan sus notas y las envían después. Todo lo demás funciona.',
  clockOwner:
    '¿Esa hora está mal? Ponga en hora la computadora del servidor. Si está bien, un dueño puede confirmarlo aquí.',
  clockConfirm: 'La hora es correcta',
  clockConfirmed: 'Las notas reciben otra vez la hora del servidor.',

  troubleTitle: 'Problemas notados',
  troubleNone: 'Ninguno.',
  trouble: {
    digest_differs: 'Los registros de un teléfono no coincidían con el servidor; los trajo otra vez.',
    fewer_than_counted:
      'El servidor tiene menos notas de un lote que las que contó un teléfono, y ese teléfono solo tiene una parte. Busque un respaldo más nuevo o un teléfono que las tenga todas.',
    fork: 'Dos copias de un teléfono escribieron notas. Las dos se guardan; la copia recibió otro número.',
    server_clock_behind:
      'El reloj del servidor se atrasó. Las horas se mantienen en orden; ponga en hora esa computadora.',
    server_clock:
      'El reloj del servidor no podía estar bien. Las notas se quedan en los teléfonos hasta que lo esté o un dueño lo confirme.',
    clock_confirmed: 'Un dueño confirmó que el reloj del servidor está bien.',
    clock_set_back:
      'El reloj del servidor estuvo adelantado. Las horas que dio se quedan; las notas nuevas reciben la correcta.',
    backup_restored: 'El servidor se restauró de un respaldo anterior. Los teléfonos envían otra vez lo que le falta.',
    handed_back: 'Un teléfono devolvió notas de otros teléfonos que el servidor había perdido.',
    quarantine_full:
      'Un teléfono envió más notas de las que el servidor retiene por teléfono. El teléfono conserva las demás; decida sobre las retenidas.',
    log_large: 'El registro previo (WAL) del servidor es grande. Se achica solo cuando nadie lee por un momento.',
    receipt_key_lost:
      'La clave de recibos del servidor es nueva. Las notas que los teléfonos devuelvan tras un respaldo quedan retenidas arriba para su decisión.',
    cursor_unproven: 'Un teléfono dijo haber leído más notas de las que tuvo el servidor. Se le regresó al final.',
    journal_lost_entries:
      'El servidor había perdido notas que un teléfono todavía tenía; el teléfono las envía otra vez.',
  },
  troubleOther: (code: string) => `Otra cosa (${code}).`,
  troubleTimes: (count: string, first: string, last: string) =>
    `${count} veces, la primera ${first}, la última ${last}`,
  troubleOver: (when: string) => `terminó ${when}`,
  troubleMore: (count: string) => `${count} más. Descarte algunos para verlos.`,
  troubleSeen: 'Descartar',
  troubleSeenName: (what: string) => `Descartar: ${what}`,
  troubleSeenDone: 'Descartado. Si vuelve a pasar, aparece otra vez.',

  pairTitle: 'Vincular otro aparato',
  pairIntro: 'El código sirve una vez y por diez minutos.',
  pairName: 'Nombre de la persona',
  pairNameHint: 'como le dice la cuadrilla',
  pairRole: 'Función',
  pairNew: 'alguien nuevo',
  pairWho: 'Quién',
  pairMake: 'Crear un código',
  pairScan: 'Escanéelo con la cámara del teléfono o escriba el código en la app.',
  pairCode: 'Código',
  pairUntil: (when: string) => `sirve hasta ${when}`,
  pairLink: 'Enlace',
  pairQr: (code: string) => `Código QR del enlace, código ${code}`,
  pairAgain: 'Crear otro',
  pairNeedsName: 'Escriba el nombre de la persona, de 1 a 80 letras.',
  roleHint: {
    scout: 'recorre y anota en un teléfono',
    supervisor: 'también ve estas páginas y decide los desacuerdos',
    owner: 'también vincula encargados',
  },
} satisfies typeof english;
