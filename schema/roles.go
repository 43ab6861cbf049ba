package schema

import (
	"fmt"
	"slices"
	"strings"
)

// Roles of paired devices, from the least to the most. What a device may write goes by its own role, which it got when
// it was paired, and never by what the record of its person says.
const (
	RoleScout      = "scout"
	RoleSupervisor = "supervisor"
	RoleOwner      = "owner"
)

// CheckRole lists what of an entry is not for its writer's role: a kind that only a supervisor or the owner writes
// (Kind.Supervisor), a second look asked for rather than answered, a task handed out rather than done, and the striking out of either, which would change the same
// records. Supervisors and owners write everything. A role of "" is of notes that no paired device sends (the server's
// own), about which nothing is said; nor is anything about kinds that this build does not know. values are those of the body.
//
// The fault names who can write it. Its code is what screens go by: a note with no other fault lacks nothing but the
// word of somebody who may.
func CheckRole(e Entry, values Value, role string) []Fault {
	if role == "" || role == RoleSupervisor || role == RoleOwner {
		return nil
	}
	if kind, known := KindOf(e.Kind); known && kind.Supervisor {
		return []Fault{notForRole("kind", e.Kind)}
	}
	switch e.Kind {
	case "round":
		return roundFaults(values)
	case "task":
		return taskFaults(e, values)
	case "void", "unvoid":
		return voidFaults(values)
	}
	return nil
}

// CheckPerson gives the fault of an entry that stands in the name of somebody as whom its device was never paired. Nil
// people are of notes that no paired device sends (the server's own), about which nothing is said. Whether anybody has
// written down who the person is does not matter: a device has its person from the server when it is paired, and their
// record may arrive later than their notes. Check reports an entry without a person.
func CheckPerson(e Entry, people []string) []Fault {
	if people == nil || e.Person == "" || slices.Contains(people, e.Person) {
		return nil
	}
	return []Fault{{Field: "person", Code: CodePerson, Value: shorten(e.Person)}}
}

// roundFaults lets a scout say that a second look is done, and leaves to others which walk is looked at again, and by
// whom.
func roundFaults(values Value) []Fault {
	for _, field := range []string{"bed", "walk", "by"} {
		if _, set := values.member(field); set {
			return []Fault{notForRole("body."+field, "round")}
		}
	}
	return nil
}

// voidFaults looks at the records that a void or its undoing has a part in: it takes hold in no others.
func voidFaults(values Value) []Fault {
	records, _ := values.member("records")
	if records.Kind != '[' {
		return nil
	}
	for i, record := range records.List {
		name, _, _ := strings.Cut(record.Value.Text, ":")
		if kind, known := KindOf(name); name == "round" || name == "task" || known && kind.Supervisor {
			return []Fault{notForRole(fmt.Sprintf("body.records[%d]", i), name)}
		}
	}
	return nil
}

// notForRole is of a kind that scouts do not write, ask for or strike out: which of the three, the field says.
func notForRole(field, kind string) Fault { return Fault{Field: field, Code: CodeRole, Value: kind} }
