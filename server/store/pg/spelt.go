package pg

import (
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/jackc/pgx/v5"
)

// A phone may spell an id or a name with any bytes, and PostgreSQL refuses a text with a zero byte or with bytes that are no UTF-8: one such note would
// fail its batch for ever. So three kinds of characters are written as two, the first of which is mark: a zero byte, the mark itself, and bytes that
// belong to no character. What has none of them is written as it is, the order of texts stays that of their
// bytes but for those that are no UTF-8, and no two texts become one.
const mark = 1

// spelling makes texts among the parameters of a statement ready to be written, alone and in lists.
func spelling(args []any) []any {
	for i, arg := range args {
		switch texts := arg.(type) {
		case string:
			args[i] = spell(texts)
		case []string:
			if !slices.ContainsFunc(texts, func(one string) bool { return !isPlain(one) }) {
				continue
			}
			own := slices.Clone(texts)
			for n, one := range own {
				own[n] = spell(one)
			}
			args[i] = own
		}
	}
	return args
}

// speltRows reads texts as they were before they were spelt.
type speltRows struct{ pgx.Rows }

// Scan is pgx.Rows'.
func (r speltRows) Scan(into ...any) error {
	return unspelling(r.Rows.Scan(into...), into)
}

// unspelling gives texts that were scanned back as they were, where they could be scanned.
func unspelling(err error, into []any) error {
	if err != nil {
		return err
	}
	for _, one := range into {
		switch text := one.(type) {
		case *string:
			*text = unspell(*text)
		case *[]string:
			for i, one := range *text {
				(*text)[i] = unspell(one)
			}
		}
	}
	return nil
}

// Values is pgx.Rows'.
func (r speltRows) Values() ([]any, error) {
	all, err := r.Rows.Values()
	for i, one := range all {
		if text, ok := one.(string); ok {
			all[i] = unspell(text)
		}
	}
	return all, err
}

func isPlain(text string) bool {
	return strings.IndexByte(text, 0) < 0 && strings.IndexByte(text, mark) < 0 && utf8.ValidString(text)
}

func spell(text string) string {
	if isPlain(text) {
		return text
	}
	var out strings.Builder
	for at := 0; at < len(text); {
		r, size := utf8.DecodeRuneInString(text[at:])
		switch {
		case r == utf8.RuneError && size == 1:
			out.WriteByte(mark)
			out.WriteRune(rune(text[at]))
		case r == 0 || r == mark:
			out.WriteByte(mark)
			out.WriteByte(byte(r) + 1)
		default:
			out.WriteString(text[at : at+size])
		}
		at += size
	}
	return out.String()
}

func unspell(text string) string {
	if strings.IndexByte(text, mark) < 0 {
		return text
	}
	var out strings.Builder
	marked := false
	for _, r := range text {
		switch {
		case marked && r <= mark+1:
			out.WriteByte(byte(r) - 1)
		case marked:
			out.WriteByte(byte(r))
		case r != mark:
			out.WriteRune(r)
		}
		marked = !marked && r == mark
	}
	return out.String()
}
