/** Marsaglia's 32-bit xorshift (13, 17, 5; Marsaglia 2003): the twin of the Go Rand to the last bit. */
export class Rand {
  private state: number;

  /** Zero is replaced by Marsaglia's own seed; the first eight numbers are discarded, as on the Go side. */
  constructor(seed: number) {
    this.state = seed >>> 0 === 0 ? 2463534242 : seed >>> 0;
    for (let i = 0; i < 8; i++) this.next();
  }

  /** The next number, from 1 to 2^32-1. */
  next(): number {
    let x = this.state;
    x ^= x << 13;
    x ^= x >>> 17;
    x ^= x << 5;
    this.state = x >>> 0;
    return this.state;
  }

  /** A whole number from 0 to n-1, all equally likely. */
  below(n: number): number {
    if (n === 0) return 0;
    const all = 0xffffffff;
    const even = all - (all % n);
    for (;;) {
      const x = this.next() - 1;
      if (x < even) return x % n;
    }
  }
}
