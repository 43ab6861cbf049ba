package access

import (
	"fmt"
	"io"
	"strings"
)

// letters are the 29 characters of a pairing code: no vowels, so that no code spells a word, and no 0 and no L, so that it
// can be read aloud and typed with gloves on. 29 is prime, which the check character needs.
const letters = "123456789BCDFGHJKMNPQRSTVWXYZ"

// codeLength is 8 drawn characters (about 39 bits) and the check character.
const codeLength = 9

// drawCode makes a code, written in three groups of three.
func drawCode(random io.Reader) (string, error) {
	values := make([]int, 0, codeLength)
	one := make([]byte, 1)
	for len(values) < codeLength-1 {
		if _, err := io.ReadFull(random, one); err != nil {
			return "", fmt.Errorf("draw a pairing code: %w", err)
		}
		// Bytes from the largest multiple of 29 on would favour the first letters.
		if int(one[0]) < 256/len(letters)*len(letters) {
			values = append(values, int(one[0])%len(letters))
		}
	}
	for check := range len(letters) {
		if whole := append(values, check); weighted(whole) == 0 {
			return write(whole), nil
		}
	}
	return "", fmt.Errorf("no check character fits %v", values)
}

func write(values []int) string {
	var text strings.Builder
	for i, v := range values {
		if i > 0 && i%3 == 0 {
			text.WriteByte('-')
		}
		text.WriteByte(letters[v])
	}
	return text.String()
}

// weighted is 0 for a good code. Weights 1 to 9 differ modulo the prime 29, so every single wrong character and every
// swap of two characters is found.
func weighted(values []int) int {
	sum := 0
	for i, v := range values {
		sum += (i + 1) * v
	}
	return sum % len(letters)
}

// readCode takes a code as people type it: any case, with or without groups, I and L for 1.
func readCode(text string) (code string, ok bool) {
	plain := strings.NewReplacer("-", "", " ", "", "I", "1", "L", "1").Replace(strings.ToUpper(text))
	if len(plain) != codeLength {
		return "", false
	}
	values := make([]int, codeLength)
	for i := range plain {
		if values[i] = strings.IndexByte(letters, plain[i]); values[i] < 0 {
			return "", false
		}
	}
	return write(values), weighted(values) == 0
}
