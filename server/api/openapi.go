package api

import (
	"compress/gzip"
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"bedwalk/schema"
)

// openAPI describes the interface to programs.
func (s *server) openAPI(c echo.Context) error {
	raw, err := s.document()
	if err != nil {
		return err
	}
	return writeJSON(c, raw, gzip.BestSpeed)
}

type object = map[string]any

// document is the OpenAPI document (3.1, which takes JSON Schemas as they are) of the routes that New mounts.
func document() ([]byte, error) {
	schemas := map[string]json.RawMessage{}
	inComponents := strings.ReplaceAll(string(schema.Definitions), `"#/$defs/`, `"#/components/schemas/`)
	if err := json.Unmarshal([]byte(inComponents), &schemas); err != nil {
		return nil, fmt.Errorf("read the definitions: %w", err)
	}
	paths := map[string]object{}
	for _, r := range slices.Concat(routes, hookRoutes) {
		path := r.documented()
		if paths[path] == nil {
			paths[path] = object{}
		}
		paths[path][strings.ToLower(r.method)] = r.operation()
	}
	return json.Marshal(object{
		"openapi": "3.1.0",
		"info": object{
			"title": "Bedwalk", "version": fmt.Sprintf("schema %d", schema.Version),
			"description": "Made from the table of routes that the server mounts. An entry of a kind not listed is stored and passed on unread.",
		},
		"paths":    paths,
		"webhooks": webhooks(),
		"components": object{
			"schemas": schemas,
			"securitySchemes": object{
				"device":        object{"type": "apiKey", "in": "cookie", "name": cookieName, "description": "The cookie of a paired phone or browser."},
				"key":           object{"type": "http", "scheme": "bearer", "description": "A reading key, made on the page For other programs."},
				"keyAsPassword": object{"type": "http", "scheme": "basic", "description": "The same key as the password, with any name."},
			},
		},
	})
}

// documented is the path with its parameters as OpenAPI writes them: "/api/views/beds/{id}".
func (r route) documented() string {
	parts := strings.Split(r.path, "/")
	for i, part := range parts {
		if name, ok := strings.CutPrefix(part, ":"); ok {
			parts[i] = "{" + name + "}"
		}
	}
	return strings.Join(parts, "/")
}

func (r route) operation() object {
	responses := object{"default": object{
		"description": "What went wrong, and what to do.",
		"content":     object{schema.ContentProblem: object{"schema": schemaOf(schema.Problem{})}},
	}}
	for _, o := range r.out {
		responses[strconv.Itoa(o.status)] = o.described()
	}
	op := object{"summary": r.does, "description": string(r.open), "responses": responses, "security": []object{{"device": []string{}}}}
	switch r.open {
	case anyone:
		op["security"] = []object{}
	case readers, readersOfPeople:
		op["security"] = []object{{"device": []string{}}, {"key": []string{}}, {"keyAsPassword": []string{}}}
	}
	if parameters := r.parameters(); parameters != nil {
		op["parameters"] = parameters
	}
	if r.in.media == "" {
		return op
	}
	content := object{}
	if text, isText := r.in.of.(string); isText {
		content["example"] = text
	} else {
		content["schema"], content["example"] = schemaOf(r.in.of), r.in.of
	}
	op["requestBody"] = object{"required": true, "content": object{r.in.media: content}}
	return op
}

func (r route) parameters() (all []object) {
	add := func(in string, required bool, p parameter) {
		one := object{"name": p.name, "in": in, "required": required, "schema": object{"type": "string"}}
		if p.does != "" {
			one["description"] = p.does
		}
		if p.example != "" {
			one["example"] = p.example
		}
		all = append(all, one)
	}
	for part := range strings.SplitSeq(r.path, "/") {
		if name, ok := strings.CutPrefix(part, ":"); ok {
			add("path", true, parameter{name: name, example: r.id})
		}
	}
	for _, p := range r.query {
		add("query", false, p)
	}
	for _, p := range r.headers {
		add("header", true, p)
	}
	return all
}

func (o outcome) described() object {
	one := object{"description": o.does}
	if len(o.headers) > 0 {
		headers := object{}
		for _, name := range o.headers {
			headers[name] = object{"required": true, "schema": object{"type": "string"}}
		}
		one["headers"] = headers
	}
	if o.media == "" {
		return one
	}
	content := object{}
	if o.of != nil {
		content["schema"] = schemaOf(o.of)
	}
	one["content"] = object{o.media: content}
	return one
}

// schemaOf points to the schema of a value's type: one of package schema, a list of them, or {} for done.
func schemaOf(value any) object {
	t := reflect.TypeOf(value)
	if t.Kind() == reflect.Slice {
		return object{"type": "array", "items": schemaOf(reflect.Zero(t.Elem()).Interface())}
	}
	if t == reflect.TypeFor[struct{}]() {
		return object{"type": "object", "maxProperties": 0}
	}
	return object{"$ref": "#/components/schemas/" + t.Name()}
}
