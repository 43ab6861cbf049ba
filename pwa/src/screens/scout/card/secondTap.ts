/**
 * The second tap of a double tap, kept from answering a question that the first one brought up: nobody has read it yet. Whether two
 * taps are one double tap is the browser's own word (`detail` counts the clicks that followed each other within its time and place), so no
 * clock of this app's decides. Keypads are left out: there two quick taps on one key are two digits.
 */

import { card } from './card';

/** Wider apart than this, px, two taps are meant for two places: no picture of a card is as small. */
const NEAR = 24;

let first: { question: string; x: number; y: number } | undefined;

/**
 * What a button does, but for the tap that continues a double tap begun on another question.
 * @param asked the question that the button answers; two cards never ask the same one
 */
export function unlessSecond(asked: string, does: () => void): (tap: MouseEvent) => void {
  return (tap) => {
    if (!isSecond(tap, asked)) does();
  };
}

function isSecond({ detail, clientX: x, clientY: y }: MouseEvent, asked: string): boolean {
  const question = `${card.value?.id} ${asked}`;
  const isNear = first !== undefined && Math.abs(first.x - x) < NEAR && Math.abs(first.y - y) < NEAR;
  if (detail > 1 && isNear && first?.question !== question) return true;
  first = { question, x, y };
  return false;
}
