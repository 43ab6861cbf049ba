package bed

// Rand is Marsaglia's 32-bit xorshift generator with shifts 13, 17, 5 (Marsaglia 2003, Journal of Statistical Software
// 8(14)). It is small enough to be the same in Go and TypeScript to the last bit, and good enough to choose pots and to
// shuffle places; it keeps no secret.
type Rand struct{ state uint32 }

// NewRand starts a generator. Zero, which xorshift cannot leave, stands for Marsaglia's own seed 2463534242. The first eight
// numbers are thrown away, because seeds close together start close together.
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

// Next is the next number, from 1 to 2^32-1.
func (r *Rand) Next() uint32 {
	r.state ^= r.state << 13
	r.state ^= r.state >> 17
	r.state ^= r.state << 5
	return r.state
}

// Below is a whole number from 0 to n-1, each as likely as the others (draws from the uneven rest are repeated). n must be
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
