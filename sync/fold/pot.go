package fold

import "bedwalk/schema"

// version is one way in which a pot was written down: the observation, or a correction.
type version struct {
	by       *schema.Stamped
	now      schema.Observation
	replaces []string
}

// foldPot keeps the highest version that no other replaces, and beside it those that were made without knowing of it. A
// void of any version voids the pot, since it says that the pot is wrong, and not which of its values.
func foldPot(record *schema.Record, id string, set []*schema.Stamped) {
	versions := versionsOf(id, set)
	if len(versions) == 0 {
		return
	}
	live := unreplaced(versions)
	shown := live[len(live)-1]
	pot := &schema.Pot{Now: shown.now, By: author(shown.by), First: author(versions[0].by), Versions: len(versions)}
	for i := len(live) - 2; i >= 0; i-- {
		pot.Others = append(pot.Others, schema.Alternative{Now: live[i].now, By: author(live[i].by)})
	}
	bys := make([]*schema.Stamped, 0, len(versions))
	for _, v := range versions {
		bys = append(bys, v.by)
		if v.by.Entry.ID == id {
			pot.First = author(v.by)
		}
	}
	pot.Voided = voidsIn(set).of(bys...)
	record.Pot, record.Lot, record.Bed = pot, pot.Now.Lot, pot.Now.Bed
}

func versionsOf(id string, set []*schema.Stamped) []version {
	var versions []version
	for _, s := range set {
		switch {
		case s.Entry.Kind == "observation" && s.Entry.ID == id:
			if now, ok := read[schema.Observation](s.Entry.Body); ok {
				versions = append(versions, version{by: s, now: now})
			}
		case s.Entry.Kind == "correction":
			if body, ok := read[schema.Correction](s.Entry.Body); ok && body.Pot == id {
				versions = append(versions, version{s, body.Now, append(body.Settles, body.Replaces)})
			}
		}
	}
	return versions
}

func unreplaced(versions []version) []version {
	replaced := map[string]bool{}
	for _, v := range versions {
		for _, id := range v.replaces {
			replaced[id] = replaced[id] || id != v.by.Entry.ID
		}
	}
	var live []version
	for _, v := range versions {
		if !replaced[v.by.Entry.ID] {
			live = append(live, v)
		}
	}
	if live == nil {
		// Only a faulty phone could make corrections that all replace each other; the highest is as good as any.
		live = versions[len(versions)-1:]
	}
	return live
}
