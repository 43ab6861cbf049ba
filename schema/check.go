package schema

import (
	"errors"
	"reflect"
	"strings"

	"github.com/go-playground/validator/v10"
)

// Check lists everything that is wrong with an entry by itself, nil when nothing is. values are those of its body, as package
// journal read them. An unknown kind and unknown fields are no faults: they come from later versions, and are stored and
// passed on unread. What only the nursery's records can tell is not asked: for that, CheckReferences takes the body, a pointer
// to the struct of the entry's kind. It is nil for an unknown kind, and where there are faults.
func Check(e Entry, values Value) (body any, faults []Fault) {
	faults = CheckEnvelope(e)
	if values.Kind != '{' {
		return nil, append(faults, notObject("body"))
	}
	kind, known := KindOf(e.Kind)
	if !known {
		return nil, faults
	}
	faults = append(faults, envelopeFaults(e, kind, values)...)
	body, wrong := readBody(kind, values)
	if faults = append(faults, wrong...); len(faults) > 0 {
		return nil, faults
	}
	return body, nil
}

// CheckEnvelope lists what is wrong with an entry but for what its body says: the names and numbers by which every
// device files it, of kinds that this build does not know too.
func CheckEnvelope(e Entry) []Fault { return validated(&e, "") }

// readBody fills the struct of a kind from values, and lists what is wrong with them. Where some could not be read at all it is
// only said which.
func readBody(kind Kind, values Value) (body any, faults []Fault) {
	into := reflect.New(kind.Body)
	s := shape{path: append(make([]step, 0, 8), step{name: "body"})}
	s.read(values, into.Elem())
	body, faults = into.Interface(), s.faults
	if s.broken {
		return body, faults
	}
	faulted := map[string]bool{}
	for _, fault := range faults {
		faulted[fault.Field] = true
	}
	for _, fault := range append(validated(body, "body"), crossFaults(body, "body")...) {
		if !faulted[fault.Field] {
			faulted[fault.Field] = true
			faults = append(faults, fault)
		}
	}
	return body, faults
}

// envelopeFaults compares the lot and bed on the envelope with what the kind needs and its body says.
func envelopeFaults(e Entry, kind Kind, values Value) []Fault {
	var faults []Fault
	ask := func(field, given string, need Need) {
		said := ""
		if need.From != "" {
			said = values.text(need.From)
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
	return strings.TrimPrefix(strings.TrimPrefix(inside, "Writes."), "Stages.")
}

// CheckMessage lists everything that is wrong with a message between phone and server (a pointer to a struct of
// wire.go) by its validator tags. The entries inside a Push are not looked into: see Check.
func CheckMessage(message any) []Fault { return validated(message, "") }
