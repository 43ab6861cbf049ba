/**
 * The step of the uniformity ramp: 0 under 50, then one more for each ten. Taken from the number as it is shown, so
 * that a bed that reads 80 never has the shade of the seventies.
 */
export function rampStep(uniformity: number): number {
  return Math.min(5, Math.max(0, Math.floor(Math.round(uniformity * 100) / 10) - 4));
}
