package api

import (
	"encoding/json"

	"bedwalk/schema"
)

// What the examples of the OpenAPI document speak of. A test puts a real nursery's ids, times and codes in the place of
// these and sends every example to a server.
const (
	exampleDevice      = "3f00000000000001"
	exampleOther       = "3f00000000000002"
	exampleEpoch       = "e000000000000001"
	exampleCode        = "AB2C-3D4E"
	examplePerson      = "a0000000000000000000000000000001"
	exampleBed         = "b0000000000000000000000000000001"
	exampleLot         = "c0000000000000000000000000000001"
	exampleWalk        = "d0000000000000000000000000000001"
	exampleQuarantined = "f0000000000000000000000000000001"
	// exampleShown is the same note as the Phones page has it: with a sign of the bytes that were shown.
	exampleShown = "7-96a928c223bd2d51"
	exampleNow   = 1790000000123
	exampleKey   = "8e00000000000001"

	// examplePicture is how a WebP file begins, which is all that the server looks at; exampleHash the SHA-256 of it.
	examplePicture  = "RIFF    WEBPVP8 "
	exampleHash     = "990a322c8ed5aaef89dfbb4bca16d5ebc3669a10cf71dc5d34c786e7a351fc00"
	exampleMetadata = "hash OTkwYTMyMmM4ZWQ1YWFlZjg5ZGZiYjRiY2ExNmQ1ZWJjMzY2OWExMGNmNzFkYzVkMzRjNzg2ZTdhMzUxZmMwMA=="
)

// exampleLink is the secret part of a link that nobody has.
const exampleLink = "bedwalk_group_AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA"

var exampleHandshake = []parameter{
	{name: "Connection", example: "Upgrade"}, {name: "Upgrade", example: "websocket"}, {name: "Sec-WebSocket-Version", example: "13"},
	// The key of RFC 6455, section 1.3.
	{name: "Sec-WebSocket-Key", example: "dGhlIHNhbXBsZSBub25jZQ=="},
}

// exampleNote is the first entry of a device, in canonical form (RFC 8785), and exampleOthers one of another device.
const (
	exampleNote = `{"bed":"` + exampleBed + `","body":{"bed":"` + exampleBed + `","words":"The mist line drips."},"device":"` + exampleDevice +
		`","floor":0,"id":"10000000000000000000000000000001","inc":1,"kind":"note","mono":4000,"person":"` + examplePerson +
		`","seq":1,"session":"s1","v":1,"wall":1790000000123}`
	exampleOthers = `{"bed":"` + exampleBed + `","body":{"bed":"` + exampleBed + `","words":"Row 3 is dry."},"device":"` + exampleOther +
		`","floor":0,"id":"10000000000000000000000000000002","inc":1,"kind":"note","mono":4000,"person":"` + examplePerson +
		`","seq":1,"session":"s1","v":1,"wall":1790000000123}`
)

var (
	examplePairAsk = schema.PairAsk{Code: exampleCode, Name: "Orla's phone"}
	examplePush    = schema.Push{
		V: schema.Version, Device: exampleDevice, Incarnation: 1, Epoch: exampleEpoch, From: 1, Session: "s1", SentWall: exampleNow, SentMono: 5000,
		Entries: []json.RawMessage{json.RawMessage(exampleNote)},
	}
	exampleDigest = schema.Digest{
		Device: exampleDevice, Epoch: exampleEpoch, Position: 1, SentWall: exampleNow,
		Lots: []schema.LotDigest{{Lot: "", Count: 1, Sum: "00000000000000000000000000000000"}},
	}
	exampleHandBack      = schema.HandBack{Epoch: exampleEpoch, Entries: []json.RawMessage{json.RawMessage(exampleOthers)}}
	exampleQuarantineAsk = schema.QuarantineAsk{IDs: []string{exampleQuarantined}}
	examplePairingAsk    = schema.PairingAsk{Name: "Orla Venn", Role: "scout"}
	exampleKeyAsk        = schema.ReadingKeyAsk{Name: "Office spreadsheet", Table: "lot"}
	exampleClock         = schema.ClockConfirm{Now: exampleNow}
	exampleDecision      = schema.Decision{Decision: "leave"}
	exampleTry           = schema.TryAsk{Lots: []schema.TryLot{{Lot: exampleLot, ShipWeek: new("2001-W50")}}}
	exampleDecideAll     = schema.DecideAll{Device: exampleDevice, UpTo: 9, Decision: "leave"}
	exampleIncident      = schema.IncidentSeen{Device: exampleDevice, Code: "handed_back", At: exampleNow}
	exampleUnsent        = schema.UnsentFile{
		Bedwalk: "unsent notes", Device: exampleOther, Entries: []json.RawMessage{json.RawMessage(exampleOthers)},
	}
)
