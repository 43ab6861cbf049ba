package simrun

// Plants are the faults that can be planted on purpose, to see that a checker finds each. Those of the server stand
// around its store, or its site in a database, and change what goes in, what comes out or what lies in the file; those of the phone are put into its
// modules when they are built for it (pwa/tools/phone/faults.mjs). What is shipped has no trace of either.
var Plants = []Plant{
	{"acknowledge before commit", "push", 5, false, false},
	{"held notes answered before the commit", "push", 1, false, false},
	{"no dedupe", "push", 1, false, false},
	{"gap accepted", "push", 10, false, false},
	{"the last of a batch not kept", "push", 1, false, false},
	{"epoch ignored", "epoch", 7, false, false},
	{"clock error added where it is subtracted", "stamp", 8, false, false},
	{"phone clock taken at its word", "stamp", 1, false, false},
	{"answer has another stamp than the journal", "stamp", 1, false, false},
	{"page skips an entry where a batch spans its edge", "pull", 2, false, false},
	{"page ends short of the head", "pull", 1, false, false},
	{"a late striking out dropped", "fold", 9, false, false},
	{"records of the last batch not kept", "fold", 4, false, false},
	{"held note promoted and still listed", "quarantine", 9, false, false},
	{"left out is merged", "quarantine", 9, false, false},
	{"poison merged", "quarantine", 1, false, false},
	{"notes of a revoked phone merged", "access", 2, false, false},
	{"a role not compared", "access", 1, false, false},
	{"a person not compared", "access", 7, false, false},
	{"revoked phone served", "access", 2, false, false},
	{"files that are gone not noticed", "files", 6, false, false},
	{"a receipt not checked", "hand-back", 1, false, false},
	{"a jump of the server's clock believed", "clock", 6, false, false},
	{"a whole lot lacking told equal", "digest", 6, false, false},
	{"sum not moved for a late note", "digest", 24, false, false},
	{"every digest told equal", "digest", 1, false, false},
	{"a late digest taken for the newest", "digest", 15, false, false},
	{"records compared with an older app", "digest", 11, false, false},

	{"500 taken as delivered", "phone: push", 1, true, false},
	{"queue dropped on 401", "phone: push", 2, true, false},
	{"other bytes sent than saved", "phone: push", 1, true, false},
	{"retry only on the next write", "phone: sync", 1, true, false},
	{"cursor before data", "phone: pull", 17, true, false},
	{"a page not summed", "phone: pull", 1, true, false},
	{"XOR in place of sum", "phone: digest", 1, true, false},
	{"digest sent only once", "phone: digest", 1, true, false},
	{"last writer drops the other value", "phone: fold", 3, true, false},
	{"float sums", "phone: fold", 4, true, false},
	{"a record kept in memory and not on disk", "phone: storage", 1, true, false},
	{"saved said before the commit", "phone: storage", 2, true, false},
	{"unconfirmed not written down", "phone: hand-back", 2, true, false},
	{"let go before a backup has it", "phone: let go", 5, true, false},
	{"let go by the phone's clock", "phone: let go", 44, true, false},
	{"a late note of a lot that is gone not counted", "phone: let go", 12, true, false},
	{"a late correction folded alone", "phone: let go", 12, true, false},
	{"what was left out counted at another head", "phone: let go", 12, true, false},
	{"a lot taken back without its proof", "phone: let go", 8, true, false},
	{"a lot repaired without its proof", "phone: mend", 1, true, false},
	{"other houses let go before they are old", "phone: let go", 53, true, false},
	{"a lot that moves in folded without what came before", "phone: let go", 8, true, false},
	{"a lot that stands in two houses taken for moved out", "phone: let go", 69, true, false},
	{"a note forgotten at a new incarnation", "phone: mend", 8, true, false},
	{"cursor ahead of the pack", "phone: packs", 3, true, false},
	{"a pack lost on the disk", "phone: packs", 1, true, false},
	{"a pack that does not know its first note", "phone: packs", 1, true, false},
	{"a correction folded without the pot that is packed", "phone: packs", 1, true, false},
	{"a note let go and left in its pack", "phone: packs", 8, true, false},
	{"unread notes left unread", "phone: update", 11, true, false},

	{memoryTrusted, "servers", 1, false, true},
	{epochKept, "servers", 1, false, true},
	{gateKept, "servers", 13, false, true},
	{outOfOrder, "servers", 1, false, true},
}

// Plant is one planted fault, and where it stands.
type Plant struct {
	Name, Where string
	// Seed is a day on which it is known to be caught, which is tried first; 0 where none was written down.
	Seed uint64
	// Phone is true for one of the phone's modules, Servers for what only several servers on PostgreSQL can do wrong.
	Phone, Servers bool
}

// Caught is what became of one planted fault.
type Caught struct {
	Plant
	// Days is how many days it took; On is the seed of the one on which it was found, and By the checker that found it,
	// 0 and "" when none did.
	Days int
	On   uint64
	By   string
}

// Catch plants a fault into the day on which it is known to be caught, and when it is not any more, since the script of
// the days has changed, into one after another until it is caught or most days are over.
func (p Plant) Catch(pool *Pool, most int) (Caught, error) {
	found := Caught{Plant: p}
	for _, days := range []Many{{From: p.Seed, Seeds: 1}, {From: 1, Seeds: most}} {
		if days.From == 0 {
			continue
		}
		days.Plant, days.Stop, days.Pool, days.Servers = &p, true, pool, p.Servers
		whole, err := days.Run()
		if err != nil {
			return found, err
		}
		found.Days += len(whole.Results)
		if len(whole.Failed) > 0 {
			found.On, found.By = whole.Failed[0].Seed, whole.Failed[0].Violations[0].Checker
			return found, nil
		}
	}
	return found, nil
}

// CatchAll plants every fault, each into days of its own until it is caught or most days are over.
func CatchAll(most int, each func(Caught)) error {
	pool := &Pool{}
	defer pool.Close()
	for _, plant := range Plants {
		found, err := plant.Catch(pool, most)
		if err != nil {
			return err
		}
		each(found)
	}
	return nil
}
