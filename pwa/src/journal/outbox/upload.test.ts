/** Photos behind the notes: they arrive whole whatever is cut, and stay on the phone until they have. */
import 'fake-indexeddb/auto';
import { IDBFactory } from 'fake-indexeddb';
import { openDB } from 'idb';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { watchReads } from '../reads.testing';
import { confirmedPhotos } from './photosInShort';
import { dropPhotos, keepPhoto, photoOf, pendingPhotos, type PhotoRow } from './photos';
import { sendPhotos } from './upload';

/** The server's side of tus, as server/api/photos.go speaks it, with what can go wrong on the way. */
class Server {
  readonly begun = new Map<string, { length: number; bytes: Uint8Array }>();
  readonly asked: string[] = [];
  /** Called before each part is taken; what it returns is answered instead, after the part was taken if it says so. */
  trouble: ((part: number) => 'none' | 'lost' | 'cut' | 'portal' | 'busy' | 'wrong') | undefined;
  #parts = 0;

  answer = async (path: string, init: RequestInit): Promise<Response> => {
    const headers = init.headers as Record<string, string>;
    this.asked.push(`${init.method} ${headers['Upload-Offset'] ?? ''}`.trim());
    expect(headers['Tus-Resumable']).toBe('1.0.0');
    if (init.method === 'POST') return this.#begin(headers);
    const upload = this.begun.get(path.split('/').at(-1) ?? '');
    if (!upload) return reply(404);
    if (init.method === 'HEAD') return reply(200, upload.bytes.length);
    return this.#part(upload, Number(headers['Upload-Offset']), new Uint8Array(init.body as ArrayBuffer));
  };

  #begin(headers: Record<string, string>): Response {
    const hash = atob((headers['Upload-Metadata'] ?? '').split(' ')[1] ?? '');
    if (!this.begun.has(hash))
      this.begun.set(hash, { length: Number(headers['Upload-Length']), bytes: new Uint8Array() });
    return reply(201, this.begun.get(hash)?.bytes.length);
  }

  #part(upload: { bytes: Uint8Array }, offset: number, part: Uint8Array): Response {
    const trouble = this.trouble?.(this.#parts++) ?? 'none';
    if (trouble === 'portal') return new Response('<html>sign in</html>', { status: 200 });
    if (trouble === 'busy') return reply(503);
    if (trouble === 'wrong') {
      upload.bytes = new Uint8Array();
      return reply(460, 0);
    }
    if (offset !== upload.bytes.length) return reply(409, upload.bytes.length);
    upload.bytes = joined(upload.bytes, trouble === 'cut' ? part.slice(0, 1000) : part);
    if (trouble === 'lost' || trouble === 'cut') throw new TypeError('network');
    return reply(204, upload.bytes.length);
  }
}

function reply(status: number, offset?: number): Response {
  const headers = { 'Tus-Resumable': '1.0.0', ...(offset === undefined ? {} : { 'Upload-Offset': String(offset) }) };
  return new Response(null, { status, headers });
}

function joined(one: Uint8Array, other: Uint8Array): Uint8Array {
  const both = new Uint8Array(one.length + other.length);
  both.set(one);
  both.set(other, one.length);
  return both;
}

function photo(name: string, size: number): PhotoRow {
  const bytes = Uint8Array.from({ length: size }, (_, index) => index % 251).buffer;
  return { hash: name.repeat(64).slice(0, 64), bytes, type: 'image/jpeg', takenAt: size, pending: 1 };
}

let server: Server;

beforeEach(() => {
  server = new Server();
  vi.stubGlobal('fetch', server.answer);
});
afterEach(async () => {
  vi.unstubAllGlobals();
  await dropPhotos([photo('a', 1).hash, photo('b', 1).hash]);
});

/** Compared as a whole: byte by byte a test runner takes seconds for one photo. */
const isWhole = (row: PhotoRow) => Buffer.from(row.bytes).equals(server.begun.get(row.hash)?.bytes ?? Buffer.of());

test('a photo goes in parts, and is kept as confirmed', async () => {
  const row = photo('a', 300_000);
  await keepPhoto(row);
  await sendPhotos();
  expect(isWhole(row)).toBe(true);
  expect(server.asked).toEqual(['POST', 'PATCH 0', 'PATCH 131072', 'PATCH 262144']);
  expect(await pendingPhotos()).toBe(0);
  expect(await confirmedPhotos()).toMatchObject([{ hash: row.hash, bytes: 300_000 }]);
});

test('the oldest goes first', async () => {
  await keepPhoto(photo('a', 2000));
  await keepPhoto(photo('b', 1000));
  await sendPhotos();
  expect([...server.begun.keys()]).toEqual([photo('b', 1).hash, photo('a', 1).hash]);
});

test('pictures are in memory one at a time, however many there are', async () => {
  const many = Array.from({ length: 30 }, (_, n) => photo(`${n}c`, 100 + n));
  for (const row of many) await keepPhoto(row);
  const reads = watchReads();
  await sendPhotos();
  expect(reads.rows()).toBe(0);
  vi.restoreAllMocks();
  expect([...server.begun.keys()]).toEqual(many.map(({ hash }) => hash));
  expect((await confirmedPhotos()).map(({ hash }) => hash)).toEqual(many.map(({ hash }) => hash).toReversed());
  await dropPhotos(many.map(({ hash }) => hash));
});

test.each(['lost', 'cut', 'portal', 'busy'] as const)(
  'after "%s" it stays on the phone and goes on where it was',
  async (kind) => {
    const row = photo('a', 300_000);
    await keepPhoto(row);
    server.trouble = (part) => (part === 1 ? kind : 'none');
    await expect(sendPhotos()).rejects.toThrow();
    expect(await pendingPhotos()).toBe(1);
    expect((await photoOf(row.hash))?.bytes.byteLength).toBe(300_000);
    await sendPhotos();
    expect(isWhole(row)).toBe(true);
    expect(await pendingPhotos()).toBe(0);
  },
);

test('an offset that the server has passed is asked for again', async () => {
  const row = photo('a', 300_000);
  await keepPhoto(row);
  // Another tab, or an answer that never came: the server is further than the phone believes.
  server.trouble = (part) => {
    const upload = server.begun.get(row.hash);
    if (part === 1 && upload) upload.bytes = new Uint8Array(row.bytes.slice(0, 140_000));
    return 'none';
  };
  await sendPhotos();
  expect(server.asked).toEqual(['POST', 'PATCH 0', 'PATCH 131072', 'HEAD', 'PATCH 140000', 'PATCH 271072']);
  expect(isWhole(row)).toBe(true);
});

test('bytes that the server found wrong are sent again from the start', async () => {
  const row = photo('a', 200_000);
  await keepPhoto(row);
  server.trouble = (part) => (part === 1 ? 'wrong' : 'none');
  await sendPhotos();
  expect(isWhole(row)).toBe(true);
});

test('what the server has already is not sent again', async () => {
  const row = photo('a', 1000);
  server.begun.set(row.hash, { length: 1000, bytes: new Uint8Array(row.bytes) });
  await keepPhoto(row);
  await sendPhotos();
  expect(server.asked).toEqual(['POST']);
  expect(await pendingPhotos()).toBe(0);
});

test('a server that never comes forward is left for later, not asked for ever', async () => {
  await keepPhoto(photo('a', 1000));
  server.trouble = () => 'wrong';
  await expect(sendPhotos()).rejects.toThrow('busy');
  expect(server.asked.length).toBeLessThan(40);
  expect(await pendingPhotos()).toBe(1);
});

test('photos that an earlier version kept are still sent, and those that the server has are not sent again', async () => {
  vi.stubGlobal('indexedDB', new IDBFactory());
  vi.resetModules();
  const earlier = await openDB('bedwalk-photos', 1, {
    upgrade: (open) => void open.createObjectStore('photos', { keyPath: 'hash' }).createIndex('waiting', 'waiting'),
  });
  const { pending: _, ...sent } = photo('a', 1000);
  const unsent = { ...photo('b', 2000), pending: undefined, waiting: 1 };
  for (const row of [sent, unsent]) await earlier.put('photos', row);
  earlier.close();
  const now = { ...(await import('./photos')), ...(await import('./photosInShort')) };
  expect((await now.queuedPhotos()).map(({ hash, bytes }) => [hash, bytes])).toEqual([[unsent.hash, 2000]]);
  expect((await now.confirmedPhotos()).map(({ hash }) => hash)).toEqual([sent.hash]);
  await now.dropPhotos([sent.hash, unsent.hash]);
});
