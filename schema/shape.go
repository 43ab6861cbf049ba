package schema

import (
	"encoding/json"
	"fmt"
	"reflect"
	"sort"
	"strconv"
	"strings"
	"sync"
)

var rawMessage = reflect.TypeFor[json.RawMessage]()

// shapeFaults compares a decoded JSON value (numbers as json.Number) with the Go type that it is to be read into.
// The standard decoder is more lenient than the phone's: it takes "Buds" for "buds" and reads a missing count as
// zero. Two devices would then read one entry in two ways, so both are faults here. Fields that the type does not
// have are none: they come from later versions.
func shapeFaults(value any, t reflect.Type, path string) []Fault {
	if t == rawMessage || t.Kind() == reflect.Interface {
		return nil
	}
	switch t.Kind() {
	case reflect.Pointer:
		return shapeFaults(value, t.Elem(), path)
	case reflect.Struct:
		if object, ok := value.(map[string]any); ok {
			return structFaults(object, t, path)
		}
	case reflect.Slice:
		if list, ok := value.([]any); ok {
			return listFaults(list, t.Elem(), path)
		}
	case reflect.Map:
		if object, ok := value.(map[string]any); ok {
			return mapFaults(object, t.Elem(), path)
		}
	case reflect.String:
		if _, ok := value.(string); ok {
			return nil
		}
	case reflect.Bool:
		if _, ok := value.(bool); ok {
			return nil
		}
	case reflect.Int, reflect.Int64:
		if number, ok := value.(json.Number); ok && whole(number) {
			return nil
		}
	}
	return []Fault{wrongType(path, value, t)}
}

// fields are what structFaults asks of a struct type, read by reflection once: it runs for every entry of every push.
type fields struct {
	list   []fieldShape
	names  map[string]bool
	writes bool
}

type fieldShape struct {
	name     string
	optional bool
	t        reflect.Type
}

var fieldsSeen sync.Map

func fieldsOf(t reflect.Type) fields {
	if known, ok := fieldsSeen.Load(t); ok {
		return known.(fields)
	}
	f := fields{names: map[string]bool{}}
	_, f.writes = t.FieldByName("Writes")
	for _, field := range reflect.VisibleFields(t) {
		name, optional := jsonName(field)
		if field.Anonymous || name == "" {
			continue
		}
		f.names[name] = true
		f.list = append(f.list, fieldShape{name, optional, field.Type})
	}
	fieldsSeen.Store(t, f)
	return f
}

func structFaults(object map[string]any, t reflect.Type, path string) []Fault {
	var faults []Fault
	known := fieldsOf(t)
	for _, field := range known.list {
		value, there := object[field.name]
		switch {
		case !there && !field.optional:
			faults = append(faults, missing(join(path, field.name)))
		case !there:
		case value == nil && known.writes && field.t.Kind() == reflect.Pointer:
			// null empties a register.
		case value == nil:
			faults = append(faults, isNull(join(path, field.name), field.optional))
		default:
			faults = append(faults, shapeFaults(value, field.t, join(path, field.name))...)
		}
	}
	return append(faults, caseFaults(object, known.names, path)...)
}

// caseFaults finds fields that differ from a known one by capitals only.
func caseFaults(object map[string]any, names map[string]bool, path string) []Fault {
	var strange []string
	for given := range object {
		if !names[given] {
			strange = append(strange, given)
		}
	}
	sort.Strings(strange)
	var faults []Fault
	for _, given := range strange {
		for name := range names {
			if strings.EqualFold(name, given) {
				faults = append(faults, Fault{Field: join(path, shorten(given)), Code: CodeSpelling, Other: name})
			}
		}
	}
	return faults
}

func listFaults(list []any, element reflect.Type, path string) []Fault {
	var faults []Fault
	for i, value := range list {
		faults = append(faults, shapeFaults(value, element, fmt.Sprintf("%s[%d]", path, i))...)
	}
	return faults
}

func mapFaults(object map[string]any, element reflect.Type, path string) []Fault {
	var faults []Fault
	for _, key := range sortedKeys(object) {
		faults = append(faults, shapeFaults(object[key], element, fmt.Sprintf("%s[%s]", path, shorten(key)))...)
	}
	return faults
}

func whole(number json.Number) bool {
	_, err := strconv.ParseInt(number.String(), 10, 64)
	return err == nil
}

func sortedKeys(object map[string]any) []string {
	keys := make([]string, 0, len(object))
	for key := range object {
		keys = append(keys, key)
	}
	sort.Strings(keys)
	return keys
}

func join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}
