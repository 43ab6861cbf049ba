import { counter } from '../plural';
import type { nursery as english } from '../en/nursery';

const beds = counter('es', { one: 'cama', other: 'camas' });
const houses = counter('es', { one: 'nave', other: 'naves' });
const people = counter('es', { one: 'persona', other: 'personas' });

export const nursery = {
  parts: 'Preparar',
  part: { beds: 'Naves y camas', people: 'Personas', in: 'Traer datos', out: 'Sacar datos' },
  name: 'El vivero',
  yourName: 'Su nombre',
  yourNameMissing: 'Falta su nombre. Escriba cómo le dice la gente, con 80 letras como máximo.',

  first: {
    title: 'Primeros pasos',
    done: 'Listo.',
    step: {
      name: 'Poner nombre al vivero',
      beds: 'Agregar naves y camas',
      lots: 'Agregar lotes',
      people: 'Agregar personas y vincular un teléfono',
      walk: 'Recorrer una cama',
    },
    about: {
      name: 'El nombre, la zona horaria y su propio nombre.',
      beds: 'Muchas a la vez: cuántas camas, cuántas hileras, cuántas macetas a lo ancho.',
      lots: 'De una hoja de cálculo, o uno por uno. Una cama se recorre cuando tiene un lote.',
      people: 'Todos los que recorren o deciden; después, un código para cada teléfono.',
      walk: 'En un teléfono: elija una cama y empiece el recorrido. También se puede en esta computadora.',
    },
  },

  beds: {
    title: 'Agregar muchas camas',
    intro:
      'Camas de un mismo tamaño, numeradas desde la primera. El largo va desde la entrada; las hileras van a lo ancho. Si las camas son de muchos tamaños, traiga una hoja de cálculo.',
    field: {
      houses: 'Nave, o varias separadas con comas',
      first: 'Nombre de la primera cama',
      count: 'Camas en cada nave',
      length: 'Largo de una cama',
      width: 'Ancho de una cama',
      rows: 'Hileras a lo largo',
      across: 'Macetas a lo ancho',
      entry: 'Cómo se llama la entrada (opcional)',
      far: 'Cómo se llama el fondo (opcional)',
    },
    fill: 'Llene todos los campos menos los dos últimos para ver qué se va a agregar.',
    many: (most: number) => `Escriba un número entero de 1 a ${most}.`,
    newHouse: '(nave nueva)',
    inHouse: '(nave que ya existe)',
    names: (first: string, second: string, last: string, n: number) => `${first}, ${second} … ${last} (${beds(n)})`,
    each: (rows: string, across: string, places: string, along: string, wide: string) =>
      `Cada cama: ${rows} hileras de ${across}, ${places} lugares, uno cada ${along} a lo largo y cada ${wide} a lo ancho.`,
    already: (n: number) =>
      n === 1
        ? 'Una de estas camas ya existe y queda como está.'
        : `${n} de estas camas ya existen y quedan como están.`,
    add: (n: number) => `Agregar ${beds(n)}`,
    done: (h: number, b: number) => (h === 0 ? `Se agregó: ${beds(b)}.` : `Se agregó: ${houses(h)} con ${beds(b)}.`),
    source: 'Muchas camas',
  },

  houses: {
    title: 'Naves y camas',
    beds,
    bedsOf: (house: string) => `Camas de ${house}`,
    rename: 'Cambiar la nave',
    name: 'Nombre',
    note: 'Comentario',
    saved: 'Nave guardada.',
    bed: 'Cama',
    rows: 'Hileras',
    across: 'A lo ancho',
    length: 'Largo',
    width: 'Ancho',
    lots: 'Lotes en ella',
    change: 'Cambiar',
    changeBed: (bed: string) => `Cambiar ${bed}`,
    retire: 'Dar de baja',
    retireName: (name: string) => `Dar de baja ${name}`,
    retired: 'Dadas de baja',
    use: 'Usar otra vez',
    useAgain: (name: string) => `Usar ${name} otra vez`,
    gone: (name: string) => `${name} queda dada de baja. Su historia se conserva.`,
    back: (name: string) => `${name} se usa otra vez.`,
  },

  people: {
    add: 'Agregar personas',
    names: 'Nombres, uno por línea',
    role: 'Trabajan como',
    roleNote: 'Lo que puede hacer un teléfono lo decide su código. Un dueño se agrega ahí.',
    planned: (names: string) => `Nuevas: ${names}.`,
    there: (names: string) => `Ya están: ${names}.`,
    tooLong: (names: string) => `Acorte a 80 letras: ${names}.`,
    put: (n: number) => (n === 0 ? 'Agregar' : `Agregar ${people(n)}`),
    added: (n: number) => `Se agregó: ${people(n)}.`,
    here: 'Quién trabaja aquí',
    you: 'usted',
    name: 'Nombre',
    rename: 'Cambiar nombre',
    renameOf: (name: string) => `Cambiar el nombre de ${name}`,
    save: 'Guardar',
    saved: 'Nombre guardado.',
    left: 'Ya no está',
    leftOf: (name: string) => `${name} ya no está`,
    back: 'Volvió',
    backOf: (name: string) => `${name} volvió`,
    hasLeft: (name: string) =>
      `${name} sale de las listas. Si hay un teléfono vinculado a su nombre, todavía tiene acceso: quítelo en la página Teléfonos.`,
    isBack: (name: string) => `${name} está otra vez en las listas.`,
    gone: 'Ya no están',
    goneNote: 'Sus notas siguen a su nombre.',
    toPhones: 'Vincular un teléfono',
  },
  workingDays: {
    title: 'Días hábiles',
    intro: 'Los pasos que necesitan gente se planean para días hábiles. Si por eso se mueve un día, se dice por qué.',
    work: (days) => `Se trabaja: ${days}.`,
    everyDay: 'No hay días libres anotados, así que el plan cuenta todos los días como hábiles.',
    ship: (weekday) => `Las macetas de una semana de embarque deben estar listas a más tardar el ${weekday}.`,
    shipUnsaid: (weekday) =>
      `Las macetas de una semana de embarque deben estar listas a más tardar el ${weekday}: nadie ha puesto otro día.`,
    none: 'No hay días festivos anotados.',
    holiday: (on, name) => `${on}: ${name}`,
    change: 'Cambiar los días hábiles',
    worked: 'Se trabaja',
    noDay: 'Elija por lo menos un día de la semana en que se trabaje.',
    shipDay: 'Día de la semana de embarque en que las macetas deben estar listas',
    shipNone: (weekday) => `${weekday}, mientras no se ponga otro`,
    holidays: 'Días festivos',
    on: 'Fecha del día festivo',
    name: 'Nombre del día festivo',
    add: 'Agregar el día festivo',
    addFirst: 'Hay un día festivo escrito que no se ha agregado. Agréguelo, o borre sus campos.',
    twice: 'Ese día ya está en la lista. Elija otro, o quite el de la lista.',
    remove: (name) => `Quitar ${name}`,
    save: 'Guardar los días hábiles',
    saved: 'Días hábiles guardados. El plan se calcula otra vez con ellos.',
    cancel: 'Cancelar',
  },
} satisfies typeof english;
