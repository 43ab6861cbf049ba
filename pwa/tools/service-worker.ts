/**
 * Builds the service worker after the app. It comes last because it must know the final name of every file to
 * precache, and is built apart because a worker at the site's root cannot have a hashed name or shared chunks.
 *
 * The build id has three readers: the worker (`__BUILD_ID__`), the page (`<meta name="build" content="dev">` in
 * index.html, rewritten here) and the server (`build.json`), so each can tell that another is older.
 */
import { createHash } from 'node:crypto';
import { readFileSync, readdirSync, writeFileSync } from 'node:fs';
import { join, relative, sep } from 'node:path';
import { build, type Plugin, type ResolvedConfig } from 'vite';

const BUILD_META = '<meta name="build" content="dev"';

export function serviceWorker(options: { entry: string }): Plugin {
  let config: ResolvedConfig;
  return {
    name: 'bedwalk:service-worker',
    apply: 'build',
    configResolved(resolved) {
      config = resolved;
    },
    writeBundle: {
      order: 'post',
      sequential: true,
      async handler() {
        const dist = join(config.root, config.build.outDir);
        const files = precachable(dist);
        const id = buildId(dist, files);

        const page = join(dist, 'index.html');
        const html = readFileSync(page, 'utf8');
        if (!html.includes(BUILD_META))
          throw new Error(`index.html lacks ${BUILD_META}>: the page could not tell its build`);
        writeFileSync(page, html.replace(BUILD_META, `<meta name="build" content="${id}"`));
        writeFileSync(join(dist, 'build.json'), `${JSON.stringify({ build: id, precache: files })}\n`);

        await build({
          configFile: false,
          root: config.root,
          logLevel: 'warn',
          publicDir: false,
          define: {
            __PRECACHE__: JSON.stringify(files.map((file) => (file === 'index.html' ? '/' : `/${file}`))),
            __BUILD_ID__: JSON.stringify(id),
          },
          build: {
            outDir: dist,
            emptyOutDir: false,
            target: config.build.target,
            rolldownOptions: { input: options.entry, output: { format: 'iife', entryFileNames: 'sw.js' } },
          },
        });
      },
    },
  };
}

/**
 * Lists what the app needs offline: all of dist but the worker itself, what tells builds apart, dot files, and the code
 * reader's wasm, which is two thirds of everything and comes into a cache of its own where the phone has no reader.
 */
function precachable(dist: string): string[] {
  return readdirSync(dist, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => relative(dist, join(entry.parentPath, entry.name)).split(sep).join('/'))
    .filter((file) => !/(^|\/)\.|\.(map|wasm)$|^(sw\.js|build\.json)$/.test(file))
    .sort();
}

function buildId(dist: string, files: string[]): string {
  const hash = createHash('sha256');
  for (const file of files) hash.update(`${file}\0`).update(readFileSync(join(dist, file)));
  return hash.digest('hex').slice(0, 12);
}
