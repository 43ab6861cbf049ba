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

/** How many turns are taken of Node's own event loop at once: a round of that loop for each took a tenth of the phones' time. */
const TURNS = 64;

/**
 * Runs until nothing is left to do. Between two tasks Node follows up all promises, and reports a rejection that none of them caught.
 * @param {number} most kills after so many tasks; 0 for never
 * @returns {Promise<boolean>} false when there was more to do than most
 */
export function run(most = 0) {
  return new Promise((end, fail) => {
    let done = 0;
    let over = false;
    const turn = () => {
      if (over) return;
      const task = queue.shift();
      over = !task || (most > 0 && ++done > most);
      try {
        if (!over) return void task?.();
      } catch (error) {
        over = true;
        return fail(error);
      }
      if (task) forget();
      end(!task);
    };
    const turns = () => {
      if (over) return;
      for (let i = 0; i < TURNS; i++) real(turn);
      real(turns);
    };
    turns();
  });
}

/** What was to be done is not done: the phone's process has ended. */
export function forget() {
  queue = [];
}
