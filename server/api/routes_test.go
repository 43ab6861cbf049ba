package api_test

import (
	"cmp"
	"flag"
	"fmt"
	"net/http"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/labstack/echo/v4"

	"bedwalk/schema"
)

var update = flag.Bool("update", false, "write the table of routes into DEVELOPERS.md as it was found")

// developers has the table of routes between these two lines.
const (
	developers  = "../../DEVELOPERS.md"
	tableBegins = "<!-- routes by role: begin -->\n"
	tableEnds   = "<!-- routes by role: end -->\n"
)

// knockers are the roles by which every route is tried; "reading key" has no cookie but a key in its header, "none" nothing.
var knockers = []string{"owner", "supervisor", "scout", "revoked", "reading key", "none"}

// TestRolesOfEveryRoute asks the router for its routes, tries each of them over HTTP as every role, and holds the table in
// DEVELOPERS.md equal to what came back. A route that has no line there fails it. Printed by
// go test ./server/api -run Roles -v; after a deliberate change written by the same with -update.
func TestRolesOfEveryRoute(t *testing.T) {
	s := newSite(t)
	cookies := map[string]string{}
	for _, role := range knockers[:3] {
		cookies[role] = s.pair(role).cookie
	}
	lost := s.pair("scout")
	cookies["revoked"] = lost.cookie
	if r := s.do(cookies["owner"], "POST", "/api/devices/"+lost.Device+"/revoke", ""); r.status != 200 {
		t.Fatalf("revoking: %d", r.status)
	}
	key := "Authorization: Bearer " + s.key(cookies["owner"], schema.ReadingKeyAsk{Name: "tries every route"})
	var found strings.Builder
	fmt.Fprintf(&found, "| route | %s |\n| --- |%s\n", strings.Join(knockers, " | "), strings.Repeat(" --- |", len(knockers)))
	for _, route := range routesOf(t, s.handler) {
		fmt.Fprintf(&found, "| `%s %s` |", route.Method, route.Path)
		for _, role := range knockers {
			var headers []string
			if role == "reading key" {
				headers = []string{key}
			}
			fmt.Fprintf(&found, " %s |", s.lets(cookies[role], route, headers...))
		}
		found.WriteByte('\n')
	}
	t.Log("\n" + found.String())
	raw, err := os.ReadFile(developers)
	if err != nil {
		t.Fatal(err)
	}
	before, rest, begins := strings.Cut(string(raw), tableBegins)
	written, after, ends := strings.Cut(rest, tableEnds)
	if !begins || !ends {
		t.Fatalf("%s has no table between %s and %s", developers, strings.TrimSpace(tableBegins), strings.TrimSpace(tableEnds))
	}
	if written == found.String() {
		return
	}
	if *update {
		if err := os.WriteFile(developers, []byte(before+tableBegins+found.String()+tableEnds+after), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	lines := strings.Split(written, "\n")
	for line := range strings.SplitSeq(found.String(), "\n") {
		if !slices.Contains(lines, line) {
			t.Errorf("the table in %s lacks: %s", developers, line)
		}
	}
	for _, line := range lines {
		if !strings.Contains(found.String(), line+"\n") {
			t.Errorf("the table in %s has, and the server does not: %s", developers, line)
		}
	}
	t.Error("if the change is meant: go test ./server/api -run Roles -update, and look at what it wrote")
}

// routesOf are the router's own, by path; one that takes every method is there once, as ANY.
func routesOf(t *testing.T, handler http.Handler) (all []*echo.Route) {
	t.Helper()
	router, ok := handler.(*echo.Echo)
	if !ok {
		t.Fatalf("the handler is a %T", handler)
	}
	methods := map[string]int{}
	for _, route := range router.Routes() {
		methods[route.Path]++
	}
	seen := map[string]bool{}
	for _, route := range router.Routes() {
		one := *route
		if methods[route.Path] > 5 {
			one.Method = "ANY"
		}
		if name := one.Method + one.Path; !seen[name] && strings.HasPrefix(one.Path, "/") {
			seen[name] = true
			all = append(all, &one)
		}
	}
	if len(all) < 25 {
		t.Fatalf("the router lists %d routes", len(all))
	}
	slices.SortFunc(all, func(a, b *echo.Route) int {
		return cmp.Or(cmp.Compare(a.Path, b.Path), cmp.Compare(a.Method, b.Method))
	})
	return all
}

// lets tries a route with parameters and a body that mean nothing: whoever is let in is told so by another answer than
// who is not.
func (s *site) lets(cookie string, route *echo.Route, headers ...string) string {
	s.Helper()
	method, path := route.Method, strings.NewReplacer(":id", "none", ":hash", strings.Repeat("0", 64), "*", "none").Replace(route.Path)
	if method == "ANY" {
		method = "POST"
	}
	body := ""
	if method == "POST" || method == "PATCH" {
		body = "{}"
	}
	r := s.do(cookie, method, path, body, headers...)
	code := ""
	if r.status >= 400 && method != "HEAD" {
		code = problem(s.T, r).Code
	}
	switch {
	case r.status == 204 && cookie == "":
		return "asked to pair"
	case r.status >= 500:
		s.Errorf("%s %s was answered %d %s", method, path, r.status, r.body)
	case r.status == 401, code == "revoked", code == "not_allowed", method == "HEAD" && r.status == 403:
		return "no"
	case code == "no_such_address":
		return "nothing here"
	}
	return "yes"
}
