package export

import (
	"strings"
	"unicode"
)

// Cell keeps a spreadsheet from running what somebody typed as a formula: each sign that begins one gets an apostrophe in
// front, at the start of the text and also where a spreadsheet that splits at semicolons, tabs, bars or line ends
// would begin a cell of it (OWASP, "CSV Injection": = + - @ and their full-width forms, tab, carriage return, line feed,
// and separators and quotes that begin a new cell). Spaces and quotes before the sign change nothing. Where only a
// space stands before the sign, inside a text, it stays: that would change every other comment.
func Cell(text string) string {
	var out strings.Builder
	begins := true
	for _, r := range text {
		switch {
		case strings.ContainsRune(",;|\t\r\n", r):
			begins = true
		case begins && strings.ContainsRune("=+-@\uff1d\uff0b\uff0d\uff20", r):
			out.WriteByte('\'')
			begins = false
		case begins && (unicode.IsSpace(r) || unicode.Is(unicode.C, r) || r == '"' || r == '\''):
		default:
			begins = false
		}
		out.WriteRune(r)
	}
	if strings.ContainsAny(text[:min(len(text), 1)], "\t\r\n") {
		return "'" + out.String()
	}
	return out.String()
}
