package api_test

import (
	"regexp"
	"strings"
	"testing"
)

func TestThePageOfTheAPIHasEveryRouteTypeAndExampleAndNoLinkThatLeadsNowhere(t *testing.T) {
	s := newSite(t)
	doc, _ := s.description()
	r := s.do("", "GET", "/api/reference", "")
	if r.status != 200 || r.header.Get("Content-Type") != "text/html; charset=UTF-8" {
		t.Fatalf("the page: %d %s", r.status, r.header.Get("Content-Type"))
	}
	page := string(r.body)
	places := map[string]bool{}
	for _, id := range regexp.MustCompile(` id="([^"]+)"`).FindAllStringSubmatch(page, -1) {
		if places[id[1]] {
			t.Errorf("two places are called %s", id[1])
		}
		places[id[1]] = true
	}
	for _, link := range regexp.MustCompile(`href="#([^"]*)"`).FindAllStringSubmatch(page, -1) {
		if !places[link[1]] {
			t.Errorf("a link leads to %q, which is not there", link[1])
		}
	}
	routes := 0
	for path, operations := range doc.Paths {
		for method, op := range operations {
			routes++
			heading := `<span class="method">` + strings.ToUpper(method) + `</span> <span class="path">` + path + `</span>`
			if strings.Count(page, heading) != 1 {
				t.Errorf("%s %s stands there %d times", method, path, strings.Count(page, heading))
			}
			for _, p := range op.Parameters {
				if p.Example != "" && !strings.Contains(page, p.Example) {
					t.Errorf("the example %s of %s is missing", p.Example, path)
				}
			}
		}
	}
	if got := strings.Count(page, `<p class="asked">`); got != routes {
		t.Errorf("%d examples of requests, want one for each of %d routes", got, routes)
	}
	for name := range doc.Components.Schemas {
		if !places["type-"+name] {
			t.Errorf("the type %s is missing", name)
		}
	}
	// The page's policy allows none of these.
	for _, word := range []string{"<script", "<style", " style=", "http://"} {
		if strings.Contains(page, word) {
			t.Errorf("the page has %s", word)
		}
	}
	css := s.do("", "GET", "/api/reference.css", "")
	if css.status != 200 || !strings.Contains(string(css.body), "prefers-color-scheme: dark") || !strings.Contains(string(css.body), "@page") {
		t.Errorf("the style: %d", css.status)
	}
}
