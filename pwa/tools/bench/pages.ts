/** Whatever the benches measure in a browser; run.mjs loads it through Vite, as the harness is TypeScript. */
export * from './browser.ts';
export * from './desk.ts';
export * from './lighthouse.ts';
export * from './phone.ts';
export * from './scale.ts';
