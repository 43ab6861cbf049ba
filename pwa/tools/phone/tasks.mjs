/**
 * The event loop of the simulated phones. Everything that a phone waits for, but its network and its clock, is a task in this one
 * queue, so that it is known when a phone has come to rest, two runs of a day are alike, and a phone can be killed between two tasks.
 */

const real = globalThis.setImmediate;

/** @type {(() => void)[]} */
let queue = [];

/** fake-indexeddb asks for its tasks here. */
globalThis.setImmediate = /** @type {never} */ (add);

/** @param {() => void} task */
export function add(task) {
  queue.push(task);
}

/**
 * Runs until nothing is left to do.
 * @param {number} most kills after so many tasks; 0 for never
 * @returns {Promise<boolean>} false when there was more to do than most
 */
export async function run(most = 0) {
  let done = 0;
  await promises();
  for (let task = queue.shift(); task; task = queue.shift()) {
    if (most > 0 && ++done > most) {
      queue = [];
      return false;
    }
    task();
    await promises();
  }
  return true;
}

/** What was to be done is not done: the phone's process has ended. */
export function forget() {
  queue = [];
}

/** Settles when all promises have been followed up. */
function promises() {
  return new Promise((done) => void real(() => done(undefined)));
}
