/** Linear equations of a dozen unknowns. */

export type Matrix = readonly (readonly number[])[];

/** Solves a x = b by elimination with row pivots; null where a is singular. */
export function solve(a: Matrix, b: readonly number[]): number[] | null {
  const n = b.length;
  const rows = a.map((row, i) => [...row, b[i] ?? 0]);
  for (let i = 0; i < n; i++) {
    let pivot = i;
    for (let r = i + 1; r < n; r++) if (Math.abs(at(rows, r, i)) > Math.abs(at(rows, pivot, i))) pivot = r;
    const [up, down] = [rows[pivot] ?? [], rows[i] ?? []];
    rows[i] = up;
    rows[pivot] = down;
    const head = up[i] ?? 0;
    if (!(Math.abs(head) > 1e-300)) return null;
    for (let r = i + 1; r < n; r++) {
      const row = rows[r] ?? [];
      const by = (row[i] ?? 0) / head;
      if (by !== 0) for (let c = i; c <= n; c++) row[c] = (row[c] ?? 0) - by * (up[c] ?? 0);
    }
  }
  const x = Array.from({ length: n }, () => 0);
  for (let i = n - 1; i >= 0; i--) {
    let rest = at(rows, i, n);
    for (let c = i + 1; c < n; c++) rest -= at(rows, i, c) * (x[c] ?? 0);
    x[i] = rest / at(rows, i, i);
  }
  return x.every(Number.isFinite) ? x : null;
}

/** An element of a matrix; 0 outside it. */
export function at(a: Matrix, row: number, column: number): number {
  return a[row]?.[column] ?? 0;
}

/** xᵀ a x. */
export function quadratic(a: Matrix, x: readonly number[]): number {
  let sum = 0;
  for (let i = 0; i < x.length; i++) for (let j = 0; j < x.length; j++) sum += (x[i] ?? 0) * at(a, i, j) * (x[j] ?? 0);
  return sum;
}

/**
 * The least of a sum of squares, by Levenberg's and Marquardt's steps: as in Marquardt (1963), the diagonal is raised until a step helps.
 * @param step at x: the cost, and its normal equations (half the curvature, and half the slope downhill)
 */
export function descend(
  x: readonly number[],
  step: (x: readonly number[]) => { cost: number; curvature: Matrix; downhill: readonly number[] },
  { most, enough }: { most: number; enough: number },
): { x: number[]; cost: number; curvature: Matrix } {
  let now = [...x];
  let here = step(now);
  let damp = 1e-3;
  for (let round = 0; round < most; round++) {
    const raised = here.curvature.map((row, i) => row.map((each, j) => (i === j ? each * (1 + damp) : each)));
    const by = solve(raised, here.downhill);
    if (!by) break;
    const next = now.map((each, i) => each + (by[i] ?? 0));
    const there = step(next);
    if (there.cost <= here.cost) {
      const done = by.every((each) => Math.abs(each) < enough);
      [now, here] = [next, there];
      damp = Math.max(damp / 10, 1e-9);
      if (done) break;
    } else if ((damp *= 10) > 1e9) break;
  }
  return { x: now, cost: here.cost, curvature: here.curvature };
}
