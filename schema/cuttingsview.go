package schema

// LotCuttings is what was taken of a lot's plants, and of whose plants it was stuck itself.
type LotCuttings struct {
	// Mother is the lot that its own cuttings were taken from, Daughters are those that were stuck from its cuttings.
	Mother    *LotBrief  `json:"mother,omitempty"`
	Daughters []LotBrief `json:"daughters"`
	// Taken are the takings of its plants' cuttings, From those of which it was stuck, newest first.
	Taken []CuttingsTaken `json:"taken"`
	From  []CuttingsTaken `json:"from"`
	// Stuck is how many cuttings its own ledger counts in.
	Stuck int `json:"stuck"`
	// Rate is how many cuttings a plant gave; absent while none were taken of known plants.
	Rate *CuttingsRate `json:"rate,omitempty"`
	// Plants is its ledger in plants.
	Plants LotPlants `json:"plants"`
}

// CuttingsTaken is one taking of cuttings, which were stuck as the lot Lot (or came from it); Stuck is how many the ledger of the new lot
// counts in, over all takings that went into it.
type CuttingsTaken struct {
	Entry    string `json:"entry"`
	On       string `json:"on"`
	Cuttings int    `json:"cuttings"`
	Lot      string `json:"lot"`
	Tag      string `json:"tag"`
	Stuck    int    `json:"stuck"`
}

// CuttingsRate is the cuttings a stock plant over all days on which some were taken (Takes in number), by the plants that the ledger had on
// each. Of the Plants there now a day like those brings Expected cuttings, Low to High in 90 % of the cases. Low and High are 0
// where nothing is known of how days differ: after one, or after several that all gave the same to the cutting.
type CuttingsRate struct {
	Takes    int     `json:"takes"`
	PerPlant float64 `json:"per_plant"`
	Plants   int     `json:"plants"`
	Expected float64 `json:"expected"`
	Low      float64 `json:"low"`
	High     float64 `json:"high"`
}

// LotPlants is a lot's ledger counted in plants, Each of them in a pot: In + From + Recounted = Out + On + Here. In stood there at the opening count
// or were stuck, potted, received, found or came back, From and On are those that came from and went on to other lots, Out were lost, dumped, sold
// or shipped; Recounted is what recounts added or took.
type LotPlants struct {
	Each      int `json:"each"`
	In        int `json:"in"`
	From      int `json:"from"`
	Out       int `json:"out"`
	On        int `json:"on"`
	Recounted int `json:"recounted"`
	Here      int `json:"here"`
	// Astray are moves in which, by the plants in each pot of their lots, plants appeared (above 0) or vanished.
	Astray []AstrayMove `json:"astray,omitempty"`
}

// AstrayMove is a move between lots that does not add up in plants.
type AstrayMove struct {
	Entry  string `json:"entry"`
	Stamp  Stamp  `json:"stamp"`
	Plants int    `json:"plants"`
}
