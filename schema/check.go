package schema

import (
	"bytes"
	"encoding/json"
	"errors"
	"reflect"
	"strings"

	"github.com/go-playground/validator/v10"
)

// Check lists everything that is wrong with an entry by itself, nil when nothing is. An unknown kind and unknown
// fields are no faults: they come from later versions, and are stored and passed on unread. What only the nursery's
// records can tell (CheckAgainst) is not asked.
func Check(e Entry) []Fault {
	faults := CheckEnvelope(e)
	kind, known := KindOf(e.Kind)
	object, err := decodeObject(e.Body)
	if err != nil {
		return append(faults, notObject("body"))
	}
	if !known {
		return faults
	}
	faults = append(faults, envelopeFaults(e, kind, object)...)
	return append(faults, bodyFaults(kind, object, e.Body, "body")...)
}

// CheckEnvelope lists what is wrong with an entry but for what its body says: the names and numbers by which every
// device files it, of kinds that this build does not know too.
func CheckEnvelope(e Entry) []Fault { return validated(&e, "") }

// DecodeBody reads a body of a known kind into its struct (a pointer). It does not judge: see Check.
func DecodeBody(kind string, raw json.RawMessage) (any, error) {
	k, known := KindOf(kind)
	if !known {
		return nil, errUnknownKind
	}
	body := reflect.New(k.Body).Interface()
	if err := json.Unmarshal(raw, body); err != nil {
		return nil, err
	}
	return body, nil
}

var errUnknownKind = errors.New("this build does not know the kind of entry: update Bedwalk to read it")

func bodyFaults(kind Kind, object map[string]any, raw json.RawMessage, path string) []Fault {
	faults := shapeFaults(object, kind.Body, path)
	body, err := DecodeBody(kind.Name, raw)
	if err != nil {
		if len(faults) == 0 {
			faults = append(faults, notObject(path))
		}
		return faults
	}
	faulted := map[string]bool{}
	for _, fault := range faults {
		faulted[fault.Field] = true
	}
	for _, fault := range append(validated(body, path), crossFaults(body, path)...) {
		if !faulted[fault.Field] {
			faulted[fault.Field] = true
			faults = append(faults, fault)
		}
	}
	return faults
}

// envelopeFaults compares the lot and bed on the envelope with what the kind needs and its body says.
func envelopeFaults(e Entry, kind Kind, object map[string]any) []Fault {
	var faults []Fault
	ask := func(field, given string, need Need) {
		said := ""
		if need.From != "" {
			said, _ = at(object, need.From).(string)
		}
		switch {
		case given == "" && need.Must:
			faults = append(faults, missing(field))
		case said != "" && said != given:
			faults = append(faults, Fault{Field: field, Code: CodeEnvelope, Value: shorten(given), Other: "body." + need.From, OtherValue: shorten(said)})
		}
	}
	ask("lot", e.Lot, kind.Lot)
	ask("bed", e.Bed, kind.Bed)
	return faults
}

// at follows a dotted path through objects.
func at(value any, path string) any {
	for name := range strings.SplitSeq(path, ".") {
		object, ok := value.(map[string]any)
		if !ok {
			return nil
		}
		value = object[name]
	}
	return value
}

func decodeObject(raw json.RawMessage) (map[string]any, error) {
	decoder := json.NewDecoder(bytes.NewReader(raw))
	decoder.UseNumber()
	var object map[string]any
	if err := decoder.Decode(&object); err != nil {
		return nil, err
	}
	if object == nil {
		return nil, errors.New("null")
	}
	return object, nil
}

// validated runs the validator tags of a struct and puts each failure into words.
func validated(value any, path string) []Fault {
	err := rules.Struct(value)
	var failures validator.ValidationErrors
	if !errors.As(err, &failures) {
		return nil
	}
	t := reflect.TypeOf(value).Elem()
	faults := make([]Fault, 0, len(failures))
	for _, failure := range failures {
		inside := insidePath(failure.Namespace())
		faults = append(faults, ruleFault(join(path, inside), limitAt(t, inside), failure))
	}
	return faults
}

// insidePath turns a validator namespace ("Correction.now.head_a_mm", "Lot.Writes.of") into a JSON path.
func insidePath(namespace string) string {
	_, inside, _ := strings.Cut(namespace, ".")
	return strings.TrimPrefix(inside, "Writes.")
}

// CheckMessage lists everything that is wrong with a message between phone and server (a pointer to a struct of
// wire.go) by its validator tags. The entries inside a Push are not looked into: see Check.
func CheckMessage(message any) []Fault { return validated(message, "") }
