package view

import (
	"fmt"

	"bedwalk/schema"
	"bedwalk/server/journal"
	"bedwalk/sync/bed"
	"bedwalk/sync/calendar"
	"bedwalk/sync/schedule"
)

// money is what the site says of prices and costs.
type money struct {
	Currency                *string
	WageCHour, SpaceCM2Week *int
}

func (n *nursery) readAgain(snap *journal.Snapshot, kind string) error {
	switch kind {
	case "site":
		n.forgetSite()
	case "house":
		n.houses = nil
	case "person":
		n.people = map[string]string{}
	case "profile":
		n.forgetProfiles()
	case "round":
		n.rounds = map[string]schema.Round{}
	case "cultivar":
		n.cultivars = map[cultivarKey]schema.Cultivar{}
	}
	return snap.OfKind(kind, func(r schema.Record) error { readAll[kind](n, r); return nil })
}

// forgetSite puts what is assumed while nobody has said in the place of what the site says.
func (n *nursery) forgetSite() {
	n.site, n.zone, n.work, n.workKey, n.shipWeekday, n.money = "", "", calendar.Workdays{}, "", 1, money{}
	n.pace, n.paceIsOwn = schedule.Pace, false
}

func (n *nursery) takeSite(r schema.Record) {
	s := shown[schema.Site](r)
	n.site, n.zone = valueOr(s.Name, n.site), valueOr(s.TimeZone, n.zone)
	n.shipWeekday = valueOr(s.ShipWeekday, n.shipWeekday)
	if s.PaceBP != nil {
		n.pace, n.paceIsOwn = float64(*s.PaceBP)/10_000, true
	}
	n.money = money{s.Currency, s.WageCHour, s.SpaceCM2Week}
	holidays := map[calendar.Day]string{}
	for _, h := range valueOr(s.Holidays, nil) {
		if d, err := calendar.Parse(h.On); err == nil {
			holidays[d] = h.Name
		}
	}
	n.work = calendar.NewWorkdays(valueOr(s.Workdays, nil), holidays)
	n.workKey = fmt.Sprint(valueOr(s.Workdays, nil), valueOr(s.Holidays, nil))
}

func (n *nursery) forgetProfiles() {
	n.judged, n.stages, n.costs = map[string]schema.Judged{}, map[string]map[string]schema.Stage{}, map[string][]schema.StageCost{}
	n.ownSeason, n.targets, n.sizes = map[string]bool{}, map[string][]schema.HeadTarget{}, map[string][]schema.SizedStage{}
	n.yields, n.aims = map[string][]schema.StageYield{}, map[string]int{}
}

// takeProfile: of two profiles of one crop, begun apart, the one with the higher id counts, here as on phones: records come
// in the order of their keys.
func (n *nursery) takeProfile(r schema.Record) {
	p := shown[schema.Profile](r)
	key := bed.CropKey(valueOr(p.Crop, ""))
	n.judged[key], n.stages[key] = bed.JudgedFrom(p, schema.DefaultJudged()), p.ByName()
	n.costs[key], n.ownSeason[key] = valueOr(p.Costs, nil), p.SharingSDMilli != nil
	n.targets[key], n.sizes[key] = valueOr(p.Targets, nil), valueOr(p.Sizes, nil)
	n.yields[key] = valueOr(p.Yields, nil)
	if delete(n.aims, key); p.UniformityAimBP != nil {
		n.aims[key] = *p.UniformityAimBP
	}
}
