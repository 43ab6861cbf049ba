/**
 * Faults planted into the phone's modules, to see that a checker finds them. Each is a piece of a module's text and what is put in its
 * place when the bundle is built for it; the shipped app is never built with one. A piece that is no longer found is an error.
 * @type {Record<string, {file: string, find: string, put: string}[]>}
 */
export const faults = {};
