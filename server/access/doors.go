package access

import "crypto/sha256"

// Where several nurseries are served at one address, a store of them all knows by these hashes which one a token, a code or a key opens. They say
// nothing of whether it still does: its Gate does.

// TokenDoor is the hash of a device's token; false for a text that is none.
func TokenDoor(token string) ([32]byte, bool) { return tokenHash(token) }

// CodeDoor is the hash of a pairing code as people type it; false for one that is mistyped.
func CodeDoor(typed string) ([32]byte, bool) {
	code, ok := readCode(typed)
	return sha256.Sum256([]byte(code)), ok
}

// KeyDoor is the hash of a reading key; false for one that is mistyped.
func KeyDoor(key string) ([32]byte, bool) { return sha256.Sum256([]byte(key)), wholeKey(key) }

// ShareGuesses counts wrong codes and keys together with another gate at the same address: otherwise each nursery more would be as many guesses more. It is called
// before anybody comes.
func (g *Gate) ShareGuesses(with *Gate) { g.guess, g.keyGuess = with.guess, with.keyGuess }

// MayGuess is false while too many wrong codes came from a place, and Guessed counts one.
func (g *Gate) MayGuess(from string) bool { return g.guess.allowed(from, g.now()) }

// Guessed counts a code that came from a place as a wrong one. It is false where there were too many before it, also where MayGuess was true: many may have come at once.
func (g *Gate) Guessed(from string) bool { return g.guess.wrong(from, g.now()) }
