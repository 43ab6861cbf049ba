package schema

import (
	"fmt"
	"reflect"
	"strconv"
	"strings"
	"sync"
)

// shape fills a struct from values and lists where they have not its shape, in one go. The standard decoder is more lenient
// than the phone's: it takes "Buds" for "buds" and reads a missing count as zero. Two devices would then read one entry in
// two ways, so both are faults here. Fields that the struct does not have are none: they come from later versions.
type shape struct {
	faults []Fault
	// path leads to the value that is read.
	path []step
	// broken is set where a value could not be read at all, so that the struct does not say what the entry does.
	broken bool
}

// step is a field of a struct, or (name "") an item of a list; in a map it is a key.
type step struct {
	name  string
	item  int
	isKey bool
}

func (s *shape) at() string {
	path := strings.Builder{}
	for i, step := range s.path {
		switch {
		case step.isKey:
			fmt.Fprintf(&path, "[%s]", shorten(step.name))
		case step.name == "":
			fmt.Fprintf(&path, "[%d]", step.item)
		case i > 0:
			path.WriteString("." + step.name)
		default:
			path.WriteString(step.name)
		}
	}
	return path.String()
}

func (s *shape) add(f Fault) { s.faults = append(s.faults, f) }

// below reads a value that lies one step deeper.
func (s *shape) below(next step, v Value, into reflect.Value) {
	s.path = append(s.path, next)
	s.read(v, into)
	s.path = s.path[:len(s.path)-1]
}

func (s *shape) read(v Value, into reflect.Value) {
	switch kind := into.Kind(); {
	case kind == reflect.Pointer:
		into.Set(reflect.New(into.Type().Elem()))
		s.read(v, into.Elem())
	case kind == reflect.Struct && v.Kind == '{':
		s.object(v, into)
	case kind == reflect.Slice && v.Kind == '[':
		into.Set(reflect.MakeSlice(into.Type(), len(v.List), len(v.List)))
		for i, item := range v.List {
			s.below(step{item: i}, item.Value, into.Index(i))
		}
	case kind == reflect.Map && v.Kind == '{':
		into.Set(reflect.MakeMapWithSize(into.Type(), len(v.List)))
		for _, member := range v.List {
			item := reflect.New(into.Type().Elem()).Elem()
			s.below(step{name: member.Name, isKey: true}, member.Value, item)
			into.SetMapIndex(reflect.ValueOf(member.Name), item)
		}
	case kind == reflect.String && v.Kind == '"':
		into.SetString(v.Text)
	case kind == reflect.Bool && (v.Kind == 't' || v.Kind == 'f'):
		into.SetBool(v.Kind == 't')
	case (kind == reflect.Int || kind == reflect.Int64) && v.Kind == '0':
		number, err := strconv.ParseInt(v.Text, 10, 64)
		if err != nil {
			s.wrongType(v, into.Type())
		}
		into.SetInt(number)
	default:
		s.wrongType(v, into.Type())
	}
}

func (s *shape) wrongType(v Value, t reflect.Type) {
	s.add(wrongType(s.at(), v, t))
	s.broken = s.broken || v.Kind != 'n'
}

// fields are what shape asks of a struct type, read by reflection once: it is asked for every entry of every push.
type fields struct {
	list   []fieldShape
	names  map[string]int
	writes bool
}

type fieldShape struct {
	name     string
	optional bool
	pointer  bool
	index    []int
}

var fieldsSeen sync.Map

func fieldsOf(t reflect.Type) fields {
	if known, ok := fieldsSeen.Load(t); ok {
		return known.(fields)
	}
	f := fields{names: map[string]int{}}
	_, f.writes = t.FieldByName("Writes")
	for _, field := range reflect.VisibleFields(t) {
		name, optional := jsonName(field)
		if field.Anonymous || name == "" {
			continue
		}
		f.names[name] = len(f.list)
		f.list = append(f.list, fieldShape{name, optional, field.Type.Kind() == reflect.Pointer, field.Index})
	}
	fieldsSeen.Store(t, f)
	return f
}

func (s *shape) object(v Value, into reflect.Value) {
	known := fieldsOf(into.Type())
	found := 0
	for _, field := range known.list {
		value, there := v.member(field.name)
		if there {
			found++
		}
		switch {
		case !there && !field.optional:
			s.add(missing(s.to(field.name)))
		case !there:
		case value.Kind == 'n' && known.writes && field.pointer:
			// null empties a register.
		case value.Kind == 'n':
			s.add(isNull(s.to(field.name), field.optional))
		default:
			s.below(step{name: field.name}, value, into.FieldByIndex(field.index))
		}
	}
	if found < len(v.List) {
		s.misspelt(v, known, into)
	}
}

// to is the path of a field of the object that is read.
func (s *shape) to(name string) string { return join(s.at(), name) }

// misspelt finds fields that differ from a known one by capitals only. What they say is read all the same where the field
// itself is absent, so that all that is wrong with it is named at once.
func (s *shape) misspelt(v Value, known fields, into reflect.Value) {
	for _, member := range v.List {
		if _, exact := known.names[member.Name]; exact {
			continue
		}
		for _, field := range known.list {
			if !strings.EqualFold(field.name, member.Name) {
				continue
			}
			s.add(Fault{Field: s.to(shorten(member.Name)), Code: CodeSpelling, Other: field.name})
			if member.Value.Kind == 'n' {
				continue
			}
			target := into.FieldByIndex(field.index)
			if _, there := v.member(field.name); there {
				target = reflect.New(target.Type()).Elem()
			}
			inside := shape{}
			inside.read(member.Value, target)
			s.broken = s.broken || inside.broken
		}
	}
}

func join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}
