package main

import (
	"context"
	"errors"
	"fmt"
	"net"
	"os"
	"runtime/debug"
	"strings"

	"rsc.io/qr"

	"bedwalk/schema"
	"bedwalk/server/access"
	"bedwalk/server/demo"
	"bedwalk/server/secure"
)

// release is the commit that a release was made of, given to the linker: what Go itself finds out of git depends on the machine.
var release string

// build names what this program was built from, so that a phone recognizes a new version.
func build() string {
	if release != "" {
		return release
	}
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "unknown"
	}
	version, changed := "dev", ""
	for _, s := range info.Settings {
		switch {
		case s.Key == "vcs.revision" && len(s.Value) >= 12:
			version = s.Value[:12]
		case s.Key == "vcs.modified" && s.Value == "true":
			changed = "+"
		}
	}
	return version + changed
}

// announce prints how to get in, nursery by nursery.
func (c *serveCommand) announce(ctx context.Context, all *nurseries, at net.Addr, way *secure.TLSMode) error {
	fmt.Printf("Bedwalk is at %s (Ctrl-C ends it)\n", c.address(at))
	if way.Note != "" {
		fmt.Println(way.Note)
	}
	for _, one := range all.served {
		if err := one.parts.hold.ServesAt(c.address(at)); err != nil {
			one.log.Error("bedwalk pair has to be given the address with --url", "error", err)
		}
		if all.doors != nil {
			fmt.Printf("\nNursery %s, with its pictures and keys in %s:\n", one.parts.base.Name(), one.parts.dir)
		}
		err := c.announceNursery(ctx, one.parts, at)
		if err != nil && (all.doors == nil || ctx.Err() != nil) {
			return err
		}
		if err != nil {
			one.log.Error("nobody could be invited at the start", "error", err)
			fmt.Println("Nobody could be invited:", err)
		}
	}
	return nil
}

// announceNursery prints at the very first start a code for the owner, for the demo a link for each screen.
func (c *serveCommand) announceNursery(ctx context.Context, p *parts, at net.Addr) error {
	address := c.address(at)
	var refused *schema.Problem
	if errors.As(p.store.Ready(ctx), &refused) {
		fmt.Println(refused.Detail, refused.Remedy)
	}
	devices, err := p.gate.Devices(ctx)
	if err != nil {
		return err
	}
	isDemo, err := demo.Is(ctx, p.journal)
	if err != nil {
		return err
	}
	if len(devices) == 0 {
		link, err := p.invite(ctx, access.Owner, "", address)
		if err != nil {
			return err
		}
		fmt.Printf("Nobody is paired yet. This link, good once and for ten minutes, makes the first device the owner's:\npair owner: %s\n", link)
		return nil
	}
	if !isDemo {
		which := ""
		if c.AllSites {
			which = fmt.Sprintf("--store ADDRESS --site %q --data %q ", p.base.Name(), p.dir)
		}
		fmt.Printf("For one more phone or browser: the Phones page, or bedwalk pair %s--role scout --person NAME\n", which)
		return nil
	}
	for _, role := range []string{access.Supervisor, access.Scout} {
		link, err := p.invite(ctx, role, "", address)
		if err != nil {
			return err
		}
		fmt.Printf("pair %s: %s\n", role, link)
	}
	return c.announcePhone(ctx, p, at)
}

// announcePhone shows a code for a phone on the same network.
func (c *serveCommand) announcePhone(ctx context.Context, p *parts, at net.Addr) error {
	near, ok := c.nearby(at)
	if !ok || !isTerminal() {
		return nil
	}
	link, err := p.invite(ctx, access.Scout, "", near)
	if err != nil {
		return err
	}
	code, err := qr.Encode(link, qr.L)
	if err != nil {
		return err
	}
	fmt.Printf("\nA phone on the same network:\n%s%s\n", drawn(code), link)
	switch {
	case c.Office:
		fmt.Println("It first shows how to make the phone trust this machine, then pairs it.")
	case !c.secure():
		fmt.Println("Over plain http this phone can look and note while it reaches the server; working offline on it needs HTTPS (see README).")
	}
	return nil
}

// address is how a browser on this machine reaches the server. Localhost by name, because only that counts as secure
// over plain http.
func (c *serveCommand) address(at net.Addr) string {
	if len(c.Origin) > 0 {
		return c.Origin[0]
	}
	if len(c.Domain) > 0 {
		return c.origin(c.Domain[0], portOf(at))
	}
	return c.origin("localhost", portOf(at))
}

func isTerminal() bool {
	info, err := os.Stdout.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}

// drawn writes a QR code in half blocks, dark on light with the quiet zone of four that readers need.
func drawn(code *qr.Code) string {
	const quiet = 4
	var out strings.Builder
	for y := -quiet; y < code.Size+quiet; y += 2 {
		for x := -quiet; x < code.Size+quiet; x++ {
			out.WriteString([]string{"█", "▄", "▀", " "}[2*b(code.Black(x, y+1))+b(code.Black(x, y))])
		}
		out.WriteByte('\n')
	}
	return out.String()
}

func b(black bool) int {
	if black {
		return 1
	}
	return 0
}
