package schema

import (
	"crypto/sha256"
	"fmt"
)

// Task is work that is handed out: the next step of a lot, or anything else in words. A scout's device may say that it is done, and when and
// by whom, and nothing more of it (see CheckRole).
type Task struct {
	Writes
	Lot  *string   `json:"lot,omitempty" validate:"omitempty,id"`
	Beds *[]string `json:"beds,omitempty" validate:"omitempty,max=100,dive,id"`
	// Step is the step of the plan that it is, by the name in PlanStep; left out for other work.
	Step  *string `json:"step,omitempty" validate:"omitempty,oneof=into_liner into_small_pot into_finished_pot last_pinch regulator into_cooler into_forcing"`
	Words *string `json:"words,omitempty" validate:"omitempty,max=400"`
	// Form is what is noted when other work is done, by the name of its form on the phone; left out where a tick says all.
	Form *string `json:"form,omitempty" validate:"omitempty,oneof=loss recount rooting reading move"`
	// FromOn and DueOn are the first day on which it is to be done, and the last.
	FromOn *string `json:"from_on,omitempty" validate:"omitempty,datetime=2006-01-02"`
	DueOn  *string `json:"due_on,omitempty" validate:"omitempty,datetime=2006-01-02"`
	// Person is whom it was handed to; nobody's while left out.
	Person    *string `json:"person,omitempty" validate:"omitempty,id"`
	Cancelled *bool   `json:"cancelled,omitempty"`
	// DoneOn and DoneBy say when it was done and by whom. Two people who ticked it without knowing of each other both stay: the earlier day counts.
	DoneOn *string `json:"done_on,omitempty" validate:"omitempty,datetime=2006-01-02"`
	DoneBy *string `json:"done_by,omitempty" validate:"omitempty,id"`
}

// TaskID is the id of the task that a lot's step is, the nth time that the lot takes it (from 1): two people who hand it out or tick it apart
// write about one task.
func TaskID(lot, step string, nth int) string {
	sum := sha256.Sum256(fmt.Appendf(nil, "task %s %s %d", lot, step, nth))
	return fmt.Sprintf("%x", sum[:16])
}

// taskFaults lets a scout's device tick a task in its writer's own name, and leaves to others what there is to do and who does it.
func taskFaults(e Entry, values Value) []Fault {
	for _, m := range values.List {
		switch m.Name {
		case "of", "saw", "done_on":
		case "done_by":
			if by := m.Value; by.Kind != 'n' && by.Text != e.Person {
				return []Fault{notForRole("body.done_by", "task")}
			}
		default:
			return []Fault{notForRole("body."+m.Name, "task")}
		}
	}
	return nil
}
