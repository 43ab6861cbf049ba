package access

import (
	"crypto/rand"
	"strings"
	"testing"
)

func TestEveryWrongCharacterAndEverySwapInACodeIsNoticed(t *testing.T) {
	for range 20 {
		code, err := drawCode(rand.Reader)
		if err != nil {
			t.Fatal(err)
		}
		if strings.ContainsAny(code, "AEIOU") {
			t.Errorf("%s can spell a word", code)
		}
		if _, ok := readCode(code); !ok {
			t.Fatalf("%s is not accepted as it was drawn", code)
		}
		plain := []byte(strings.ReplaceAll(code, "-", ""))
		for i := range plain {
			for _, letter := range []byte(letters) {
				if letter == plain[i] {
					continue
				}
				wrong := append([]byte(nil), plain...)
				wrong[i] = letter
				if _, ok := readCode(string(wrong)); ok {
					t.Fatalf("%s was accepted for %s", wrong, plain)
				}
			}
			for j := i + 1; j < len(plain); j++ {
				swapped := append([]byte(nil), plain...)
				swapped[i], swapped[j] = plain[j], plain[i]
				if _, ok := readCode(string(swapped)); ok && plain[i] != plain[j] {
					t.Fatalf("%s was accepted for %s", swapped, plain)
				}
			}
		}
	}
}

func TestACodeIsTakenAsPeopleTypeIt(t *testing.T) {
	code := write([]int{0, 0, 0, 0, 0, 0, 0, 0, 0})
	for _, typed := range []string{"111-111-111", "111111111", "111 111 111", "IlL-1i1-lI1", " 111-111-111 "} {
		if got, ok := readCode(typed); !ok || got != code {
			t.Errorf("%q was read as %q, %v", typed, got, ok)
		}
	}
	for _, typed := range []string{"", "111-111-11", "111-111-1111", "OOO-OOO-OOO", "äöü-111-111", "000000000"} {
		if got, ok := readCode(typed); ok {
			t.Errorf("%q was read as %q", typed, got)
		}
	}
}
