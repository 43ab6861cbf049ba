package api

import (
	"bytes"
	"cmp"
	"compress/gzip"
	_ "embed"
	"encoding/json"
	"fmt"
	"html/template"
	"maps"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"
)

var (
	//go:embed reference.html
	referenceHTML string
	//go:embed reference.css
	referenceCSS []byte

	referencePage = template.Must(template.New("reference").Funcs(template.FuncMap{"type": typeInWords, "pretty": pretty}).Parse(referenceHTML))
)

// groups are the parts of the page, in their order, each with the beginnings of its paths. The first that fits counts.
var groups = []struct {
	title, about string
	paths        []string
}{
	{"Views", "What the supervisor's pages show, as JSON.", []string{"/api/views/"}},
	{"Tables and files", "Everything that was noted, for spreadsheets and programs.", []string{"/api/out/"}},
	{"Other programs", "Reading keys, and webhooks.", []string{"/api/keys", "/api/hooks"}},
	{"Pairing", "How phones and browsers come in, and are shut out.", []string{"/api/pair", "/api/me", "/api/devices"}},
	{"Photos", "Uploads by tus 1.0, in parts.", []string{"/api/photos"}},
	{"The server itself", "What it is, and whether it works.", []string{"/healthz", "/readyz", "/api/openapi.json", "/api/reference"}},
	{"A supervisor's decisions", "What is decided about notes and troubles.", []string{"/api/quarantine/", "/api/incidents", "/api/clock", "/api/try", "/api/in/unsent"}},
	{"Sync", "How phones send notes and receive those of others.", []string{"/api/"}},
}

// described is as much of the OpenAPI document as the page shows.
type described struct {
	Info  struct{ Title, Version, Description string }
	Paths map[string]map[string]struct {
		Summary, Description string
		Security             []map[string]any
		Parameters           []struct {
			Name, In, Description, Example string
			Required                       bool
		}
		RequestBody *struct{ Content map[string]describedMedia }
		Responses   map[string]struct {
			Description string
			Headers     map[string]any
			Content     map[string]describedMedia
		}
	}
	Webhooks map[string]map[string]struct {
		Summary, Description string
		RequestBody          struct{ Content map[string]describedMedia }
	}
	Components struct{ Schemas map[string]map[string]any }
}

type describedMedia struct {
	Schema  map[string]any
	Example json.RawMessage
}

// What the template draws.
type (
	referenceGroup struct {
		ID, Title, About string
		Operations       []referenceOperation
	}
	referenceOperation struct {
		ID, Method, Path, Does, Who string
		ByKey                       bool
		Parameters                  []referenceParameter
		Takes                       []referenceContent
		Answers                     []referenceAnswer
		// Asked is the path with its examples in it.
		Asked string
	}
	referenceParameter struct {
		Name, In, Does, Example string
		Required                bool
	}
	referenceContent struct {
		Media   string
		Schema  map[string]any
		Example json.RawMessage
	}
	referenceAnswer struct {
		Status, Does string
		Headers      []string
		Content      []referenceContent
	}
	referenceType struct {
		Name, About string
		Fields      []referenceField
	}
	referenceField struct {
		Name, About string
		Schema      map[string]any
		Required    bool
	}
	referenceEvent struct {
		ID, Type, Does string
		Example        json.RawMessage
	}
)

// reference is the page for people who write programs, made from the document that programs read.
func (s *server) reference(c echo.Context) error {
	raw, err := s.page()
	if err != nil {
		return err
	}
	return writeZipped(c, echo.MIMETextHTMLCharsetUTF8, raw, gzip.BestSpeed)
}

func (s *server) referenceStyle(c echo.Context) error {
	return writeZipped(c, "text/css; charset=utf-8", referenceCSS, gzip.BestSpeed)
}

// referenceOf draws the page of an OpenAPI document.
func referenceOf(document []byte) ([]byte, error) {
	var doc described
	if err := json.Unmarshal(document, &doc); err != nil {
		return nil, fmt.Errorf("read the document: %w", err)
	}
	page := struct {
		Version string
		Groups  []referenceGroup
		Events  []referenceEvent
		Types   []referenceType
	}{Version: doc.Info.Version, Events: doc.events(), Types: doc.types()}
	for _, g := range groups {
		page.Groups = append(page.Groups, referenceGroup{ID: idOf(g.title), Title: g.title, About: g.about})
	}
	for _, op := range doc.operations() {
		i := slices.IndexFunc(groups, func(g struct {
			title, about string
			paths        []string
		}) bool {
			return slices.ContainsFunc(g.paths, func(begins string) bool { return strings.HasPrefix(op.Path, begins) })
		})
		if i < 0 {
			return nil, fmt.Errorf("no group of the page has %s", op.Path)
		}
		page.Groups[i].Operations = append(page.Groups[i].Operations, op)
	}
	var out bytes.Buffer
	if err := referencePage.Execute(&out, page); err != nil {
		return nil, fmt.Errorf("draw the page: %w", err)
	}
	return out.Bytes(), nil
}

func (doc described) operations() (all []referenceOperation) {
	for path, methods := range doc.Paths {
		for method, op := range methods {
			one := referenceOperation{
				ID: idOf(method + " " + path), Method: strings.ToUpper(method), Path: path, Does: op.Summary, Who: op.Description, Asked: path,
			}
			for _, way := range op.Security {
				if _, ok := way["key"]; ok {
					one.ByKey = true
				}
			}
			query := "?"
			for _, p := range op.Parameters {
				one.Parameters = append(one.Parameters, referenceParameter{p.Name, p.In, p.Description, p.Example, p.Required})
				switch {
				case p.In == "path":
					one.Asked = strings.ReplaceAll(one.Asked, "{"+p.Name+"}", p.Example)
				case p.In == "query" && p.Example != "":
					query += p.Name + "=" + p.Example + "&"
				}
			}
			one.Asked += strings.TrimRight(query, "?&")
			if op.RequestBody != nil {
				one.Takes = contents(op.RequestBody.Content)
			}
			for _, status := range slices.Sorted(maps.Keys(op.Responses)) {
				r := op.Responses[status]
				one.Answers = append(one.Answers, referenceAnswer{status, r.Description, slices.Sorted(maps.Keys(r.Headers)), contents(r.Content)})
			}
			all = append(all, one)
		}
	}
	slices.SortFunc(all, func(a, b referenceOperation) int {
		return cmp.Or(cmp.Compare(a.Path, b.Path), cmp.Compare(a.Method, b.Method))
	})
	return all
}

func contents(of map[string]describedMedia) (all []referenceContent) {
	for _, media := range slices.Sorted(maps.Keys(of)) {
		all = append(all, referenceContent{media, of[media].Schema, of[media].Example})
	}
	return all
}

func (doc described) events() (all []referenceEvent) {
	for _, name := range slices.Sorted(maps.Keys(doc.Webhooks)) {
		for _, op := range doc.Webhooks[name] {
			for _, content := range op.RequestBody.Content {
				all = append(all, referenceEvent{idOf("event " + name), name, op.Summary, content.Example})
			}
		}
	}
	return all
}

func (doc described) types() (all []referenceType) {
	for _, name := range slices.Sorted(maps.Keys(doc.Components.Schemas)) {
		schema := doc.Components.Schemas[name]
		one := referenceType{Name: name, About: text(schema["description"])}
		properties, _ := schema["properties"].(map[string]any)
		required, _ := schema["required"].([]any)
		for _, field := range slices.Sorted(maps.Keys(properties)) {
			of, _ := properties[field].(map[string]any)
			one.Fields = append(one.Fields, referenceField{field, text(of["description"]), of, slices.Contains(required, any(field))})
		}
		all = append(all, one)
	}
	return all
}

func text(value any) string {
	words, _ := value.(string)
	return words
}

// idOf is a name in the page that can stand in an address.
func idOf(words string) string {
	return strings.Trim(strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9', r == '.', r == '_':
			return r
		case r >= 'A' && r <= 'Z':
			return r + 'a' - 'A'
		}
		return '-'
	}, words), "-")
}

// typeInWords says what a JSON Schema takes: "integer 5 to 2000", "list of Bed", with a link to each type of the page.
func typeInWords(schema map[string]any) template.HTML {
	escape := template.HTMLEscapeString
	if name, ok := strings.CutPrefix(text(schema["$ref"]), "#/components/schemas/"); ok {
		return template.HTML(`<a href="#type-` + escape(name) + `">` + escape(name) + `</a>`)
	}
	if values, ok := schema["enum"].([]any); ok {
		words := make([]string, len(values))
		for i, value := range values {
			words[i] = escape(fmt.Sprint(value))
		}
		return template.HTML("one of " + strings.Join(words, ", "))
	}
	if items, ok := schema["items"].(map[string]any); ok {
		return "list of " + typeInWords(items)
	}
	if others, ok := schema["anyOf"].([]any); ok {
		var words []string
		for _, one := range others {
			if of, ok := one.(map[string]any); ok {
				words = append(words, string(typeInWords(of)))
			}
		}
		return template.HTML(strings.Join(words, " or "))
	}
	if of, ok := schema["additionalProperties"].(map[string]any); ok {
		return "object, each value " + typeInWords(of)
	}
	if constant, ok := schema["const"]; ok {
		return template.HTML(escape(fmt.Sprintf("%q", constant)))
	}
	words := cmp.Or(text(schema["type"]), "any value")
	switch least, most := schema["minimum"], schema["maximum"]; {
	case least != nil && most != nil:
		words += fmt.Sprintf(" %v to %v", plainNumber(least), plainNumber(most))
	case least != nil:
		words += fmt.Sprintf(" from %v", plainNumber(least))
	case schema["maxLength"] != nil:
		words += fmt.Sprintf(" of up to %v letters", plainNumber(schema["maxLength"]))
	case schema["pattern"] != nil:
		words += fmt.Sprintf(" like %v", schema["pattern"])
	}
	return template.HTML(escape(words))
}

// plainNumber writes a JSON number without an exponent.
func plainNumber(value any) string {
	n, ok := value.(float64)
	if !ok {
		return fmt.Sprint(value)
	}
	return strings.TrimSuffix(fmt.Sprintf("%.0f", n), ".")
}

// pretty is an example over several lines.
func pretty(raw json.RawMessage) string {
	var out bytes.Buffer
	if json.Indent(&out, raw, "", "  ") != nil {
		return string(raw)
	}
	return out.String()
}
