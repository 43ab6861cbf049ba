package view

import (
	"bedwalk/schema"
	"bedwalk/sync/bed"
)

// brief is what is remembered of the measures of a walk: what lists, trends and later judgements need of a schema.BedScore.
type brief struct {
	Seen       int             `json:"seen"`
	Uniformity schema.Estimate `json:"uniformity"`
	Rot        schema.Share    `json:"rot"`
	Chlorosis  schema.Share    `json:"chlorosis"`
	// Disease is the number of pots that were looked at for it.
	Disease int          `json:"disease,omitempty"`
	Traits  []traitBrief `json:"traits"`
	// RootsCall and ChlorosisCall are the sequential tests' words.
	RootsCall     string     `json:"roots_call"`
	ChlorosisCall string     `json:"chlorosis_call"`
	Lots          []lotBrief `json:"lots"`
}

type traitBrief struct {
	Trait      string          `json:"trait"`
	N          int             `json:"n"`
	Uniformity schema.Estimate `json:"uniformity"`
}

// lotBrief is a lot's weaker trait on a walk.
type lotBrief struct {
	Lot        string          `json:"lot"`
	Seen       int             `json:"seen"`
	Uniformity schema.Estimate `json:"uniformity"`
	Trait      string          `json:"trait,omitempty"`
}

func briefOf(s schema.BedScore) brief {
	b := brief{
		Seen: s.Seen, Uniformity: s.Uniformity, Rot: s.Rot, Chlorosis: s.Chlorosis, Disease: s.Disease.N,
		RootsCall: s.Stop.Roots, ChlorosisCall: s.Stop.Chlorosis,
	}
	for _, t := range s.Traits {
		b.Traits = append(b.Traits, traitBrief{t.Trait, t.N, t.Uniformity})
	}
	for _, l := range s.Lots {
		least, trait := weaker(l)
		b.Lots = append(b.Lots, lotBrief{l.Lot, l.Seen, least, trait})
	}
	return b
}

// bedScore is as much of the score as bed.Answered and bed.StillOpen ask for.
func (b brief) bedScore(findings []schema.Finding) schema.BedScore {
	s := schema.BedScore{Rot: b.Rot, Chlorosis: b.Chlorosis, Disease: schema.Share{N: b.Disease}, Findings: findings}
	for _, t := range b.Traits {
		s.Traits = append(s.Traits, schema.TraitScore{Trait: t.Trait, N: t.N})
	}
	for _, l := range b.Lots {
		s.Lots = append(s.Lots, schema.LotScore{Lot: l.Lot})
	}
	return s
}

// weaker is the uniformity of a lot's less uniform trait, and which one that is.
func weaker(l schema.LotScore) (least schema.Estimate, trait string) {
	for _, t := range l.Traits {
		if t.Uniformity.Known && t.N >= bed.Fewest && (trait == "" || t.Uniformity.Value < least.Value) {
			least, trait = t.Uniformity, t.Trait
		}
	}
	return least, trait
}
