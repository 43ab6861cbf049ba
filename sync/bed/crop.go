package bed

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// CropKey is what two spellings of one crop share: capitals, accents, the shape of an apostrophe and extra spaces do not
// make another crop. It is compared and never shown.
func CropKey(name string) string {
	var key strings.Builder
	for _, r := range strings.ToLower(norm.NFD.String(name)) {
		switch {
		case unicode.Is(unicode.M, r):
		case strings.ContainsRune(apostrophes, r):
			key.WriteByte('\'')
		case r == 'ς':
			// The Greek lower-case letter at the end of a word, which Go and JavaScript do not treat alike.
			key.WriteRune('σ')
		default:
			key.WriteRune(r)
		}
	}
	return strings.Join(strings.FieldsFunc(key.String(), isSpace), " ")
}

const apostrophes = "\u2018\u2019\u02bc\u00b4\u0060\u2032"

// isSpace is JavaScript's \s by Unicode's definitions, so that both twins split alike.
func isSpace(r rune) bool {
	return r >= '\t' && r <= '\r' || r == '\ufeff' || r == '\u2028' || r == '\u2029' || unicode.Is(unicode.Zs, r)
}
