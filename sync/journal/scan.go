package journal

import (
	"bytes"
	"unicode/utf16"
	"unicode/utf8"
)

// MaxDepth is how deep objects and arrays may be nested in an entry; the outermost counts as one.
const MaxDepth = 16

// MaxRecordDepth is the same for a record, which the fold wraps around parts of entries: a register's value that is
// beside another is four levels deeper there. So every record of entries has canonical bytes.
const MaxRecordDepth = MaxDepth + 4

// maxInteger is 2^53 - 1, the largest integer up to which JavaScript represents every one.
const maxInteger = 1<<53 - 1

// scanner reads JSON once, strictly. To check a canonical text costs no memory, and every pushed entry should be canonical;
// only texts that are not are read a second time, to be rewritten.
type scanner struct {
	text      []byte
	at        int
	depth     int
	canonical bool
	// roomier is set for records, which may be deeper.
	roomier bool
	// envelope, where it is set, is filled with the members of the outermost object as they are passed.
	envelope *envelope
	// values, where it is set, is of what is passed.
	values *values
}

func (s *scanner) fail(code Code) error { return &Error{Code: code, At: s.at} }

// scan checks the whole text except for duplicates among unsorted names, which sorting finds.
func scan(text []byte, roomier bool) (canonical bool, err error) {
	s := scanner{text: text, canonical: true, roomier: roomier}
	if err := s.whole(); err != nil {
		return false, err
	}
	return s.canonical, nil
}

// whole passes the one value that the text has to be.
func (s *scanner) whole() error {
	if !utf8.Valid(s.text) {
		return &Error{Code: NotUTF8}
	}
	s.space()
	if err := s.value(); err != nil {
		return err
	}
	s.space()
	if s.at < len(s.text) {
		return s.fail(Trailing)
	}
	return nil
}

func (s *scanner) peek() byte {
	if s.at < len(s.text) {
		return s.text[s.at]
	}
	return 0
}

func (s *scanner) space() {
	for s.at < len(s.text) {
		switch s.text[s.at] {
		case ' ', '\t', '\n', '\r':
			s.canonical = false
			s.at++
		default:
			return
		}
	}
}

func (s *scanner) value() error {
	from := s.at
	switch c := s.peek(); {
	case c == '{':
		return s.object()
	case c == '[':
		return s.array()
	case c == '"':
		text, err := s.str()
		s.values.addText(from, s.at, text)
		return err
	case c == '-' || '0' <= c && c <= '9':
		err := s.number()
		s.values.addNumber(from, s.at)
		return err
	}
	for _, word := range []string{"true", "false", "null"} {
		if bytes.HasPrefix(s.text[s.at:], []byte(word)) {
			s.at += len(word)
			s.values.addWord(word[0])
			return nil
		}
	}
	return s.fail(BadJSON)
}

func (s *scanner) enter() error {
	most := MaxDepth
	if s.roomier {
		most = MaxRecordDepth
	}
	if s.depth++; s.depth > most {
		return s.fail(TooDeep)
	}
	s.at++
	s.space()
	return nil
}

func (s *scanner) object() error {
	if err := s.enter(); err != nil {
		return err
	}
	outer := s.values.enter()
	if s.peek() == '}' {
		s.values.leave('{', outer)
		return s.leave()
	}
	var last []byte
	for first := true; ; first = false {
		if s.peek() != '"' {
			return s.fail(BadJSON)
		}
		from := s.at
		name, err := s.str()
		if err != nil {
			return err
		}
		if !first && compareUTF16(last, name) >= 0 {
			s.canonical = false
		}
		last = name
		s.values.addName(from, s.at, name)
		s.space()
		if s.peek() != ':' {
			return s.fail(BadJSON)
		}
		s.at++
		s.space()
		if err := s.member(name); err != nil {
			return err
		}
		if more, err := s.next('}'); err != nil || !more {
			s.values.leave('{', outer)
			return err
		}
	}
}

func (s *scanner) array() error {
	if err := s.enter(); err != nil {
		return err
	}
	outer := s.values.enter()
	if s.peek() == ']' {
		s.values.leave('[', outer)
		return s.leave()
	}
	for {
		s.values.addItem()
		if err := s.value(); err != nil {
			return err
		}
		if more, err := s.next(']'); err != nil || !more {
			s.values.leave('[', outer)
			return err
		}
	}
}

// next moves to the next member, or returns at the closing bracket.
func (s *scanner) next(closing byte) (more bool, err error) {
	s.space()
	switch s.peek() {
	case ',':
		s.at++
		s.space()
		return true, nil
	case closing:
		return false, s.leave()
	}
	return false, s.fail(BadJSON)
}

func (s *scanner) leave() error {
	s.at++
	s.depth--
	return nil
}

func (s *scanner) digits() bool {
	start := s.at
	for '0' <= s.peek() && s.peek() <= '9' {
		s.at++
	}
	return s.at > start
}

func (s *scanner) number() error {
	start := s.at
	if s.peek() == '-' {
		s.at++
	}
	first := s.at
	if s.peek() == '0' {
		s.at++
	} else if !s.digits() {
		return s.fail(BadJSON)
	}
	last := s.at
	if s.peek() == '.' {
		s.at++
		if !s.digits() {
			return s.fail(BadJSON)
		}
	}
	if s.peek() == 'e' || s.peek() == 'E' {
		s.at++
		if s.peek() == '+' || s.peek() == '-' {
			s.at++
		}
		if !s.digits() {
			return s.fail(BadJSON)
		}
	}
	negativeZero := first > start && last == first+1 && s.text[first] == '0'
	if s.at > last || negativeZero {
		s.at = start
		return s.fail(NotInteger)
	}
	magnitude := int64(0)
	for _, c := range s.text[first:last] {
		if magnitude = magnitude*10 + int64(c-'0'); magnitude > maxInteger {
			s.at = start
			return s.fail(OutOfRange)
		}
	}
	return nil
}

// str reads past a string and returns its value: a part of the text itself unless there are escapes in it.
func (s *scanner) str() ([]byte, error) {
	s.at++
	start := s.at
	for s.at < len(s.text) {
		switch c := s.text[s.at]; {
		case c == '"':
			s.at++
			return s.text[start : s.at-1], nil
		case c == '\\':
			return s.escaped(start)
		case c < 0x20:
			return nil, s.fail(BadJSON)
		}
		s.at++
	}
	return nil, s.fail(BadJSON)
}

func (s *scanner) escaped(start int) ([]byte, error) {
	value := append([]byte(nil), s.text[start:s.at]...)
	for s.at < len(s.text) {
		switch c := s.text[s.at]; {
		case c == '"':
			s.at++
			return value, nil
		case c < 0x20:
			return nil, s.fail(BadJSON)
		case c == '\\':
			from := s.at
			r, err := s.escape()
			if err != nil {
				return nil, err
			}
			value = utf8.AppendRune(value, r)
			if written := appendEscaped(nil, value[len(value)-utf8.RuneLen(r):]); !bytes.Equal(written, s.text[from:s.at]) {
				s.canonical = false
			}
		default:
			value = append(value, c)
			s.at++
		}
	}
	return nil, s.fail(BadJSON)
}

const shortEscapes = "\"\\/\b\f\n\r\t"

func (s *scanner) escape() (rune, error) {
	if s.at+1 >= len(s.text) {
		return 0, s.fail(BadJSON)
	}
	c := s.text[s.at+1]
	if c != 'u' {
		short := bytes.IndexByte([]byte(`"\/bfnrt`), c)
		if short < 0 {
			return 0, s.fail(BadJSON)
		}
		s.at += 2
		return rune(shortEscapes[short]), nil
	}
	high, ok := s.unit(s.at)
	if !ok {
		return 0, s.fail(BadJSON)
	}
	if !utf16.IsSurrogate(high) {
		s.at += 6
		return high, nil
	}
	low, ok := s.unit(s.at + 6)
	pair := utf16.DecodeRune(high, low)
	if !ok || pair == utf8.RuneError {
		return 0, s.fail(LoneSurrogate)
	}
	s.at += 12
	return pair, nil
}

// unit reads a \uXXXX at some place, if there is one.
func (s *scanner) unit(at int) (rune, bool) {
	if at+6 > len(s.text) || s.text[at] != '\\' || s.text[at+1] != 'u' {
		return 0, false
	}
	value := rune(0)
	for _, c := range s.text[at+2 : at+6] {
		switch {
		case '0' <= c && c <= '9':
			value = value<<4 | rune(c-'0')
		case 'a' <= c|0x20 && c|0x20 <= 'f':
			value = value<<4 | rune(c|0x20-'a'+10)
		default:
			return 0, false
		}
	}
	return value, true
}

// compareUTF16 orders UTF-8 texts by their UTF-16 code units, as RFC 8785 (3.2.3) asks: characters beyond U+FFFF,
// whose first unit is a surrogate, come before U+E000 to U+FFFF.
func compareUTF16(a, b []byte) int {
	for i := 0; i < len(a) && i < len(b); i++ {
		if a[i] != b[i] {
			return int(unitRank(a[i])) - int(unitRank(b[i]))
		}
	}
	return len(a) - len(b)
}

func unitRank(lead byte) byte {
	if lead == 0xEE || lead == 0xEF {
		return lead + 0x10
	}
	return lead
}
