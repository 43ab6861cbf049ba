/** The real server as its own process on its own port and data, to be started, killed and started again. */
import { spawn, type ChildProcess } from 'node:child_process';
import { cpSync, existsSync, mkdirSync, mkdtempSync, readdirSync, renameSync, rmSync, statSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { bedwalk, root } from '../tools/steps.mjs';

/** A test file that fails before it can close must not leave a server behind. */
const running = new Set<ChildProcess>();
process.once('exit', () => running.forEach((child) => child.kill('SIGKILL')));

export type Role = 'scout' | 'supervisor' | 'owner';

export class Server {
  #process: ChildProcess | undefined;
  #printed = '';
  readonly #data: string;
  readonly #port: number;
  /** The port at which plain http leads on to HTTPS, where the office has a certificate of its own. */
  readonly #plain: number | undefined;

  private constructor(data: string, port: number, plain: number | undefined) {
    this.#data = data;
    this.#port = port;
    this.#plain = plain;
  }

  /**
   * Starts on a free port, with an empty data folder, with a copy of the demo nursery, or with a folder that is given over to it
   * and goes when it closes; office is HTTPS by a certificate of its own.
   */
  static async start(options: { demo: boolean; office?: boolean; data?: string | undefined }): Promise<Server> {
    if (!existsSync(bedwalk)) throw new Error(`${bedwalk} is not built; run: npm run build`);
    const data = options.data ?? mkdtempSync(join(tmpdir(), 'bedwalk-e2e-'));
    if (options.demo) cpSync(await demoNursery(), data, { recursive: true });
    const server = new Server(data, await freePort(), options.office ? await freePort() : undefined);
    await server.comesBack();
    return server;
  }

  /** The origin. It is localhost by name, since only there plain http counts as a secure context. */
  get url(): string {
    return `${this.#plain === undefined ? 'http' : 'https'}://localhost:${this.#port}`;
  }

  /** Where a phone begins: the origin, or with an office certificate the page that tells how to trust it. */
  get front(): string {
    return this.#plain === undefined ? this.url : `http://localhost:${this.#plain}`;
  }

  /** Everything printed since the first start, for a failing test to show. */
  get printed(): string {
    return this.#printed;
  }

  /** Asks for a new one-time link, as the owner would at the machine itself. */
  async pairingLink(role: Role): Promise<string> {
    const printed = await run('pair', '--data', this.#data, '--role', role, '--url', this.front);
    const link = pairingLinks(printed).get(role);
    if (link === undefined) throw new Error(`"bedwalk pair --role ${role}" printed no link but:\n${printed}`);
    return link;
  }

  /** Ends at once, as in a power cut. */
  async dies(): Promise<void> {
    await this.#end('SIGKILL');
  }

  /** Starts again on the same port with the same data, and waits until it answers. */
  async comesBack(): Promise<void> {
    const args = ['serve', '--data', this.#data, '--listen', `127.0.0.1:${this.#port}`];
    if (this.#plain !== undefined) args.push('--office', '--plain', `127.0.0.1:${this.#plain}`);
    const child = spawn(bedwalk, args, { cwd: root, stdio: ['ignore', 'pipe', 'pipe'] });
    this.#process = child;
    running.add(child);
    child.once('exit', () => running.delete(child));
    for (const stream of [child.stdout, child.stderr]) {
      stream.setEncoding('utf8').on('data', (text: string) => (this.#printed += text));
    }
    const deadline = Date.now() + 30_000;
    while (!(await answers(this.front))) {
      if (child.exitCode !== null || Date.now() > deadline) {
        throw new Error(`the server does not answer at ${this.front}; it printed:\n${this.#printed}`);
      }
      await pause(50);
    }
  }

  /** Copies the data aside, as the owner's nightly backup does. */
  async backsUp(): Promise<void> {
    await run('backup', '--data', this.#data, '--to', this.#backups);
  }

  /** Ends, gets its newest backup in place of its data, and starts again. */
  async isSetBackToItsBackup(): Promise<void> {
    await this.#end('SIGTERM');
    const newest = readdirSync(this.#backups, { recursive: true, encoding: 'utf8' })
      .filter((file) => file.endsWith('.db'))
      .sort()
      .at(-1);
    if (newest === undefined) throw new Error(`no backup in ${this.#backups}`);
    await run('restore', '--data', this.#data, '--from', join(this.#backups, newest));
    await this.comesBack();
  }

  /** Keeps a copy of the whole disk, as a virtual machine's host does, and goes on. */
  async copiesItsDisk(): Promise<void> {
    await this.#end('SIGTERM');
    cpSync(this.#data, this.#copy, { recursive: true });
    await this.comesBack();
  }

  /** Ends, gets the copy of its whole disk in place of what it has, and starts again without a sign of it. */
  async hasItsDiskSetBack(): Promise<void> {
    await this.#end('SIGTERM');
    rmSync(this.#data, { recursive: true, force: true });
    cpSync(this.#copy, this.#data, { recursive: true });
    await this.comesBack();
  }

  get #copy(): string {
    return `${this.#data}-copy`;
  }

  get #backups(): string {
    return `${this.#data}-backups`;
  }

  /** Ends in its own time and takes its data along. */
  async close(): Promise<void> {
    await this.#end('SIGTERM');
    rmSync(this.#data, { recursive: true, force: true });
    rmSync(this.#backups, { recursive: true, force: true });
    rmSync(this.#copy, { recursive: true, force: true });
  }

  async #end(signal: NodeJS.Signals): Promise<void> {
    const child = this.#process;
    if (!child || child.exitCode !== null || child.signalCode !== null) return;
    const gone = new Promise((done) => child.once('exit', done));
    child.kill(signal);
    await gone;
  }
}

/** Reads the lines `pair scout: http://...` that the server and its pair command print. */
export function pairingLinks(printed: string): Map<string, string> {
  return new Map([...printed.matchAll(/^pair (\w+): (\S+)$/gm)].map(([, role = '', link = '']) => [role, link]));
}

/** Grows the demo nursery once a day for each build, since it ends with the day on which it was grown. */
async function demoNursery(): Promise<string> {
  const { mtimeMs } = statSync(bedwalk);
  const kept = join(root, 'test-output', `demo-${new Date().toISOString().slice(0, 10)}-${Math.round(mtimeMs)}`);
  if (!existsSync(kept)) {
    mkdirSync(join(root, 'test-output'), { recursive: true });
    const growing = mkdtempSync(join(root, 'test-output', 'growing-'));
    await run('demo', '--data', growing);
    try {
      renameSync(growing, kept);
    } catch (error) {
      // Two files of tests may grow it at the same time; either one's will do.
      if (!existsSync(kept)) throw error;
      rmSync(growing, { recursive: true });
    }
  }
  return kept;
}

function run(...args: string[]): Promise<string> {
  return new Promise((done, fail) => {
    const child = spawn(bedwalk, args, { cwd: root, stdio: ['ignore', 'pipe', 'pipe'] });
    let printed = '';
    for (const stream of [child.stdout, child.stderr]) stream.on('data', (text) => (printed += text));
    child.on('error', fail);
    child.on('exit', (code) =>
      code === 0 ? done(printed) : fail(new Error(`bedwalk ${args.join(' ')} ended with ${code}:\n${printed}`)),
    );
  });
}

export function freePort(): Promise<number> {
  return new Promise((done, fail) => {
    const probe = createServer().on('error', fail);
    probe.listen(0, '127.0.0.1', () => {
      const address = probe.address();
      probe.close(() =>
        typeof address === 'object' && address ? done(address.port) : fail(new Error('no free port')),
      );
    });
  });
}

async function answers(url: string): Promise<boolean> {
  return fetch(url, { redirect: 'manual' }).then(
    () => true,
    () => false,
  );
}

function pause(ms: number): Promise<void> {
  return new Promise((done) => setTimeout(done, ms));
}
