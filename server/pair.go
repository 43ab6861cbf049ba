package main

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"bedwalk/schema"
	"bedwalk/server/access"
	"bedwalk/server/db"
)

type pairCommand struct {
	nurseryFlag
	Role   string `help:"What the new device may do: scout, supervisor or owner." enum:"scout,supervisor,owner" default:"scout"`
	Person string `help:"Whose device it is: a known name or a new one. Without it, someone with that role." placeholder:"NAME"`
	URL    string `name:"url" help:"How people reach the server; where it is not given, the address that the running one has printed." placeholder:"URL"`
}

func (c *pairCommand) Run(ctx context.Context) error {
	p, err := openBeside(ctx, c.nurseryFlag)
	if err != nil {
		return err
	}
	defer p.Close()
	address := cmp.Or(c.URL, db.AddressOf(c.Data), "http://localhost:8080")
	link, err := p.invite(ctx, c.Role, c.Person, strings.TrimSuffix(address, "/"))
	if err != nil {
		return err
	}
	fmt.Printf("pair %s: %s\n", c.Role, link)
	return nil
}

// invite makes a link for a device of somebody: of the one named, else of whoever has that role and fewest devices,
// else of a new person named for the role. It writes nothing into the journal, which another program may be serving: a
// new person is written there by the server, when the link is used.
func (p *parts) invite(ctx context.Context, role, name, address string) (link string, err error) {
	person, err := p.somebody(ctx, role, name)
	if err != nil {
		return "", err
	}
	switch {
	case name != "":
	case person == "":
		name = strings.ToUpper(role[:1]) + role[1:]
	default:
		if name, err = p.views.PersonName(ctx, person); err != nil {
			return "", err
		}
	}
	code, _, err := p.gate.Invite(ctx, access.Pairing{Person: person, Name: name, Role: role, MadeBy: "terminal"})
	return address + "/pair/" + code, err
}

func (p *parts) somebody(ctx context.Context, role, name string) (person string, err error) {
	people, err := p.views.People(ctx)
	if err != nil {
		return "", err
	}
	devices, err := p.gate.Count(ctx)
	if err != nil {
		return "", err
	}
	fitting := slices.DeleteFunc(people, func(one schema.Person) bool {
		if name != "" {
			return *one.Name != name
		}
		return *one.Role != role
	})
	if len(fitting) == 0 {
		return "", nil
	}
	least := slices.MinFunc(fitting, func(a, b schema.Person) int {
		return cmp.Or(cmp.Compare(devices[a.Of], devices[b.Of]), cmp.Compare(*a.Name, *b.Name), cmp.Compare(a.Of, b.Of))
	})
	return least.Of, nil
}
