/**
 * What general merging libraries make of the same notes, in memory: 20 devices wrote apart, one note a change; a fresh
 * document takes all changes in, in batches as they would arrive.
 *
 *     node pwa/tools/bench/crdts.mjs NOTES yjs|loro|automerge
 */
import { gzipSync } from 'node:zlib';
import { content, figure, groupedBy, inBatches, readNotes, seconds } from './notes.mjs';
import { load } from './peers.mjs';

const [file = '', which = ''] = process.argv.slice(2);
const notes = readNotes(file);
const devices = [...groupedBy(notes, ({ entry }) => entry.device).values()];
const BATCH = 500;

/**
 * @typedef {object} Peer
 * @property {Uint8Array[][]} batches each device's changes, 500 notes a batch, as they go over the wire
 * @property {(batches: Uint8Array[][]) => {count: number, save: () => Uint8Array}} merge
 */

/** @type {Record<string, () => Peer>} */
const peers = { yjs, loro, automerge };
const make = peers[which];
if (!make) throw new Error(`no peer is called ${which}; there are: ${Object.keys(peers).join(', ')}`);

const { batches, merge } = make();
/** @type {ReturnType<Peer['merge']> | undefined} */
let merged;
const took = await seconds(() => (merged = merge(batches)));
if (merged?.count !== notes.length) throw new Error(`${which} has ${merged?.count} of ${notes.length} notes`);
figure(`${which} merge`, 'notes/s', notes.length / took);
figure(`${which} wire`, 'bytes/note', sum(batches.map(bytesOf)) / notes.length);
figure(
  `${which} wire gzipped`,
  'bytes/note',
  sum(batches.map((batch) => gzipSync(joined(batch)).length)) / notes.length,
);
figure(`${which} rest`, 'bytes/note', merged.save().length / notes.length);

/** @returns {Peer} */
function yjs() {
  const Y = load('yjs');
  const made = devices.flatMap((own) => {
    const doc = new Y.Doc();
    const pots = doc.getMap('notes');
    /** @type {Uint8Array[]} */
    const updates = [];
    doc.on('update', (/** @type {Uint8Array} */ update) => updates.push(update));
    for (const note of own) pots.set(note.entry.id, content(note));
    return inBatches(updates, BATCH);
  });
  return {
    batches: made,
    merge(arrived) {
      const doc = new Y.Doc();
      for (const batch of arrived) doc.transact(() => batch.forEach((update) => Y.applyUpdate(doc, update)));
      return { count: doc.getMap('notes').size, save: () => Y.encodeStateAsUpdate(doc) };
    },
  };
}

/** @returns {Peer} */
function loro() {
  const { LoroDoc } = load('loro-crdt');
  const made = devices.flatMap((own) =>
    batchesOf(own, new LoroDoc(), (doc, batch) => {
      const before = doc.version();
      for (const note of batch) {
        doc.getMap('notes').set(note.entry.id, content(note));
        doc.commit();
      }
      return [doc.export({ mode: 'update', from: before })];
    }),
  );
  return {
    batches: made,
    merge(arrived) {
      const doc = new LoroDoc();
      for (const batch of arrived) doc.importBatch(batch);
      return { count: doc.getMap('notes').size, save: () => doc.export({ mode: 'snapshot' }) };
    },
  };
}

/** @returns {Peer} */
function automerge() {
  const A = load('@automerge/automerge');
  // Plain strings would each become a text that many can write in, which no note needs.
  const plain = (/** @type {unknown} */ value) =>
    JSON.parse(JSON.stringify(value), (_, inner) => (typeof inner === 'string' ? new A.ImmutableString(inner) : inner));
  const base = A.from({ notes: {} });
  const made = devices.flatMap((own) => {
    let doc = A.clone(base);
    return inBatches(own, BATCH).map((batch) => {
      const before = doc;
      for (const note of batch) {
        doc = A.change(doc, (/** @type {any} */ draft) => (draft.notes[note.entry.id] = plain(content(note))));
      }
      return A.getChanges(before, doc);
    });
  });
  return {
    batches: made,
    merge(arrived) {
      let doc = A.clone(base);
      for (const batch of arrived) [doc] = A.applyChanges(doc, batch);
      return { count: Object.keys(doc.notes).length, save: () => A.save(doc) };
    },
  };
}

/**
 * @template D
 * @param {import('./notes.mjs').Stamped[]} own
 * @param {D} doc
 * @param {(doc: D, batch: import('./notes.mjs').Stamped[]) => Uint8Array[]} write
 */
function batchesOf(own, doc, write) {
  return inBatches(own, BATCH).map((batch) => write(doc, batch));
}

/** @param {Uint8Array[]} parts */
function joined(parts) {
  return Buffer.concat(parts);
}

/** @param {Uint8Array[]} parts */
function bytesOf(parts) {
  return sum(parts.map((part) => part.length));
}

/** @param {number[]} values */
function sum(values) {
  return values.reduce((total, value) => total + value, 0);
}
