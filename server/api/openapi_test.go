package api_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"mime"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"bedwalk/schema"
	"bedwalk/server/access"
	"bedwalk/server/api"
	"bedwalk/server/testphone"
)

// openAPI is as much of an OpenAPI document (3.1.0, https://spec.openapis.org/oas/v3.1.0) as the examples are sent by.
type openAPI struct {
	Paths      map[string]map[string]operation
	Components struct{ Schemas map[string]any }
}

type operation struct {
	Summary, Description string
	Security             []any
	Parameters           []struct {
		Name, In string
		Required bool
		Example  string
	}
	RequestBody *struct{ Content map[string]media }
	Responses   map[string]struct {
		Headers map[string]any
		Content map[string]media
	}
}

type media struct {
	Schema  any
	Example json.RawMessage
}

// description reads the document as the server gives it to a program.
func (s *site) description() (doc openAPI, text string) {
	s.Helper()
	r := s.do("", "GET", "/api/openapi.json", "")
	r.read(s.T, &doc)
	return doc, string(r.body)
}

func TestTheOpenAPIDocumentHasTheRoutesThatAreMountedAndNoOthers(t *testing.T) {
	s := newSite(t)
	doc, text := s.description()
	var documented, mounted []string
	for path, operations := range doc.Paths {
		for method := range operations {
			documented = append(documented, strings.ToUpper(method)+" "+path)
		}
	}
	for _, route := range routesOf(t, s.handler) {
		if route.Path != "/*" && route.Method != "ANY" {
			mounted = append(mounted, route.Method+" "+strings.NewReplacer(":id", "{id}", ":hash", "{hash}").Replace(route.Path))
		}
	}
	slices.Sort(documented)
	slices.Sort(mounted)
	if !slices.Equal(documented, mounted) {
		t.Errorf("documented %q\nmounted %q", documented, mounted)
	}
	references := 0
	for piece := range strings.SplitSeq(text, `"$ref":"#/components/schemas/`) {
		if name, _, ok := strings.Cut(piece, `"`); ok && references > 0 && doc.Components.Schemas[name] == nil {
			t.Errorf("the document points to %s, which it does not have: add it to travellers in schema/gen/jsonschema.go", name)
		}
		references++
	}
	if references < 100 {
		t.Errorf("only %d references found", references)
	}
}

// TestTheExamplesOfTheOpenAPIDocumentAreAnsweredAsItSays sends every documented example, with the ids, times and codes
// of a real nursery in the place of those that it speaks of, and holds the answer to the status, headers, media type and
// schema of the document. A field that the document does not name is a fault too.
func TestTheExamplesOfTheOpenAPIDocumentAreAnsweredAsItSays(t *testing.T) {
	s := newSite(t, func(o *api.Options) {
		o.Group = func(context.Context, string) (schema.GroupView, error) {
			brief := schema.NurseryBrief{Crops: []schema.CropBrief{{Crop: "azalea", Least: &schema.LeastEven{}}}, Weeks: []schema.WeekBrief{{Week: "2001-W37"}}}
			return schema.GroupView{Nurseries: []schema.GroupNursery{{Site: "north", Brief: &brief}, {Site: "south", Away: "slow"}}}, nil
		}
	})
	doc, text := s.description()
	real := s.asInTheExamples()
	check := newChecker(t, text)
	sent := map[string]bool{}
	for _, route := range s.documentedOrder() {
		t.Run(route[0]+" "+route[1], func(t *testing.T) {
			op, ok := doc.Paths[route[1]][strings.ToLower(route[0])]
			if !ok {
				t.Fatal("not in the document")
			}
			path, headers, body := op.request(t, check, route[1], real)
			cookie := real.cookies[op.Description]
			sent[route[0]+" "+route[1]] = true
			if op.Responses["101"].Content != nil {
				op.speaks(t, s, check, cookie)
				return
			}
			r := s.do(cookie, route[0], path, body, headers...)
			op.answered(t, check, r)
			if strings.Contains(op.Description, "programs with a reading key") {
				byKey := s.do("", route[0], path, body, append(headers, "Authorization: Bearer "+real.key)...)
				if op.answered(t, check, byKey); byKey.status != r.status {
					t.Errorf("by a reading key it is answered %d, by an owner %d", byKey.status, r.status)
				}
			}
			if len(op.Security) == 0 || cookie == "" {
				return
			}
			// Whoever has no cookie is answered otherwise, and as documented too.
			if r = s.do("", route[0], path, body, headers...); r.status < 400 && r.status != 204 {
				t.Errorf("without a cookie: %d", r.status)
			}
			if route[0] != "HEAD" {
				op.answered(t, check, r)
			}
		})
	}
	for path, operations := range doc.Paths {
		for method := range operations {
			if !sent[strings.ToUpper(method)+" "+path] {
				t.Errorf("the example of %s %s was not sent", method, path)
			}
		}
	}
}

// documentedOrder is the router's, but that pictures are sent before they are fetched, and one note of a phone is decided on
// before all of them are.
func (s *site) documentedOrder() (all [][2]string) {
	for _, path := range []string{
		"POST /api/pair", "POST /api/push", "POST /api/in/lost", "POST /api/photos", "HEAD /api/photos/{hash}", "PATCH /api/photos/{hash}",
		"POST /api/quarantine/{id}", "POST /api/hooks/{id}/secret", "POST /api/hooks/{id}/switch", "POST /api/hooks/{id}/test",
	} {
		method, path, _ := strings.Cut(path, " ")
		all = append(all, [2]string{method, path})
	}
	for _, route := range routesOf(s.T, s.handler) {
		one := [2]string{route.Method, strings.NewReplacer(":id", "{id}", ":hash", "{hash}").Replace(route.Path)}
		if route.Path != "/*" && route.Method != "ANY" && !slices.Contains(all, one) {
			all = append(all, one)
		}
	}
	return all
}

// nurseryOfExamples has a real nursery's word for each that the examples use, and the cookie by which an audience comes.
type nurseryOfExamples struct {
	words   *strings.Replacer
	cookies map[string]string
	// key is a reading key that reads about people too.
	key string
}

// asInTheExamples makes a nursery in which everything is there that the examples speak of.
func (s *site) asInTheExamples() nurseryOfExamples {
	s.Helper()
	owner, planter, scout, other := s.pair("owner"), s.pair("supervisor"), s.pair("scout"), s.pair("scout")
	n := s.plant(owner, planter)
	planter.See(n, 1, 1, 200, 40)
	bad := planter.See(n, 2, 1, 4000, 40)
	s.push(planter, planter.All(1))
	code, _, err := s.gate.Invite(s.Context(), access.Pairing{Person: testphone.ID("newcomer"), Name: "Orla Venn", Role: "scout"})
	if err != nil {
		s.Fatal(err)
	}
	return nurseryOfExamples{
		key: s.key(owner.cookie, schema.ReadingKeyAsk{Name: "of the examples", People: true}),
		words: strings.NewReplacer(
			"3f00000000000001", scout.Device, "3f00000000000002", other.Device, "e000000000000001", s.store.Epoch(), "AB2C-3D4E", code,
			"a0000000000000000000000000000001", scout.Person, "b0000000000000000000000000000001", n.Bed, "c0000000000000000000000000000001", n.Lot,
			"d0000000000000000000000000000001", n.Walk, "f0000000000000000000000000000001", bad, "7-96a928c223bd2d51", s.held(owner)[0].ID,
			"9a00000000000001", s.madeHook("http://127.0.0.1:9/"), "8e00000000000001", s.keyID(owner.cookie, schema.ReadingKeyAsk{Name: "to be revoked"}),
			"1790000000123", strconv.FormatInt(s.clock.UnixMilli(), 10),
		),
		cookies: map[string]string{
			"For anyone.": "", "For paired phones; a browser that was never paired is answered 204.": scout.cookie,
			"For paired phones, and for those whose access was revoked.": scout.cookie, "For paired phones.": scout.cookie,
			"For owners.": owner.cookie, "For supervisors and owners.": owner.cookie, "For supervisors and owners, and for programs with a reading key.": owner.cookie,
			"For supervisors and owners, and for programs with a reading key that reads about people.": owner.cookie,
		},
	}
}

// request is the example of an operation, which must be as its own schema says.
func (op operation) request(t *testing.T, check *checker, path string, real nurseryOfExamples) (address string, headers []string, body string) {
	t.Helper()
	query := "?"
	for _, p := range op.Parameters {
		value := real.words.Replace(p.Example)
		switch p.In {
		case "path":
			path = strings.ReplaceAll(path, "{"+p.Name+"}", value)
		case "query":
			query += p.Name + "=" + value + "&"
		case "header":
			headers = append(headers, p.Name+": "+value)
		}
		if p.Required && value == "" {
			t.Errorf("the parameter %s has no example", p.Name)
		}
	}
	if op.RequestBody != nil {
		for kind, content := range op.RequestBody.Content {
			headers = append(headers, "Content-Type: "+kind)
			body = real.words.Replace(string(content.Example))
			if content.Schema == nil {
				if err := json.Unmarshal(content.Example, &body); err != nil {
					t.Fatal(err)
				}
				continue
			}
			check.holds(t, "the example", content.Schema, []byte(body))
		}
	}
	return path + strings.TrimRight(query, "?&"), headers, body
}

// speaks opens a WebSocket and holds the first message on it to what is documented.
func (op operation) speaks(t *testing.T, s *site, check *checker, cookie string) {
	t.Helper()
	c, r, err := s.dial(cookie, "")
	if err != nil || r.StatusCode != 101 {
		t.Fatalf("the WebSocket was not opened: %v", err)
	}
	defer c.Close()
	_, message, err := c.ReadMessage()
	if err != nil {
		t.Fatal(err)
	}
	for _, content := range op.Responses["101"].Content {
		check.holds(t, "the message", content.Schema, message)
	}
}

// answered holds an answer to what is documented of its status, or of problems in general.
func (op operation) answered(t *testing.T, check *checker, r answer) {
	t.Helper()
	response, ok := op.Responses[strconv.Itoa(r.status)]
	if !ok {
		response = op.Responses["default"]
		if r.status < 400 {
			t.Fatalf("answered %d, which is not documented: %.300s", r.status, r.body)
		}
		if r.status != 401 {
			t.Errorf("answered %d: %.300s", r.status, r.body)
		}
	}
	for name := range response.Headers {
		if r.header.Get(name) == "" {
			t.Errorf("the header %s is missing", name)
		}
	}
	kind, _, _ := mime.ParseMediaType(r.header.Get("Content-Type"))
	for documented, content := range response.Content {
		switch {
		case kind != documented && !strings.HasPrefix(kind, strings.TrimSuffix(documented, "*")):
			t.Errorf("the answer is %q, documented as %q", kind, documented)
		case content.Schema != nil:
			check.holds(t, "the answer", content.Schema, r.body)
		}
	}
	if len(response.Content) == 0 && len(r.body) > 0 {
		t.Errorf("nothing is documented, and there came %.300s", r.body)
	}
}

// checker compiles schemas of the document, closed: an object has no other fields than those that are named.
type checker struct {
	compiler *jsonschema.Compiler
	count    int
}

const documentURL = "https://bedwalk.example/openapi.json"

func newChecker(t *testing.T, text string) *checker {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	schemas := doc.(map[string]any)["components"].(map[string]any)["schemas"].(map[string]any)
	for _, one := range schemas {
		if object, ok := one.(map[string]any); ok && object["properties"] != nil && object["additionalProperties"] == nil {
			object["additionalProperties"] = false
		}
	}
	compiler := jsonschema.NewCompiler()
	compiler.DefaultDraft(jsonschema.Draft2020)
	if err := compiler.AddResource(documentURL, doc); err != nil {
		t.Fatal(err)
	}
	return &checker{compiler: compiler}
}

func (c *checker) holds(t *testing.T, what string, of any, raw []byte) {
	t.Helper()
	c.count++
	text, err := json.Marshal(of)
	if err != nil {
		t.Fatal(err)
	}
	text = bytes.ReplaceAll(text, []byte(`"#/`), []byte(`"`+documentURL+`#/`))
	resource, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	name := fmt.Sprintf("https://bedwalk.example/%d.json", c.count)
	if err := c.compiler.AddResource(name, resource); err != nil {
		t.Fatal(err)
	}
	compiled, err := c.compiler.Compile(name)
	if err != nil {
		t.Fatal(err)
	}
	value, err := jsonschema.UnmarshalJSON(bytes.NewReader(raw))
	if err != nil {
		t.Errorf("%s is not JSON: %v: %.300s", what, err, raw)
		return
	}
	if err := compiled.Validate(value); err != nil {
		t.Errorf("%s is not as documented: %v\n%.1000s", what, err, raw)
	}
}
