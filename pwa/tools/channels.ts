/**
 * What a test file's own world (vitest's vmThreads) lacks of Node's globals, and happy-dom does not bring either. Threads of one
 * process hear each other's channels, so the names of each file's are its own.
 */
import { BroadcastChannel, MessageChannel } from 'node:worker_threads';

const world = crypto.randomUUID();

class OwnChannel extends BroadcastChannel {
  constructor(name: string) {
    super(`${name} ${world}`);
  }
}

Object.assign(globalThis, { BroadcastChannel: OwnChannel, MessageChannel });
