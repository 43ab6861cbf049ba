package api

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"bedwalk/schema"
)

// route is one way into the server. The router mounts it and the OpenAPI document describes it, both from the one table
// below, so that neither can say what the other does not do.
type route struct {
	method, path string
	open         audience
	handle       func(*server, echo.Context) error
	does         string
	// id is an example of the last part of the path, where that is a parameter.
	id      string
	query   []parameter
	headers []parameter
	in      body
	// out are the answers when all went well, the usual one first; whatever else comes is a schema.Problem.
	out []outcome
}

// audience says who may come in.
type audience string

const (
	anyone audience = "For anyone."
	// visitors are paired phones, and browsers that were never paired, which get an answer without content.
	visitors audience = "For paired phones; a browser that was never paired is answered 204."
	// everPaired are revoked phones too: what they still have goes to review, and what became of it they may know.
	everPaired audience = "For paired phones, and for those whose access was revoked."
	phones     audience = "For paired phones."
	// supervisors are owners too.
	supervisors audience = "For supervisors and owners."
	owners      audience = "For owners."
	// readers are programs with a reading key too, readersOfPeople those whose key reads about people.
	readers         audience = "For supervisors and owners, and for programs with a reading key."
	readersOfPeople audience = "For supervisors and owners, and for programs with a reading key that reads about people."
	// linked are browsers, paired or not, with the secret of a link in a header.
	linked audience = "For whoever has a link of several nurseries."
)

// parameter stands in the address or in a header of the request.
type parameter struct{ name, does, example string }

// body is what a request carries: a value of package schema as its example, or bytes of another media type.
type body struct {
	of    any
	media string
}

// outcome is an answer: a value of a type of package schema, bytes of a media type, or {} (done) or nothing (204).
type outcome struct {
	status  int
	does    string
	of      any
	media   string
	headers []string
}

func takes(of any) body { return body{of, echo.MIMEApplicationJSON} }

func gives(of any) []outcome {
	return []outcome{{status: http.StatusOK, does: "Done.", of: of, media: echo.MIMEApplicationJSON}}
}

// done is an answer that says nothing but that it was done.
var done = gives(struct{}{})

// unchanged is the answer to whoever has the table already.
var unchanged = outcome{status: http.StatusNotModified, does: "The table is as it was when the server gave the ETag that stands in If-None-Match."}

// tusHeaders are sent with every request of an upload.
var tusHeaders = []parameter{{"Tus-Resumable", "The version of tus.", tusVersion}}

// reach says how much of the journal is asked for.
var reach = []parameter{
	{"epoch", "The epoch of the cursor.", exampleEpoch}, {"upto", "The position of the cursor.", "3"},
	{"after", "The position of the last entry of the page before.", "0"}, {"limit", "The most entries on the page.", "100"},
}

// houses says what is left out of a first pull besides closed lots.
var houses = parameter{"houses", "With alive=1: leave out lots that never stood in these houses. Ids with commas between them, or own: those of the asker's person.", ""}

var routes = []route{
	{
		method: "POST", path: "/api/pair", open: anyone, handle: (*server).pair, in: takes(examplePairAsk), out: gives(schema.Me{}),
		does: "Redeem a one-time pairing code. The answer sets the device's cookie.",
	},
	{method: "GET", path: "/healthz", open: anyone, handle: (*server).healthz, out: gives(schema.Health{}), does: "That the program runs."},
	{method: "GET", path: "/readyz", open: anyone, handle: (*server).readyz, out: gives(schema.Health{}), does: "That the server takes notes; 503 with the reason where it does not."},
	{
		method: "GET", path: "/api/group", open: linked, handle: (*server).group, out: gives(schema.GroupView{}),
		headers: []parameter{{echo.HeaderAuthorization, "\"Bearer\" and what stands after # in a link of bedwalk group.", "Bearer " + exampleLink}},
		does:    "Several nurseries of this server side by side.",
	},
	{method: "GET", path: "/api/openapi.json", open: anyone, handle: (*server).openAPI, out: gives(nil), does: "This document."},
	{
		method: "GET", path: "/api/reference", open: anyone, handle: (*server).reference, does: "This document as a page to read.",
		out: []outcome{{status: http.StatusOK, does: "The page.", media: "text/html"}},
	},
	{
		method: "GET", path: "/api/reference.css", open: anyone, handle: (*server).referenceStyle, does: "How that page looks.",
		out: []outcome{{status: http.StatusOK, does: "The style.", media: "text/css"}},
	},
	{
		method: "GET", path: "/api/me", open: visitors, handle: (*server).me, does: "What this device is.",
		out: append(gives(schema.Me{}), outcome{status: http.StatusNoContent, does: "This browser was never paired, or has forgotten it."}),
	},
	{
		method: "POST", path: "/api/push", open: everPaired, handle: (*server).push, in: takes(examplePush), out: gives(schema.PushAnswer{}),
		does: "Hand over a batch of entries (the body may be gzipped). Answered after they are committed.",
	},
	{
		method: "GET", path: "/api/pull", open: phones, handle: (*server).pull, out: gives(schema.Pull{}),
		does: "One page of the journal after a cursor.",
		query: []parameter{
			{"epoch", "The epoch of the cursor; empty before the first page.", exampleEpoch},
			{"after", "The position after which the page begins.", "3"},
			{"limit", "The most entries on the page.", "100"},
			{"proof", "The hash (32 hexadecimal digits) and the receipt of the entry at the cursor.", ""},
			{"alive", "For a first pull that leaves out the notes of closed lots: 1 to begin, then \"resume\" of the page before.", ""},
			houses,
			{"tables", "The newest form of TablePage that the asker can read: the page then comes as tables. Without it, as Pull.", ""},
		},
	},
	{
		method: "GET", path: "/api/gone", open: phones, handle: (*server).gone, out: gives(schema.Gone{}),
		does: "What a first pull left out, lot by lot, with a summary of each lot.",
		query: []parameter{
			{"alive", "\"resume\" of that pull, or 1: of one that would begin now.", "1"},
			houses,
			{"after", "The last lot of the page before.", ""},
		},
	},
	{
		method: "GET", path: "/api/lots/:id/entries", open: phones, handle: (*server).lotEntries, id: exampleLot, out: gives(schema.Page{}),
		does: "All entries of a lot up to a position, in pages.", query: reach,
	},
	{
		method: "GET", path: "/api/entries", open: phones, handle: (*server).entries, out: gives(schema.Page{}),
		does:  "All entries up to a position that make some records, in pages.",
		query: append(reach[:len(reach):len(reach)], parameter{"key", "The key of a record; up to 50 may be given.", "lot:" + exampleLot}),
	},
	{
		method: "POST", path: "/api/digest", open: phones, handle: (*server).digest, in: takes(exampleDigest), out: gives(schema.DigestAnswer{}),
		does: "Compare what this device holds with the server.",
	},
	{
		method: "POST", path: "/api/in/lost", open: phones, handle: (*server).handBack, in: takes(exampleHandBack), out: gives(schema.HandedBack{}),
		does: "Hand back notes of other devices that the server lost when it was set back. They stay their writers'; those without a valid receipt go into quarantine.",
	},
	{
		method: "POST", path: "/api/incarnation", open: phones, handle: (*server).incarnation, out: gives(schema.Incarnation{}),
		does: "Take a new incarnation after a fork.",
	},
	{
		method: "GET", path: "/api/live", open: phones, handle: (*server).live, headers: exampleHandshake,
		does: "A WebSocket (RFC 6455) on which the server says how far it is.",
		out:  []outcome{{status: http.StatusSwitchingProtocols, does: "Each message is a Nudge.", of: schema.Nudge{}, media: echo.MIMEApplicationJSON}},
	},
	{
		method: "GET", path: "/api/views/field-briefing", open: phones, handle: (*server).viewFieldBriefing, out: gives(schema.FieldBriefing{}),
		does: "What the last walk of each bed says, and how the asking person reads.",
	},
	{
		method: "POST", path: "/api/quarantine", open: everPaired, handle: (*server).quarantineStates, in: takes(exampleQuarantineAsk), out: gives(schema.QuarantineAnswer{}),
		does: "What became of notes in quarantine.",
	},

	{
		method: "POST", path: "/api/photos", open: phones, handle: (*server).photoBegin, does: "Begin the upload of a photo (tus 1.0: core and creation).",
		headers: append(tusHeaders[:1:1],
			parameter{headerLength, "The picture's size in bytes.", "16"},
			parameter{"Upload-Metadata", "\"hash\", and the SHA-256 of the picture's bytes (64 hexadecimal digits) in base64.", exampleMetadata}),
		out: []outcome{{status: http.StatusCreated, does: "Send the bytes to the address in Location, from Upload-Offset on.", headers: []string{echo.HeaderLocation, headerOffset}}},
	},
	{
		method: "HEAD", path: "/api/photos/:hash", open: phones, handle: (*server).photoState, id: exampleHash, headers: tusHeaders,
		does: "How much of an upload has come.",
		out:  []outcome{{status: http.StatusOK, does: "In the headers.", headers: []string{headerOffset, headerLength}}},
	},
	{
		method: "PATCH", path: "/api/photos/:hash", open: phones, handle: (*server).photoPart, id: exampleHash,
		headers: append(tusHeaders[:1:1], parameter{headerOffset, "Where in the picture these bytes begin.", "0"}),
		in:      body{examplePicture, offsetStream}, does: "Send the bytes of an upload from an offset on.",
		out: []outcome{{status: http.StatusNoContent, does: "Upload-Offset says how much has come.", headers: []string{headerOffset}}},
	},
	{
		method: "GET", path: "/api/photos/:hash", open: phones, handle: (*server).photo, id: exampleHash, does: "A photo by the SHA-256 of its bytes.",
		out: []outcome{{status: http.StatusOK, does: "The picture.", media: "image/*"}},
	},

	{
		method: "GET", path: "/api/views/beds", open: readers, handle: (*server).viewBeds, out: gives(schema.BedsView{}),
		query: []parameter{{"since", "The version of an earlier answer: only what changed since then is sent. Without it, or of a version that the server no longer knows, everything.", ""}},
		does:  "The whole nursery from above.",
	},
	{
		method: "GET", path: "/api/views/beds/:id", open: readers, handle: (*server).viewBed, id: exampleBed, out: gives(schema.BedView{}),
		query: []parameter{{"walk", "The walk to show; the last one without it.", exampleWalk}},
		does:  "One bed, from its last walk or the one asked for.",
	},
	{
		method: "GET", path: "/api/views/names", open: readers, handle: shows(Views.Names), out: gives(schema.NamesView{}),
		does: "What the beds are called, and nothing else of them.",
	},
	{
		method: "GET", path: "/api/views/lots", open: readers, handle: (*server).viewLots, out: gives(schema.LotsPage{}),
		query: []parameter{
			{"search", "Only lots with this in their tag or cultivar, in capitals or not.", ""},
			{"crop", "Only lots of this crop, in any spelling.", ""},
			{"disagree", "1 for lots with disagreements only.", ""},
			{"here", "1 to leave out lots that are gone: counted, without a pot left and on no bed.", ""},
			{"sort", "The column to sort by: tag (as without it), cultivar, crop, pot, pots, struck, uniformity, ship or open.", ""},
			{"down", "1 for the largest first.", ""},
			{"after", "The \"next\" of the page before, with the same search, filter and order; the first page without it.", ""},
		},
		does: "Lots in short, 100 a page. Search, filter and order are of all lots.",
	},
	{
		method: "GET", path: "/api/views/lots/:id/history", open: readers, handle: (*server).viewHistory, id: exampleLot, out: gives(schema.HistoryPage{}),
		query: []parameter{
			{"before", "The \"older\" of the page before; the newest notes without it.", ""},
			{"walk", "A walk of which the pots are asked for, each in a line.", ""},
		},
		does: "What was noted about a lot, the newest first, 100 lines a page. The pots of a walk are one line.",
	},
	{
		method: "GET", path: "/api/views/lots/:id", open: readers, handle: (*server).viewLot, id: exampleLot, out: gives(schema.LotView{}),
		does: "One lot's merged record.",
	},
	{
		method: "GET", path: "/api/views/day", open: readersOfPeople, handle: (*server).viewDay, out: gives(schema.DayView{}),
		query: []parameter{
			{"day", "The day, as 2026-11-29, by the nursery's own calendar; yesterday without it.", ""},
			{"by", "How it is put together: person (as without it) or bed.", ""},
			{"person", "Only what this person noted.", ""},
			{"after", "The \"after\" of the page before, with the same day, order and person; the first page without it.", ""},
		},
		does: "What people noted on one day, 150 lines a page. A walk is one line for each who noted something of it.",
	},
	{
		method: "GET", path: "/api/views/plan", open: readers, handle: shows(Views.Plan), out: gives(schema.PlanView{}),
		does: "The way ahead of every lot that has not shipped.",
	},
	{
		method: "GET", path: "/api/views/supply", open: readers, handle: shows(Views.Supply), out: gives(schema.SupplyView{}),
		does: "What each ship week will have against what is booked of it.",
	},
	{
		method: "GET", path: "/api/views/right", open: readers, handle: shows(Views.Right), out: gives(schema.RightView{}),
		does: "What the plan said 4, 8 and 12 weeks before of the lots that have left, and what happened.",
	},
	{
		method: "GET", path: "/api/views/tomorrow", open: readers, handle: shows(Views.Tomorrow), out: gives(schema.TomorrowView{}),
		does: "Which beds to walk on the next working day, in the order of what their walks would settle.",
	},
	{
		method: "GET", path: "/api/views/cooler", open: readers, handle: shows(Views.Cooler), out: gives(schema.CoolerView{}),
		does: "What is in the coolers, for how long, and how cold it was.",
	},
	{
		method: "GET", path: "/api/views/applications", open: readers, handle: shows(Views.Applications), out: gives(schema.ApplicationLog{}),
		does: "The log of what was put on.",
	},
	{
		method: "GET", path: "/api/views/routes", open: readers, handle: shows(Views.Routes), out: gives(schema.RoutesView{}),
		does: "What every lot would bring on the florist's route and on the nursery's.",
	},
	{
		method: "GET", path: "/api/views/attention", open: readers, handle: (*server).viewAttention, out: gives(schema.AttentionView{}),
		does: "What needs a supervisor, the most urgent first, and what somebody settled or put off.",
	},
	{
		method: "GET", path: "/api/views/cultivars", open: readers, handle: shows(Views.Cultivars), out: gives(schema.CultivarsView{}),
		does: "What the lots of each cultivar took for the stages that are over.",
	},
	{
		method: "GET", path: "/api/views/work", open: phones, handle: shows(Views.Work), out: gives(schema.WorkView{}),
		does: "What there is to do: the next step of every lot, and what else was handed out.",
	},
	{
		method: "GET", path: "/api/views/scouts", open: readersOfPeople, handle: shows(Views.Scouts), out: gives(schema.ScoutsView{}),
		does: "Whether scouts agree.",
	},
	{
		method: "GET", path: "/api/views/phones", open: supervisors, handle: shows(Views.Phones), out: gives(schema.PhonesView{}),
		does: "The paired phones, and notes in quarantine.",
	},
	{
		method: "GET", path: "/api/views/quarantine/:id", open: supervisors, handle: (*server).viewQuarantine, id: exampleDevice, out: gives(schema.QuarantinePage{}),
		query: []parameter{{"before", "The \"older\" of the page above.", "9"}},
		does:  "A page of the quarantine of one phone, the newest notes first.",
	},
	{
		method: "POST", path: "/api/pairings", open: supervisors, handle: (*server).invite, in: takes(examplePairingAsk), out: gives(schema.Pairing{}),
		does: "Make a pairing code.",
	},
	{
		method: "GET", path: "/api/keys", open: supervisors, handle: (*server).keys, out: gives(schema.ReadingKeys{}),
		does: "The reading keys of other programs, the newest first, without the keys themselves.",
	},
	{
		method: "POST", path: "/api/keys", open: supervisors, handle: (*server).makeKey, in: takes(exampleKeyAsk), out: gives(schema.ReadingKeyMade{}),
		does: "Make a reading key. This answer is the only one that has it.",
	},
	{
		method: "POST", path: "/api/keys/:id/revoke", open: supervisors, handle: (*server).revokeKey, id: exampleKey, out: done,
		does: "Revoke a reading key.",
	},
	{
		method: "POST", path: "/api/try", open: supervisors, handle: (*server).try, in: takes(exampleTry), out: gives(schema.TryView{}),
		does: "The plan of some lots and their ship weeks as it would be, beside the plan as it stands. Nothing is written.",
	},
	{
		method: "POST", path: "/api/backup", open: supervisors, handle: (*server).backUp, out: gives(schema.BackupMade{}),
		does: "Make a backup now, where the server keeps them; 409 where it has no place for them.",
	},
	{
		method: "POST", path: "/api/clock", open: supervisors, handle: (*server).confirmClock, in: takes(exampleClock), out: done,
		does: "An owner's word that the server's clock is right.",
	},
	{
		method: "POST", path: "/api/quarantine/:id", open: supervisors, handle: (*server).decide, id: exampleShown, in: takes(exampleDecision), out: done,
		does: "Decide on a note in quarantine: merge it or leave it out.",
	},
	{
		method: "POST", path: "/api/quarantine/all", open: supervisors, handle: (*server).decideAll, in: takes(exampleDecideAll), out: gives(schema.DecidedAll{}),
		does: "Decide on all notes of one phone in quarantine.",
	},
	{
		method: "POST", path: "/api/incidents/seen", open: supervisors, handle: (*server).incidentSeen, in: takes(exampleIncident), out: done,
		does: "Put away an incident that was noticed.",
	},
	{
		method: "GET", path: "/api/out/observations.csv", open: readers, handle: (*server).observations,
		query: []parameter{
			{"bed", "Only of this bed.", exampleBed}, {"lot", "Only of this lot.", exampleLot},
			{"from", "Only of this day and later.", "2001-09-01"}, {"to", "Only of this day and before.", "2001-09-30"},
		},
		does: "Observations as CSV (RFC 4180).",
		out:  []outcome{{status: http.StatusOK, does: "The table.", media: "text/csv"}},
	},
	{
		method: "GET", path: "/api/out/csv/:id", open: readers, handle: (*server).tableCSV, id: "lot",
		query: []parameter{{"key", "A reading key that was made for this table, for programs that send no headers. Others are refused in an address.", ""}},
		does:  "A table as it stands now, as CSV (RFC 4180): pots, or a kind of thing that people describe.",
		out:   []outcome{{status: http.StatusOK, does: "The table.", media: "text/csv", headers: []string{headerETag}}, unchanged},
	},
	{
		method: "GET", path: "/api/out/json/:id", open: readers, handle: (*server).tableJSON, id: "lot",
		out:  []outcome{{status: http.StatusOK, does: "The table.", media: echo.MIMEApplicationJSON, headers: []string{headerETag}}, unchanged},
		does: "The same table with its values as they were written: an array of objects.",
	},
	{
		method: "GET", path: "/api/out/notes.jsonl", open: supervisors, handle: (*server).notes,
		does: "Every note exactly as it was written, an object a line (jsonlines.org).",
		out:  []outcome{{status: http.StatusOK, does: "The notes.", media: "application/jsonl"}},
	},
	{
		method: "POST", path: "/api/in/unsent", open: supervisors, handle: (*server).unsent, in: takes(exampleUnsent), out: gives(schema.UnsentAnswer{}),
		does: "Hand in a file of unsent notes that a phone exported.",
	},
	{
		method: "POST", path: "/api/devices/:id/revoke", open: supervisors, handle: (*server).revoke, id: exampleOther, out: done,
		does: "Shut out a lost phone. What it sends later goes into quarantine.",
	},
}

// guards are what stands before the routes of an audience, the outermost first.
func (s *server) guards(open audience) []echo.MiddlewareFunc {
	switch open {
	case anyone, linked:
		return []echo.MiddlewareFunc{s.paced}
	case visitors:
		return []echo.MiddlewareFunc{s.strangers, s.paired, s.paced}
	case everPaired:
		return []echo.MiddlewareFunc{s.identified, s.paced}
	case phones:
		return []echo.MiddlewareFunc{s.paired, s.paced}
	case owners:
		return []echo.MiddlewareFunc{s.paired, s.paced, s.ownerOnly}
	case readers:
		return []echo.MiddlewareFunc{s.readable(false), s.paced, s.supervisorOnly}
	case readersOfPeople:
		return []echo.MiddlewareFunc{s.readable(true), s.paced, s.supervisorOnly}
	default:
		// An audience that nobody thought of is the smallest.
		return []echo.MiddlewareFunc{s.paired, s.paced, s.supervisorOnly}
	}
}
