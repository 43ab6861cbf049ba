package access

import (
	"testing"
	"testing/synctest"
	"time"
)

// A crew is paired from one office: ten codes are being looked at, and whether an eleventh may be is for them to say.
func TestACodeWaitsForThoseThatCameJustBefore(t *testing.T) {
	for name, one := range map[string]struct {
		wrong int
		want  bool
	}{"all ten are right": {0, true}, "nine are wrong": {9, true}, "ten are wrong": {10, false}} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				g, now := newGuesses(), time.Now()
				for range guessesAtOnce {
					if !g.begin("office", now) {
						t.Fatal("one of the first ten was refused")
					}
				}
				answers := make(chan bool, 2)
				go func() {
					may := g.begin("office", now)
					if may {
						g.end("office", now, false)
					}
					answers <- may
				}()
				go func() { answers <- g.allowed("office", now) }()
				synctest.Wait()
				if len(answers) > 0 {
					t.Fatalf("the eleventh was answered %v before the ten were", <-answers)
				}
				// Another place has its own ten.
				if !g.begin("home", now) {
					t.Error("a code from elsewhere was refused")
				}
				for i := range guessesAtOnce {
					g.end("office", now, i < one.wrong)
				}
				for range 2 {
					if got := <-answers; got != one.want {
						t.Errorf("the eleventh: %v", got)
					}
				}
			})
		})
	}
}
