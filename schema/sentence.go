package schema

import (
	"encoding/json"
	"fmt"
	"strconv"
	"strings"
)

// Sentence says in English what is wrong and what to do. It is for terminals and for whoever calls the API by hand;
// screens have words of their own in pwa/src/words, in both languages.
func (f Fault) Sentence() string {
	if say := sentences[f.Code]; say != nil {
		return say(f)
	}
	return fmt.Sprintf("%s: %s. Write the note again, or update Bedwalk.", f.name(), f.Code)
}

func (f Fault) name() string { return saidOf(f.Field).Name }

// enter is "Enter the head size in millimetres", with the way out where the field may be left out.
func (f Fault) enter() string {
	return "Enter " + saidOf(f.Field).Enter + saidOf(f.Field).orLeave() + "."
}

var sentences = map[FaultCode]func(Fault) string{
	CodeMissing: func(f Fault) string { return fmt.Sprintf("%s is missing. Enter %s.", f.name(), saidOf(f.Field).Enter) },
	CodeWrongType: func(f Fault) string {
		if f.Value == nil && lastName(f.Field) == "body" {
			return "The body of the entry is not a JSON object. Send an object with the fields of its kind."
		}
		return fmt.Sprintf("%s is %s where %s is needed. Enter %s.", f.name(), f.given(), wanted[f.Want].is, saidOf(f.Field).Enter)
	},
	CodeNotNull: func(f Fault) string {
		return f.name() + " is null. Leave the field out when there is nothing to say."
	},
	CodeSpelling: func(f Fault) string {
		return fmt.Sprintf("The field %s is spelled %s. Spell it in small letters.", strconv.Quote(lastName(f.Field)), f.Other)
	},
	CodeOutOfRange: func(f Fault) string {
		return fmt.Sprintf("%s of %s is outside %s. %s", f.name(), f.given(), f.between(), f.enter())
	},
	CodeNotOneOf: func(f Fault) string {
		return fmt.Sprintf("%s %s is not one of: %s. Choose one of these%s.", f.name(), f.given(), strings.Join(f.OneOf, ", "), saidOf(f.Field).orLeave())
	},
	CodeTooLong: func(f Fault) string {
		return fmt.Sprintf("%s has %s, which is more than %s. Shorten it, or send the rest as a second note.", f.name(), f.given(), f.show(f.Max))
	},
	CodeTooShort: func(f Fault) string {
		return fmt.Sprintf("%s has %s; at least %d needed. Enter %s.", f.name(), f.given(), deref(f.Min), saidOf(f.Field).Enter)
	},
	CodeForm: func(f Fault) string {
		want := wanted[f.Want]
		return fmt.Sprintf("%s %s is not %s. %s%s.", f.name(), f.given(), want.is, want.remedy, saidOf(f.Field).orLeave())
	},
	CodeZero: func(f Fault) string { return f.name() + " of 0 changes nothing. " + f.enter() },

	CodeBelowOther: func(f Fault) string {
		return fmt.Sprintf("%s of %s is below %s, %s. Enter %s or more.", f.name(), f.given(), f.otherName(), f.show(f.Min), f.show(f.Min))
	},
	CodeNotAboveOther: func(f Fault) string {
		return fmt.Sprintf("%s of %s is not above %s, %s. Enter a larger value.", f.name(), f.given(), f.otherName(), f.show(f.Min))
	},
	CodeAboveOther: func(f Fault) string {
		return fmt.Sprintf("%s of %s is above %s, %s. Enter %s or less.", f.name(), f.given(), f.otherName(), f.show(f.Max), f.show(f.Max))
	},
	CodeBeforeOther: func(f Fault) string {
		return fmt.Sprintf("%s %s is before %s, %s. Enter the later day, or leave the date out when it is not known.",
			f.name(), plainly(f.Value), f.otherName(), plainly(f.OtherValue))
	},
	CodeStatesOverBuds: func(f Fault) string {
		return fmt.Sprintf("The bud stages add up to %d, more than the %s buds counted. Enter %d or more buds, or fewer in the stages.",
			deref(f.Min), f.given(), deref(f.Min))
	},
	CodeSeverityAlone: func(Fault) string {
		return "A chlorosis severity stands without saying which leaves. Enter which leaves are yellow, or leave the severity out."
	},
	CodeSeverityOfNone: func(f Fault) string {
		return fmt.Sprintf("A chlorosis severity of %s stands beside no chlorosis. Enter which leaves are yellow, or leave the severity out.", f.given())
	},
	CodeOwnParent: func(f Fault) string {
		switch lastName(f.Field) {
		case "mother":
			return "The lot is named as the mother of its own cuttings. Choose the lot that they were taken from."
		case "to":
			return "The cuttings are stuck as the lot that they were taken from. Choose or write another lot for them."
		}
		return "The lot is named as its own parent. Choose the lot that it came from."
	},
	CodeTwice: func(f Fault) string {
		return fmt.Sprintf("%s names the same one twice (items %d and %d). Name each once.", f.name(), indexOf(f.Other)+1, indexOf(f.Field)+1)
	},
	CodeUnbalanced: func(f Fault) string {
		return fmt.Sprintf("The legs of the move add up to %s plants, so plants would appear or vanish. Enter legs that add up to 0; note a loss as a count.", f.given())
	},
	CodeSign: func(f Fault) string {
		does, reason, enter := "takes", "adds", "above"
		if f.Max != nil {
			does, reason, enter = "adds", "takes", "below"
		}
		return fmt.Sprintf("A change of %s %s pots, but the reason %s %s them. Enter a number %s 0, or another reason.",
			f.given(), does, plainly(f.OtherValue), reason, enter)
	},
	CodeEmpty: func(Fault) string {
		return "The reading holds no value. Enter at least one: pH, conductivity, light, a temperature or humidity."
	},
	CodeEnvelope: func(f Fault) string {
		return fmt.Sprintf("The envelope's %s is not the one in %s. Name the same %s in both.", f.Field, f.Other, f.Field)
	},

	CodeOverlap: func(f Fault) string {
		return fmt.Sprintf("Part %d begins before part %d has ended. Send the parts in order of time, and each value once.", indexOf(f.Field)+1, indexOf(f.Other)+1)
	},
	CodeEndsBefore: func(Fault) string {
		return "The work ended before it began. Enter the later time as its end, or leave the beginning out when it is not known."
	},
	CodeNotCuttings: func(f Fault) string {
		return fmt.Sprintf("A number of cuttings stands beside the event %s. Note cuttings as cuttings_taken, or leave them out.", f.given())
	},

	CodeUnknownLot: func(f Fault) string {
		return "No lot has the id " + f.given() + ". Choose a lot from the list, or write the lot first."
	},
	CodeUnknownBed: func(f Fault) string {
		return "No bed has the id " + f.given() + ". Choose a bed from the list, or write the bed first."
	},
	CodeUnknownWalk: func(f Fault) string {
		return "No walk has the id " + f.given() + ". Start the walk before noting pots in it."
	},
	CodeUnknownSpan: func(f Fault) string {
		return "No stretch of a bed has the id " + f.given() + ". Write where the lot stands first, or leave the stretch out."
	},
	CodeOutsideBed: func(f Fault) string {
		if lastName(f.Field) == "across" {
			return fmt.Sprintf("Place %s across is beyond the bed, which is %d pots wide. Enter a place from 1 to %d.", f.given(), deref(f.Max), deref(f.Max))
		}
		return fmt.Sprintf("Row %s lies past the end of the bed, which has %d rows. Enter a row from 1 to %d.", f.given(), deref(f.Max), deref(f.Max))
	},
	CodeRole: roleSentence,
	CodePerson: func(Fault) string {
		return "The note stands in another's name than the phone was paired in. It is kept. Ask a supervisor to merge it on the Phones page if that person wrote it."
	},

	CodeNotUTF8:        unreadable("its text is not UTF-8"),
	CodeBadJSON:        unreadable("it is not JSON (RFC 8259)"),
	CodeTrailing:       unreadable("something follows the JSON value"),
	CodeDuplicateKey:   unreadable("a name stands twice in one object"),
	CodeNotInteger:     unreadable("a number is not a whole number"),
	CodeNumberTooLarge: unreadable("a number lies outside -9007199254740991 to 9007199254740991"),
	CodeTooDeep:        unreadable("it is nested too deep"),
	CodeLoneSurrogate:  unreadable("half of a UTF-16 surrogate pair stands alone"),
	CodeNotEntry: func(f Fault) string {
		return unreadable("the field " + strconv.Quote(f.Other) + " has another type than an entry's")(f)
	},

	CodeTooLarge: func(f Fault) string {
		return fmt.Sprintf("The entry has %s, which is more than %s. It is kept; write it again in shorter parts.", f.given(), f.show(f.Max))
	},
	CodeOpaque: func(Fault) string {
		return "The phone could not send this entry as JSON, so it sent the bytes. They are kept; write the note again by hand."
	},
	CodeNotCanonical: func(Fault) string {
		return "The entry is not in canonical form (RFC 8785), so no two devices would agree on its hash. It is kept; update the phone's app and write the note again."
	},
	CodeWrongPlace: func(f Fault) string {
		return fmt.Sprintf("The entry says that it is %s (device, incarnation, number), but it stood at %s. It is kept; write the note again.",
			plainly(f.Value), plainly(f.OtherValue))
	},
	CodeIDTaken: func(Fault) string {
		return "Another note has this id already. Both are kept; write this one again."
	},
	CodeRevoked: func(Fault) string {
		return "The phone's access was revoked. The note is kept until a supervisor has looked at it."
	},
	CodeUnwritable: func(f Fault) string {
		why := ""
		if code := plainly(f.Value); f.Value != nil && code != "" {
			why = " (" + code + ")"
		}
		return "With this note the record that it belongs to could not be written any more" + why + ". It is kept; write the note again in another way."
	},
	CodeNoReceipt: func(Fault) string {
		return "A phone gave this note back for another one, and nothing shows that the server ever had it. It is kept until a supervisor has looked at it."
	},
	CodeRecordFull: func(f Fault) string {
		return fmt.Sprintf("One phone has written %s about the same thing already. This one is kept; a supervisor can merge it on the Phones page.", f.given())
	},
	CodeUnsettled: func(f Fault) string {
		return fmt.Sprintf("One phone has left %s values of this field beside each other. Choose one of them, then write again.", f.given())
	},
}

func unreadable(why string) func(Fault) string {
	return func(f Fault) string {
		at := ""
		if f.Value != nil {
			at = " (byte " + plainly(f.Value) + ")"
		}
		return "The entry cannot be read: " + why + at + ". It is kept; write the note again by hand."
	}
}

func roleSentence(f Fault) string {
	does := "write"
	switch {
	case strings.HasPrefix(f.Field, "body.records"):
		does = "strike out"
	case strings.HasPrefix(f.Field, "body."):
		does = "ask for"
	}
	return fmt.Sprintf("A scout's device may not %s %s: a supervisor or the owner can. The note is kept. "+
		"Ask a supervisor to merge it on the Phones page, or to write it.", does, supervisorWrites[plainly(f.Value)])
}

// supervisorWrites is what a supervisor or the owner writes, within a sentence.
var supervisorWrites = map[string]string{
	"site":     "the nursery's name",
	"house":    "a house",
	"bed":      "a bed",
	"person":   "a person",
	"profile":  "how a crop is judged",
	"booking":  "a booking",
	"round":    "a second look",
	"task":     "a task",
	"matter":   "what was done about a trouble",
	"trace":    "a logger's temperatures",
	"cultivar": "how a cultivar is grown",
}

// wanted is what a value should be, and what to do when a text is not.
var wanted = map[Want]struct{ is, remedy string }{
	WantWhole:    {"a whole number", ""},
	WantText:     {"a text", ""},
	WantBool:     {"true or false", ""},
	WantList:     {"a list", ""},
	WantObject:   {"an object", ""},
	WantID:       {"an id (32 characters of 0-9 and a-f)", "Choose it from the list instead of typing it"},
	WantTag:      {"a tag code (letters, digits, space . _ / -)", "Enter the code as it stands on the tag"},
	WantRecord:   {"a record key (kind, colon, id)", "Send the keys of the records that the entry had a part in"},
	WantDevice:   {"a device and incarnation (device.1)", "Send the counts by device.incarnation"},
	WantISOWeek:  {"a week of the calendar such as 2026-W50", "Enter the ISO year and week"},
	WantDate:     {"a day such as 2026-03-14", "Enter year-month-day"},
	WantZone:     {"a time zone such as America/New_York", "Enter a name of the IANA time zone list"},
	WantAlphaNum: {"letters and digits only", "Send the code as the server gave it"},
	WantHex:      {"hexadecimal (0-9 and a-f, in small letters)", "Send the hash of the picture's bytes"},
}

// given is the value as a sentence shows it: texts quoted, numbers with their unit.
func (f Fault) given() string {
	if text, ok := f.Value.(string); ok {
		return strconv.Quote(text)
	}
	value, isNumber := numberOf(f.Value)
	if !isNumber {
		return plainly(f.Value)
	}
	return units[f.Unit].show(value)
}

func (f Fault) show(n *int64) string { return units[f.Unit].show(float64(deref(n))) }

func (f Fault) between() string {
	u := units[f.Unit]
	switch {
	case f.Min != nil && f.Max != nil:
		return u.number(float64(*f.Min)) + " to " + f.show(f.Max)
	case f.Min != nil:
		return "at least " + f.show(f.Min)
	case f.Max != nil:
		return "at most " + f.show(f.Max)
	}
	return "what is allowed"
}

// otherName is the name of the other field within a sentence.
func (f Fault) otherName() string {
	_, name, _ := strings.Cut(saidOf(f.Other).Name, " ")
	return "the " + name
}

// plainly shows a value without its unit, as JSON has it but texts without quotes.
func plainly(value any) string {
	switch value := value.(type) {
	case string:
		return value
	case []any:
		return "a list"
	case map[string]any:
		return "an object"
	case nil:
		return "null"
	}
	if n, ok := numberOf(value); ok {
		return unit{scale: 1}.number(n)
	}
	return fmt.Sprint(value)
}

// numberOf reads a number from a fault that was made here, or that was read back from JSON.
func numberOf(value any) (float64, bool) {
	switch value := value.(type) {
	case int:
		return float64(value), true
	case int64:
		return float64(value), true
	case float64:
		return value, true
	case json.Number:
		n, err := value.Float64()
		return n, err == nil
	}
	return 0, false
}

func deref(n *int64) int64 {
	if n == nil {
		return 0
	}
	return *n
}

// lastName is the last field of a path, without places in lists.
func lastName(path string) string {
	path = anyElement(path)
	return strings.TrimSuffix(path[strings.LastIndexByte(path, '.')+1:], "[]")
}

// indexOf is the place at the end of a path such as "body.records[2]", -1 where there is none.
func indexOf(path string) int {
	at := strings.LastIndexByte(path, '[')
	if at < 0 {
		return -1
	}
	n, err := strconv.Atoi(strings.TrimSuffix(path[at+1:], "]"))
	if err != nil {
		return -1
	}
	return n
}
