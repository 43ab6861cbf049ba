package journal

import (
	"bytes"
	"encoding/json"
	"errors"

	"github.com/go-json-experiment/json/jsontext"

	"bedwalk/schema"
)

// Canonical returns the one canonical form of a JSON text: RFC 8785, restricted to integers within +-(2^53 - 1) and to
// MaxDepth. A text that is already canonical is returned without a copy. Errors are *Error.
func Canonical(raw []byte) ([]byte, error) { return canonicalForm(raw, false) }

func canonicalForm(raw []byte, roomier bool) ([]byte, error) {
	canonical, err := scan(raw, roomier)
	if err != nil {
		return nil, err
	}
	if canonical {
		return raw, nil
	}
	return rewritten(raw)
}

// rewritten is the canonical form of a text that scan found sound and not canonical.
func rewritten(raw []byte) ([]byte, error) {
	v := jsontext.Value(bytes.Clone(raw))
	if err := v.Canonicalize(); err != nil {
		return nil, rewriteError(err)
	}
	return v, nil
}

// rewriteError reports a duplicate name: scan has checked everything else.
func rewriteError(err error) error {
	own := &Error{Code: BadJSON}
	var syntax *jsontext.SyntacticError
	if errors.As(err, &syntax) {
		own.At = int(syntax.ByteOffset)
	}
	if errors.Is(err, jsontext.ErrDuplicateName) {
		own.Code = DuplicateKey
	}
	return own
}

// Encode gives the canonical bytes of an entry. Errors are *Error, or json's for a body that is no JSON.
func Encode(entry schema.Entry) ([]byte, error) { return Of(entry) }

// Of returns the canonical bytes of any value that package json can write.
func Of(value any) ([]byte, error) { return of(value, false) }

// OfRecord is Of for a record, which may be as deep as MaxRecordDepth.
func OfRecord(record schema.Record) ([]byte, error) { return of(record, true) }

func of(value any, roomier bool) ([]byte, error) {
	raw, err := json.Marshal(value)
	if err != nil {
		return nil, err
	}
	return canonicalForm(raw, roomier)
}

func appendString(out, value []byte) []byte {
	return append(appendEscaped(append(out, '"'), value), '"')
}

// appendEscaped escapes what must be escaped and nothing else (RFC 8785, 3.2.2.2).
func appendEscaped(out, value []byte) []byte {
	const hex = "0123456789abcdef"
	for _, c := range value {
		switch {
		case c == '"' || c == '\\':
			out = append(out, '\\', c)
		case c >= 0x20:
			out = append(out, c)
		case c == '\b':
			out = append(out, '\\', 'b')
		case c == '\t':
			out = append(out, '\\', 't')
		case c == '\n':
			out = append(out, '\\', 'n')
		case c == '\f':
			out = append(out, '\\', 'f')
		case c == '\r':
			out = append(out, '\\', 'r')
		default:
			out = append(out, '\\', 'u', '0', '0', hex[c>>4], hex[c&15])
		}
	}
	return out
}
