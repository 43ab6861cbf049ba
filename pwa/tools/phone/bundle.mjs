/**
 * Builds the phone's journal as one function. Its parameters are the globals of a phone, so that each call is one start of the app,
 * with modules whose memory is as empty as after a kill, over whatever database and network it is given.
 */
import { join } from 'node:path';
import { Script } from 'node:vm';
import { build } from 'vite';
import { root } from '../steps.mjs';
import { faults } from './faults.mjs';
import { older } from './older.mjs';

/** @typedef {typeof import('./app.ts')} App */

/** Phones of a simulated day pull a few notes at a time: these are packed too. */
const small = { file: 'journal/store/pageSize.ts', find: 'LEAST = 50', put: 'LEAST = 2' };

/**
 * @param {string} fault the planted fault that the phone's modules are built with; '' for none
 * @param {boolean} isOlder whether they are those of an app that is a version behind
 * @param {string[]} globals names that the app finds as its globals
 * @returns {Promise<(...globals: unknown[]) => App>}
 */
export async function bundle(fault, isOlder, globals) {
  const planted = [small, ...(faults[fault] ?? []), ...(isOlder ? older : [])];
  if (fault !== '' && !Object.hasOwn(faults, fault)) throw new Error(`no fault of the phone is called ${fault}`);
  const found = new Set();
  const made = await build({
    root,
    configFile: false,
    logLevel: 'error',
    plugins: [
      {
        name: 'plant',
        enforce: 'pre',
        transform(code, id) {
          let text = code;
          for (const each of planted.filter(({ file }) => id.endsWith(`/${file}`))) {
            if (text.includes(each.find)) found.add(each);
            text = text.replace(each.find, () => each.put);
          }
          return text === code ? undefined : text;
        },
      },
    ],
    build: {
      write: false,
      minify: false,
      target: 'es2022',
      modulePreload: false,
      lib: { entry: join(root, 'pwa/tools/phone/app.ts'), formats: ['iife'], name: 'app' },
      rolldownOptions: { output: { codeSplitting: false } },
    },
  });
  const lost = planted.filter((each) => !found.has(each));
  if (lost.length > 0)
    throw new Error(`the fault "${fault || 'older'}" finds its place no more: ${JSON.stringify(lost)}`);
  const [output] = Array.isArray(made) ? made : [made];
  const chunk = output && 'output' in output ? output.output[0] : undefined;
  if (!chunk) throw new Error('the phone was not built: vite gave no code');
  const script = new Script(`(function (${globals.join(', ')}) { ${chunk.code}\nreturn app; })`, {
    filename: 'phone.js',
  });
  return script.runInThisContext();
}
