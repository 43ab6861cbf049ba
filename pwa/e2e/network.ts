/**
 * The network of one device, to be cut as a whole: a SOCKS5 proxy (RFC 1928, without authentication) through which the device's
 * browser context reaches everything. The browser's own offline switch is set page by page, and a service worker that starts
 * again meanwhile does not have it.
 */
import { connect, createServer, type AddressInfo, type Server, type Socket } from 'node:net';

const VERSION = 5;
const NO_AUTHENTICATION = 0;
const CONNECT = 1;
const SUCCEEDED = 0;
const HOST_UNREACHABLE = 4;
/** What a host is written as: 4 bytes, a name after its length, 16 bytes. */
const [IPV4, NAME, IPV6] = [1, 3, 4];

export class Network {
  readonly #proxy: Server;
  readonly #sockets = new Set<Socket>();
  #isCut = false;

  private constructor() {
    this.#proxy = createServer((socket) => void this.#serves(socket));
  }

  static async open(): Promise<Network> {
    const network = new Network();
    await new Promise<void>((done, fail) => {
      network.#proxy.on('error', fail).listen(0, '127.0.0.1', done);
    });
    return network;
  }

  /** For a browser context. */
  get proxy(): { server: string } {
    return { server: `socks5://127.0.0.1:${(this.#proxy.address() as AddressInfo).port}` };
  }

  /** Ends every connection in the middle of whatever it carries, and lets no new one through. */
  cuts(): void {
    this.#isCut = true;
    for (const socket of this.#sockets) socket.destroy();
  }

  restores(): void {
    this.#isCut = false;
  }

  async close(): Promise<void> {
    this.cuts();
    await new Promise((done) => this.#proxy.close(done));
  }

  async #serves(client: Socket): Promise<void> {
    this.#holds(client);
    try {
      const bytes = reader(client);
      const [, methods = 0] = await bytes(2);
      await bytes(methods);
      client.write(Buffer.of(VERSION, NO_AUTHENTICATION));
      const [, command, , kind] = await bytes(4);
      const host = await hostOf(kind, bytes);
      const port = (await bytes(2)).readUInt16BE();
      if (this.#isCut || command !== CONNECT) return void client.end(answer(HOST_UNREACHABLE));
      const server = connect({ host, port });
      this.#holds(server);
      server.once('connect', () => {
        client.write(answer(SUCCEEDED));
        client.pipe(server).pipe(client);
      });
      // What ends on one side ends on the other.
      server.once('close', () => client.destroy());
      client.once('close', () => server.destroy());
    } catch {
      client.destroy();
    }
  }

  #holds(socket: Socket): void {
    this.#sockets.add(socket);
    socket.setNoDelay(true);
    // A connection that was cut says so on both sides; "close" follows.
    socket.on('error', () => undefined).once('close', () => this.#sockets.delete(socket));
  }
}

type Bytes = (count: number) => Promise<Buffer>;

/** Reads a socket so many bytes at a time. */
function reader(socket: Socket): Bytes {
  return async (count) => {
    for (;;) {
      const read = count === 0 ? Buffer.of() : (socket.read(count) as Buffer | null);
      if (read) return read;
      await new Promise<void>((done, fail) => {
        socket.once('readable', done).once('close', () => fail(new Error('ended in the middle')));
      });
    }
  };
}

async function hostOf(kind: number | undefined, bytes: Bytes): Promise<string> {
  if (kind === IPV4) return [...(await bytes(4))].join('.');
  if (kind === IPV6) return (await bytes(16)).toString('hex').replace(/(.{4})(?!$)/g, '$1:');
  if (kind !== NAME) throw new Error(`no host of kind ${kind}`);
  const [length = 0] = await bytes(1);
  return (await bytes(length)).toString('latin1');
}

function answer(reply: number): Buffer {
  return Buffer.of(VERSION, reply, 0, IPV4, 0, 0, 0, 0, 0, 0);
}
