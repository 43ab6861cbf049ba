package main

import (
	"context"
	"errors"
	"fmt"
	"net"
	"os"
	"time"

	"bedwalk/server/doctor"
)

// doctorCommand takes the flags of serve, since what is to be looked at is what they say.
type doctorCommand struct {
	serveCommand
	Alive bool `help:"Only ask the server whether it answers, as for a container's health check."`
}

// Run looks at everything; an error says that something is wrong, so that a program that watches can tell by the status.
func (c *doctorCommand) Run(ctx context.Context) error {
	if err := c.validate(); err != nil {
		return err
	}
	o := doctor.Options{
		Data: c.Data, Listen: c.Listen, HTTPS: c.encrypts(), Cert: c.TLSCert, Key: c.TLSKey,
		Build: build(), Now: time.Now(), Open: c.nursery, Database: c.Store != "",
	}
	o.Backups, _, o.BackupsWrong = c.backups("")
	if len(c.Origin) > 0 || len(c.Domain) > 0 {
		at, err := net.ResolveTCPAddr("tcp", c.Listen)
		if err != nil {
			return fmt.Errorf("--listen %q: %w", c.Listen, err)
		}
		o.Address = c.address(at)
	}
	if c.Alive {
		return doctor.Alive(ctx, o)
	}
	if c.AllSites {
		return errors.New("doctor looks at one nursery of several at a time: give --site and its name in place of --all-sites, its own folder with --data, and its own folder of the backups with --backup-to")
	}
	switch wrong := doctor.Print(os.Stdout, doctor.Examine(ctx, o)); wrong {
	case 0:
		return nil
	case 1:
		return errors.New("1 thing to look at")
	default:
		return fmt.Errorf("%d things to look at", wrong)
	}
}

// nursery reads what the notes say, beside a server or without one.
func (c *doctorCommand) nursery(ctx context.Context) (n doctor.Nursery, err error) {
	p, err := openAsItIs(ctx, c.nurseryFlag)
	if err != nil {
		return n, err
	}
	defer func() { err = errors.Join(err, p.Close()) }()
	phones, err := p.views.Phones(ctx)
	if err != nil {
		return n, err
	}
	n = doctor.Nursery{Head: phones.Head, BackedUpTo: phones.BackedUpTo, BackedUpAt: fromMS(phones.BackedUpAt), Last: fromMS(phones.Clock.Last)}
	if p.base != nil {
		if n.Standby.Followers, n.Standby.Waited, err = p.base.Followers(ctx); err != nil {
			return n, err
		}
	}
	for _, count := range phones.QuarantinedByDevice {
		n.Quarantined += count.Count
	}
	for _, phone := range phones.Phones {
		if phone.Revoked == 0 {
			n.Phones = append(n.Phones, doctor.Phone{
				Name: phone.Name, Role: phone.Role, Heard: fromMS(phone.SeenAt), Skew: time.Duration(phone.SkewMS) * time.Millisecond, Pending: phone.Pending,
			})
		}
	}
	return n, nil
}

// fromMS is a time in ms since 1970, the zero time for 0.
func fromMS(ms int64) time.Time {
	if ms == 0 {
		return time.Time{}
	}
	return time.UnixMilli(ms)
}
