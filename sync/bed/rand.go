package bed

// Rand is Marsaglia's 32-bit xorshift generator with shifts 13, 17, 5 (Marsaglia 2003, Journal of Statistical Software
// 8(14)). It is small enough to be the same in Go and TypeScript to the last bit, and good enough to choose pots and to
// shuffle places; it is not for secrets.
type Rand struct{ state uint32 }

// NewRand starts a generator. Zero, which xorshift cannot leave, is replaced by Marsaglia's own seed 2463534242. The first eight
// numbers are discarded, because nearby seeds start with nearby numbers.
func NewRand(seed uint32) *Rand {
	if seed == 0 {
		seed = 2463534242
	}
	r := &Rand{seed}
	for range 8 {
		r.Next()
	}
	return r
}

// Next returns the next number, from 1 to 2^32-1.
func (r *Rand) Next() uint32 {
	r.state ^= r.state << 13
	r.state ^= r.state >> 17
	r.state ^= r.state << 5
	return r.state
}

// Below returns a whole number from 0 to n-1, all equally likely (draws from the uneven rest are repeated). n must be
// from 1 to 2^32-1; 0 gives 0.
func (r *Rand) Below(n uint32) uint32 {
	if n == 0 {
		return 0
	}
	const all = 1<<32 - 1
	for even := all - all%n; ; {
		if x := r.Next() - 1; x < even {
			return x % n
		}
	}
}
