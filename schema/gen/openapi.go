package main

import (
	"encoding/json"
	"fmt"
	"strings"

	"bedwalk/schema"
)

// route is one way into the server. In and Out name types of package schema ("[]LotBrief" for a list), or a media
// type where the body is not JSON; "" for none.
type route struct {
	method, path, does string
	in, out            string
	query              []string
	// open routes need no paired device.
	open bool
	// none is what an answer without content (204) means, "" where there is no such answer.
	none string
}

var routes = []route{
	{method: "post", path: "/api/pair", does: "Redeem a one-time pairing code. The answer sets the device's cookie.", in: "PairAsk", out: "Me", open: true},
	{method: "get", path: "/api/me", does: "What this device is.", out: "Me", open: true, none: "This browser was never paired, or has forgotten it."},
	{method: "post", path: "/api/push", does: "Hand over a batch of entries (the body may be gzipped). Answered after they are committed.", in: "Push", out: "PushAnswer"},
	{method: "get", path: "/api/pull", does: "One page of the journal after a cursor. The proof of a cursor is the hash (32 hexadecimal digits) and the receipt of the entry at it.", query: []string{"epoch", "after", "limit", "proof"}, out: "Pull"},
	{method: "post", path: "/api/digest", does: "Compare what this device holds with the server.", in: "Digest", out: "DigestAnswer"},
	{method: "post", path: "/api/in/lost", does: "Hand back notes of other devices that the server lost when it was set back. They stay their writers'; those without a valid receipt wait for a supervisor.", in: "HandBack", out: "HandedBack"},
	{method: "post", path: "/api/quarantine", does: "What became of notes that the server put in quarantine.", in: "QuarantineAsk", out: "QuarantineAnswer"},
	{method: "get", path: "/api/live", does: "A WebSocket on which the server says how far it is, in Nudge messages.", out: "Nudge"},
	{method: "get", path: "/api/views/beds", does: "The whole nursery from above. For supervisors and owners.", out: "BedsView"},
	{method: "get", path: "/api/views/beds/{id}", does: "One bed, from its last walk or the one asked for.", query: []string{"walk"}, out: "BedView"},
	{method: "get", path: "/api/views/lots", does: "All lots in short.", out: "[]LotBrief"},
	{method: "get", path: "/api/views/lots/{id}", does: "One lot's merged record.", out: "LotView"},
	{method: "get", path: "/api/views/told", does: "What the last walk of each bed says, and how the asking person reads; for any paired phone.", out: "ToldView"},
	{method: "get", path: "/api/views/scouts", does: "Whether scouts agree.", out: "ScoutsView"},
	{method: "get", path: "/api/views/phones", does: "The paired phones, and notes that wait for a decision.", out: "PhonesView"},
	{method: "get", path: "/api/views/quarantine/{id}", does: "A page of what waits for a decision of one phone, the newest first; before is the \"older\" of the page above.", query: []string{"before"}, out: "QuarantinePage"},
	{method: "post", path: "/api/pairings", does: "Make a pairing code.", in: "PairingAsk", out: "Pairing"},
	{method: "post", path: "/api/devices/{id}/revoke", does: "Shut out a lost phone. What it sends later goes to review."},
	{method: "post", path: "/api/clock", does: "An owner's word that the server's clock is right.", in: "ClockConfirm"},
	{method: "post", path: "/api/quarantine/all", does: "Decide on all that waits of one phone.", in: "DecideAll", out: "DecidedAll"},
	{method: "post", path: "/api/incidents/seen", does: "Put away a trouble that was noticed.", in: "IncidentSeen"},
	{method: "post", path: "/api/quarantine/{id}", does: "Decide on a quarantined entry: merge or leave.", in: "Decision"},
	{method: "post", path: "/api/incarnation", does: "Take a new incarnation after a fork.", out: "Incarnation"},
	{method: "get", path: "/api/out/observations.csv", does: "Observations as CSV.", query: []string{"bed", "lot", "from", "to"}, out: "text/csv"},
	{method: "post", path: "/api/in/unsent", does: "Hand in a file of unsent notes that a phone exported.", in: "Push", out: "PushAnswer"},
	{method: "post", path: "/api/photos", does: "Begin the upload of a photo (tus 1.0; the upload's own address answers PATCH and HEAD)."},
	{method: "get", path: "/api/photos/{hash}", does: "A photo by the SHA-256 of its bytes.", out: "image/*"},
}

type object = map[string]any

// openAPI describes the routes over the same definitions as the JSON Schema (OpenAPI 3.1 takes them as they are).
func openAPI(src *source) (string, error) {
	defs, err := definitions(src)
	if err != nil {
		return "", err
	}
	raw, err := json.Marshal(defs)
	if err != nil {
		return "", fmt.Errorf("write the definitions: %w", err)
	}
	schemas := object{}
	inComponents := strings.ReplaceAll(string(raw), `"#/$defs/`, `"#/components/schemas/`)
	if err := json.Unmarshal([]byte(inComponents), &schemas); err != nil {
		return "", fmt.Errorf("read the definitions back: %w", err)
	}
	// Two bodies too small for a struct of their own.
	schemas["Decision"] = object{"type": "object", "required": []string{"decision"},
		"properties": object{"decision": object{"enum": []string{"merge", "leave"}}}}
	schemas["Incarnation"] = object{"type": "object", "required": []string{"inc"},
		"properties": object{"inc": object{"type": "integer", "minimum": 1}}}

	paths := map[string]object{}
	for _, r := range routes {
		if paths[r.path] == nil {
			paths[r.path] = object{}
		}
		paths[r.path][r.method] = operation(r)
	}
	return indented(object{
		"openapi": "3.1.0",
		"info": object{
			"title": "Bedwalk", "version": fmt.Sprintf("schema %d", schema.Version),
			"description": "Generated by schema/gen from schema/*.go: run npm run generate.",
		},
		"paths": paths,
		"components": object{
			"schemas": schemas,
			"securitySchemes": object{
				"device": object{"type": "apiKey", "in": "cookie", "name": "bedwalk"},
			},
		},
		"security": []object{{"device": []string{}}},
	})
}

func operation(r route) object {
	op := object{"summary": r.does, "responses": object{
		"200":     answer(r.out),
		"default": object{"description": "What went wrong, and what to do.", "content": content("Problem", schema.ContentProblem)},
	}}
	if r.none != "" {
		op["responses"].(object)["204"] = object{"description": r.none}
	}
	if r.open {
		op["security"] = []object{}
	}
	if r.in != "" {
		op["requestBody"] = object{"required": true, "content": content(r.in, "application/json")}
	}
	var parameters []object
	for part := range strings.SplitSeq(r.path, "/") {
		if name, ok := strings.CutPrefix(part, "{"); ok {
			parameters = append(parameters, parameter(strings.TrimSuffix(name, "}"), "path"))
		}
	}
	for _, name := range r.query {
		parameters = append(parameters, parameter(name, "query"))
	}
	if parameters != nil {
		op["parameters"] = parameters
	}
	return op
}

func parameter(name, in string) object {
	return object{"name": name, "in": in, "required": in == "path", "schema": object{"type": "string"}}
}

func answer(out string) object {
	if out == "" {
		return object{"description": "Done."}
	}
	return object{"description": "Done.", "content": content(out, "application/json")}
}

func content(what, media string) object {
	if strings.Contains(what, "/") {
		return object{what: object{}}
	}
	if name, list := strings.CutPrefix(what, "[]"); list {
		return object{media: object{"schema": object{"type": "array", "items": reference(name)}}}
	}
	return object{media: object{"schema": reference(what)}}
}

func reference(name string) object { return object{"$ref": "#/components/schemas/" + name} }
