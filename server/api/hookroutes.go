package api

import "bedwalk/schema"

const exampleHook = "9a00000000000001"

var (
	exampleHookAsk = schema.HookAsk{Name: "Order system", URL: "https://office.example/bedwalk", Events: []string{"walk.ended", "lot.ship_week_changed"}}

	hookRoutes = []route{
		{method: "GET", path: "/api/hooks", open: owners, handle: (*server).listHooks, out: gives(schema.Hooks{}), does: "The webhooks, with the last tries of each."},
		{
			method: "POST", path: "/api/hooks", open: owners, handle: (*server).makeHook, in: takes(exampleHookAsk), out: gives(schema.HookSecret{}),
			does: "Add a webhook. This answer is the only one that has its secret.",
		},
		{
			method: "POST", path: "/api/hooks/:id/switch", open: owners, handle: (*server).switchHook, id: exampleHook, in: takes(schema.HookSwitch{On: true}), out: done,
			does: "Switch a webhook on or off. What happens while it is off is not sent later.",
		},
		{
			method: "POST", path: "/api/hooks/:id/secret", open: owners, handle: (*server).rotateHook, id: exampleHook, out: gives(schema.HookSecret{}),
			does: "Give a webhook a new secret. The one before it signs too for 24 hours.",
		},
		{
			method: "POST", path: "/api/hooks/:id/test", open: owners, handle: (*server).testHook, id: exampleHook, out: gives(schema.HookTry{}),
			does: "Send a message of the type test.ping now, and say how it went. It is not tried again.",
		},
		{
			method: "POST", path: "/api/hooks/:id/remove", open: owners, handle: (*server).removeHook, id: exampleHook, out: done,
			does: "Forget a webhook, what waits for it, and its log.",
		},
	}

	// events are what webhooks send, for the document: the type, when it is sent, and an example of its data.
	events = []struct {
		kind, does string
		data       any
	}{
		{"walk.ended", "A note that ends a walk was merged. Why is enough, planned or stopped.",
			object{"walk": exampleWalk, "bed": exampleBed, "bed_name": "E1", "why": "enough"}},
		{"finding.appeared", "A bed has a finding that needs a step, which it did not have before. The codes are those of Finding; walk is the bed's last.",
			object{"bed": exampleBed, "bed_name": "E1", "code": "rot", "walk": exampleWalk}},
		{"finding.left", "A bed no longer has a finding that needed a step: a later walk did not find it, its lots have left, or the crop is judged otherwise now.",
			object{"bed": exampleBed, "bed_name": "E1", "code": "rot", "walk": exampleWalk}},
		{"lot.ship_week_changed", "A lot has another ship week than before. Empty where it had or has none.",
			object{"lot": exampleLot, "tag": "T-1", "was": "2001-W50", "now": "2001-W51"}},
		{"incident.appeared", "Something is wrong with a phone, the server or its backups that was not before. The codes are those of Incident, and backup (none of the last day, " +
			"while notes came), quarantined (notes wait for a decision) and silent (a phone has not been in range for days). The device is left out where it is the server's own.",
			object{"code": "fewer_than_counted", "device": "a000000000000001", "device_name": "Phone 1"}},
		{"incident.left", "What was wrong is over, or somebody put it away.",
			object{"code": "fewer_than_counted", "device": "a000000000000001", "device_name": "Phone 1"}},
		{"test.ping", "An owner asked for a test.", object{}},
	}
)

// webhooks describes them as OpenAPI 3.1 does requests that the server sends.
func webhooks() object {
	all := object{}
	header := func(name, does string) object {
		return object{"name": name, "in": "header", "required": true, "description": does, "schema": object{"type": "string"}}
	}
	for _, e := range events {
		all[e.kind] = object{"post": object{
			"summary": e.does,
			"parameters": []object{
				header("webhook-id", "Names the message, the same at each try."),
				header("webhook-timestamp", "When this try was made, in seconds since 1970."),
				header("webhook-signature", "v1, and HMAC-SHA256 in base64; several with spaces between them."),
			},
			"requestBody": object{"required": true, "content": object{"application/json": object{
				"schema": object{"type": "object", "required": []string{"type", "timestamp", "data"}, "properties": object{
					"type": object{"const": e.kind}, "timestamp": object{"type": "string", "format": "date-time"}, "data": object{"type": "object"},
				}},
				"example": object{"type": e.kind, "timestamp": "2001-09-09T01:46:41Z", "data": e.data},
			}}},
			"responses": object{"2XX": object{"description": "Taken."}, "410": object{"description": "The webhook is switched off."}},
		}}
	}
	return all
}
