import { counter, stop } from '../plural';
import type { scout as english } from '../en/scout';

const pots = counter('es', { one: 'maceta', other: 'macetas' });
const notes = counter('es', { one: 'nota', other: 'notas' });
const photos = counter('es', { one: 'foto', other: 'fotos' });
const records = counter('es', { one: 'registro', other: 'registros' });
const days = counter('es', { one: 'día', other: 'días' });
const beds = counter('es', { one: 'cama', other: 'camas' });

export const scout = {
  nav: { label: 'Pantallas', today: 'Hoy', notes: 'Notas', settings: 'Ajustes', beds: 'Camas' },
  nowhere: { title: 'Aquí no hay nada', home: 'Ir a la primera pantalla' },
  unable:
    'Esta dirección no es segura y el navegador no guarda notas. Abra Bedwalk con su dirección https o, en este equipo, como http://localhost.',
  missing: 'Una parte de la app aún no está en este teléfono. Vaya una vez a donde haya señal y pruebe de nuevo.',

  today: 'Hoy',
  greeting: (day: string, person: string) => `${day} · ${person}`,
  bedName: (house: string, bed: string) => (house ? `${house}, ${bed}` : bed),
  lotLine: (tag: string, cultivar: string) => `${tag} ${cultivar}`.trim(),
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
  otherBeds: 'Otras camas',
  closedUntil: (bed: string, when: string) => `${bed} hasta ${when}`,
  moreClosed: (count: number) => `${beds(count)} más abajo`,
  uniformity: 'uniformidad',
  goOn: 'Seguir con el recorrido',
  halfway: (bed: string, seen: number) => `${bed}: ${pots(seen)} ${seen === 1 ? 'anotada' : 'anotadas'}, sin terminar`,
  leftOpen: (bed: string, day: string, seen: number) =>
    `${bed}: abierto desde el ${day}, ${pots(seen)} ${seen === 1 ? 'anotada' : 'anotadas'}. Ya no se puede seguir este recorrido. Revise sus macetas y ciérrelo.`,
  roundLeftOpen: (bed: string, day: string, seen: number) =>
    `${bed}: segunda lectura abierta desde el ${day}, ${pots(seen)} ${seen === 1 ? 'anotada' : 'anotadas'}. Ya no se puede seguir. Revise sus macetas y ciérrela.`,
  toEnd: 'Revisar y cerrar',
  scan: 'Leer una etiqueta',
  spot: 'Anotar aquí',
  workList: 'Lista de trabajo',
  rounds: 'Segunda lectura',
  roundHalfway: (bed: string, seen: number) =>
    `${bed}: segunda lectura, ${pots(seen)} ${seen === 1 ? 'anotada' : 'anotadas'}, sin terminar`,
  why: {
    never: 'nunca recorrida',
    days: (count: number) => `${days(count)} desde el último recorrido`,
    chlorosis: (day: string) => `clorosis vista ${day}`,
    roots: (day: string) => `pudrición de raíz vista ${day}`,
    recent: (ago: string) => `recorrida ${ago}`,
    part: (seen: number, about: number, ago: string) =>
      `${about > seen ? `${seen} de unas ${pots(about)} revisadas` : `${pots(seen)} ${seen === 1 ? 'revisada' : 'revisadas'}`} ${ago}, sin terminar`,
    away: 'sus notas aún no están aquí',
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
    unpaired: 'El servidor ya no conoce este teléfono. Las notas se quedan aquí. Vuelva a vincularlo para enviarlas.',
    revokedShort: 'A este teléfono se le quitó el acceso.',
    revokedKept:
      'Las notas se quedan en el teléfono y se siguen enviando, pero solo cuentan cuando el encargado las revise. A este teléfono ya no llega nada nuevo.',
    revokedDo: 'Pida un código al encargado y vuelva a vincular este teléfono.',
    full: 'Este teléfono está lleno.',
    resting: 'Las notas nuevas se envían solas.',
    syncing: 'Enviando…',
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
} satisfies typeof english;
