/** Long work in pieces, between which the screen and taps get their turn. */
import { nextTask } from '../../../journal/store/pause';

/** Work that stops as often as is cheap and says how much of it is done (0 to 1); it returns what came of it. */
export type InPieces<T> = Generator<number, T, void>;

/** So many lines are worked on between two stops. */
export const PIECE = 500;

/** A turn, in milliseconds: short enough for a tap, long enough that the pauses cost little. */
const TURN = 25;

/**
 * Does the work to its end, a turn at a time.
 * @param onTurn hears how much is done, after each turn but the last
 * @returns undefined where it was given up on the way
 */
export async function turnByTurn<T>(
  work: InPieces<T>,
  onTurn: (done: number) => void,
  isWanted: () => boolean,
): Promise<T | undefined> {
  for (;;) {
    const until = performance.now() + TURN;
    let piece = work.next();
    while (!piece.done && performance.now() < until) piece = work.next();
    if (piece.done) return isWanted() ? piece.value : undefined;
    onTurn(piece.value);
    await nextTask();
    if (!isWanted()) return undefined;
  }
}
