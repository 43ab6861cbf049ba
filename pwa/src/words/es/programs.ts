import type { programs as english } from '../en/programs';

export const programs = {
  title: 'Para otros programas',
  intro:
    'Otro programa lee aquí con una clave que usted le hace. La clave solo sirve para leer: con ella no se cambia nada, no se bajan fotos ni se conectan teléfonos.',
  make: 'Hacer una clave',
  name: 'Nombre',
  nameNote: 'el programa que la va a usar, por ejemplo «Hoja de la oficina»',
  nameMissing: 'Escriba un nombre, con 80 letras como máximo.',
  use: '¿Qué va a leer los datos?',
  spreadsheet: 'Una hoja de cálculo',
  spreadsheetHint: 'recibe la dirección de una tabla, en CSV',
  program: 'Un programa',
  programHint: 'recibe una clave para las tablas y para lo que muestran estas páginas',
  table: 'Tabla',
  people: 'Puede leer también datos de las personas',
  peopleNote:
    'Función, naves, quién ya no trabaja aquí y cómo lee cada monitoreador. Los nombres están de todos modos en las demás tablas, junto a macetas y notas.',
  peopleTable: 'Esta tabla dice de cada persona su función, sus naves y si ya no trabaja aquí.',
  put: 'Hacer la clave',
  another: 'Hacer otra clave',

  addressTitle: (name: string) => `Dirección para «${name}»`,
  keyTitle: (name: string) => `Clave para «${name}»`,
  once: 'Cópiela ahora: solo se muestra esta vez.',
  copy: 'Copiar',
  copied: 'Copiada.',
  copyByHand:
    'Este navegador no deja copiar a la página. Ya está marcada: cópiela con el teclado o manteniéndola presionada.',
  addressHow:
    'En la hoja de cálculo, elija obtener datos de la web o de un enlace y dé esta dirección. Cada vez que se actualice, trae la tabla como está.',
  addressCaution:
    'Quien tenga esta dirección puede leer la tabla. Las direcciones se quedan en libros compartidos, en navegadores y en registros de otras computadoras. Si la vio quien no debía, quite la clave más abajo y haga otra.',
  addressSafer:
    'Más seguro, si la hoja puede iniciar sesión: use la dirección hasta antes del signo de interrogación, cualquier nombre de usuario y, como contraseña, lo que sigue a «key=».',
  reach: 'Una hoja de cálculo en internet llega a este servidor solo si el servidor tiene una dirección pública.',
  plain:
    'A este servidor se entra sin HTTPS: cualquiera en la misma red puede ver los datos en el camino, y también la clave.',
  keyHow: 'El programa la envía en un encabezado de cada solicitud:',
  keyCaution:
    'Quien tenga esta clave lee lo mismo que el programa. Guárdela donde guarda las contraseñas, nunca en una dirección ni en un archivo compartido.',

  keys: 'Claves',
  none: 'Todavía no hay claves.',
  readsAll: 'lee tablas y páginas',
  readsTable: (table: string) => `lee una tabla: ${table}`,
  readsPeople: 'también datos de las personas',
  madeBy: (name: string, day: string) => `la hizo ${name}, ${day}`,
  used: (when: string) => `último uso: ${when}`,
  unused: 'sin usar',
  revoke: 'Quitar',
  revokeOf: (name: string) => `Quitar «${name}»`,
  revokeAsk: (name: string) => `¿Quitar la clave «${name}»?`,
  revokeSays: 'Lo que la usa ya no podrá leer nada. No se puede recuperar; puede hacer otra.',
  revokeYes: 'Quitarla',
  revoked: (when: string) => `Se quitó ${when}`,
  orphaned: 'No sirve: quien la hizo ya no tiene acceso de encargado. Haga otra.',
  past: 'Claves que se quitaron',

  write: 'Para quien escribe un programa',
  writeSays: 'Lo que este servidor contesta a otros programas, con un ejemplo de cada solicitud. En inglés.',
  read: 'Leer la descripción',
  raw: 'OpenAPI 3.1, para herramientas',
} satisfies typeof english;
