/**
 * What the phone's modules were before the latest kinds: put into them as a planted fault is, for phones whose app is a version behind.
 * @type {{file: string, find: string, put: string}[]}
 */
export const older = [
  { file: 'schema/kinds.ts', find: 'export const foldVersion = ', put: 'export const foldVersion = 0 * ' },
  { file: 'journal/store/shape.ts', find: 'export const BASE_VERSION = 9;', put: 'export const BASE_VERSION = 8;' },
  {
    file: 'fold/keys.ts',
    find: 'const { kind, body } = entry;',
    put: "const { kind, body } = entry; if (['trace', 'task', 'matter', 'cultivar'].includes(kind)) return [];",
  },
];
