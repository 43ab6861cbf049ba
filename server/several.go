package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"time"
	"unicode/utf8"

	"bedwalk/server/access"
	"bedwalk/server/api"
	"bedwalk/server/backup"
	"bedwalk/server/db"
	"bedwalk/server/group"
	"bedwalk/server/journal"
	"bedwalk/server/metrics"
	"bedwalk/server/store/pg"
)

// nurseries are those that this server answers for: one, or with --all-sites every one of a database.
type nurseries struct {
	served []*served
	// What follows is for several: doors is nil for one.
	doors *pg.Doors
	hold  *db.Hold
	// mu is held while one comes to served after the start.
	mu sync.Mutex
	// address is what answers for all of them.
	address *api.SeveralHandler
	// sites are the numbers of served, in the same order; away are the nurseries that could not be opened, by their numbers.
	sites []int32
	away  map[int32]error
	// group shows them side by side.
	group group.Group
}

// openAll opens what is to be served. Of several, one that cannot be opened does not keep the others.
func (c *serveCommand) openAll(ctx context.Context, log *slog.Logger) (n *nurseries, err error) {
	n = &nurseries{away: map[int32]error{}}
	defer func() {
		if err != nil {
			err = errors.Join(err, n.Close())
		}
	}()
	if !c.AllSites {
		p, err := open(ctx, c.nurseryFlag, "serve", c.NewSite, c.StartEmpty)
		if errors.Is(err, pg.ErrWhichSite) {
			err = fmt.Errorf("%w, or serve all of them with --all-sites", err)
		}
		if err != nil {
			return n, err
		}
		one, err := c.serve(p, "", log)
		if err != nil {
			return n, errors.Join(err, p.Close())
		}
		n.served = append(n.served, one)
		return n, nil
	}
	if err := forSeveral(c.Data); err != nil {
		return n, err
	}
	if n.hold, err = holdFolder(c.Data, "serve"); err != nil {
		return n, err
	}
	if n.doors, err = pg.OpenDoors(ctx, pg.Options{URL: c.Store, Site: c.Site, New: c.NewSite}); err != nil {
		return n, fmt.Errorf("--store: %w", err)
	}
	n.group = group.Group{Open: n.doors.Open, Now: time.Now, Within: groupWithin, Log: log}
	for _, site := range n.doors.Sites {
		if _, err := n.add(ctx, c, site, log); err != nil {
			n.away[site.Site] = err
			n.group.Add(site.Site, group.Nursery{Site: site.Name})
			log.Error("a nursery could not be opened; it is tried again, and the others are served without it", "nursery", site.Name, "error", err)
			fmt.Fprintf(os.Stderr, "NOT SERVED: %s. %v\n", site.Name, ofDisk(err))
		}
	}
	if len(n.served) == 0 {
		return n, errors.New("none of the nurseries in the database could be opened; see above what stands against each")
	}
	return n, nil
}

// add opens a nursery of several.
func (n *nurseries) add(ctx context.Context, c *serveCommand, site pg.Known, log *slog.Logger) (*served, error) {
	at := c.nurseryFlag
	at.Site, at.Data = site.Name, filepath.Join(c.Data, folderOf(site))
	p, err := open(ctx, at, "serve", false, false)
	if err != nil {
		return nil, err
	}
	one, err := c.serve(p, folderOf(site), log.With("nursery", site.Name))
	if err != nil {
		return nil, errors.Join(err, p.Close())
	}
	n.mu.Lock()
	defer n.mu.Unlock()
	if len(n.served) > 0 {
		p.gate.ShareGuesses(n.served[0].parts.gate)
	}
	n.served, n.sites = append(n.served, one), append(n.sites, site.Site)
	return one, nil
}

// shows has the group show a nursery that is served.
func (n *nurseries) shows(site int32, one *served) {
	n.group.Add(site, group.Nursery{Site: one.parts.base.Name(), Links: pg.Links(one.parts.base), Brief: one.brief})
}

// groupWithin is how long a nursery is waited for by whoever looks at several.
const groupWithin = 30 * time.Second

// unplain is what a name has that not every disk and bucket takes.
var unplain = regexp.MustCompile(`[^a-z0-9]+`)

// folderOf is what the folder of a nursery is called: its number, which no other has, and of its name what any disk takes.
func folderOf(site pg.Known) string {
	const most = 40
	plain := strings.Trim(unplain.ReplaceAllString(strings.ToLower(site.Name), "-"), "-")
	return strings.Trim(fmt.Sprintf("%d-%s", site.Site, plain[:min(len(plain), most)]), "-")
}

// forSeveral refuses a folder that has what goes with one nursery: served from a folder of another name it would miss its pictures, and let revoked phones in
// after the database was put back.
func forSeveral(data string) error {
	for _, name := range []string{db.File, backup.PhotosDir, access.RevokedFile, journal.SidecarFile} {
		if _, err := os.Stat(filepath.Join(data, name)); err == nil {
			return fmt.Errorf("%s belongs to one nursery (it has %s): name another folder for several with --data; the first start with it says which folder of it each nursery has, "+
				"and what is in %s goes into that one while nothing is served", data, name, data)
		} else if !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return nil
}

// answer makes the handler of each.
func (n *nurseries) answer(options api.Options) {
	if n.doors != nil {
		options.Group = n.group.View
	}
	for i, one := range n.served {
		if n.doors != nil {
			n.shows(n.sites[i], one)
		}
		one.answer(options)
	}
}

// handler answers for all of them.
func (n *nurseries) handler(origins []string) http.Handler {
	if n.doors == nil {
		return n.served[0].handler
	}
	all := api.Several{Nurseries: map[int32]api.Nursery{}, Front: n.sites, Open: n.doors.Open, Origins: origins}
	for site, why := range n.away {
		// What was moved away is served elsewhere, or here from a copy.
		if !errors.Is(why, pg.ErrMovedAway) {
			all.Nurseries[site] = api.Nursery{}
		}
	}
	for i, one := range n.served {
		all.Nurseries[n.sites[i]] = one.behindAddress()
	}
	n.address = all.Handler()
	return n.address
}

// behindAddress is the nursery as it answers at an address of several.
func (s *served) behindAddress() api.Nursery {
	return api.Nursery{Handler: s.handler, Gate: s.parts.gate, Present: s.parts.Present, Ready: s.parts.store.Ready, Knows: s.parts.store.KnowsEpoch}
}

// tryAway opens once more what could not be opened, and returns what could be now. They answer from then on; the caller has them run.
func (n *nurseries) tryAway(ctx context.Context, c *serveCommand, options api.Options, log *slog.Logger) (opened []*served) {
	options.Group = n.group.View
	for _, site := range n.doors.Sites {
		before := n.away[site.Site]
		if before == nil || ctx.Err() != nil {
			continue
		}
		one, err := n.add(ctx, c, site, log)
		if err != nil {
			if n.away[site.Site] = err; err.Error() != before.Error() {
				log.Warn("a nursery still could not be opened, for another reason; it is tried again", "nursery", site.Name, "error", err)
			}
			continue
		}
		delete(n.away, site.Site)
		n.shows(site.Site, one)
		one.answer(options)
		n.address.Add(site.Site, one.behindAddress())
		log.Info("a nursery that could not be opened is served now", "nursery", site.Name)
		fmt.Fprintf(os.Stderr, "Served now: %s.\n", site.Name)
		opened = append(opened, one)
	}
	return opened
}

// How long it takes until what is away is tried again: longer each time.
const (
	awayFirst = 15 * time.Second
	awayMost  = 5 * time.Minute
)

// keepTrying calls tryAway again and again until nothing is away or ctx ends, and came with each that could be opened.
func (n *nurseries) keepTrying(ctx context.Context, c *serveCommand, options api.Options, log *slog.Logger, came func(*served)) {
	for wait := awayFirst; len(n.away) > 0; wait = min(2*wait, awayMost) {
		select {
		case <-ctx.Done():
			return
		case <-time.After(wait):
		}
		for _, one := range n.tryAway(ctx, c, options, log) {
			came(one)
		}
	}
}

// sources are what the figures are read from.
func (n *nurseries) sources() (all []metrics.Source) {
	for _, one := range n.served {
		all = append(all, n.source(one))
	}
	return all
}

func (n *nurseries) source(of *served) metrics.Source {
	source := metrics.Source{Read: of.figures}
	if n.doors != nil {
		if source.Name = of.parts.base.Name(); !utf8.ValidString(source.Name) {
			// A label is UTF-8, and a terminal may not have been.
			source.Name = strconv.Quote(source.Name)
		}
	}
	return source
}

// endsWith is true where the program is to end because of what a nursery was lost by. Of several, one that was moved away leaves the others as they are; a
// database that was set back is another for all of them.
func (n *nurseries) endsWith(lost error) bool {
	return n.doors == nil || errors.Is(lost, pg.ErrSetBack)
}

// hush ends the connections by which pages and apps hear of news.
func (n *nurseries) hush() {
	n.mu.Lock()
	defer n.mu.Unlock()
	for _, one := range n.served {
		one.hub.Close()
	}
}

// Close closes what is open.
func (n *nurseries) Close() (err error) {
	for _, one := range n.served {
		err = errors.Join(err, one.parts.Close())
	}
	if n.doors != nil {
		n.doors.Close()
	}
	return errors.Join(err, n.hold.Release())
}
