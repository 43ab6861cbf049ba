package bed

// Codes of findings. A finding says where or what on a bed is worth a sentence; the word lists make the sentence from the
// code, Trait ("head" or "buds"), Lot (an id, "" for the whole bed), End ("entry" or "far") and Numbers. Every finding has
// n, the pots that it rests on; p is the chance of so strong a sign when nothing is there. Shares and relative sizes are
// fractions (0.04 is 4 %), lengths are metres.
//
//	code           numbers beside n                      says                                                    attention
//	gradient       per_5m, total, p; End                 the trait shrinks toward End, by per_5m every 5 m and   yes
//	                                                     by total over the bed (both above 0)
//	across         total, p; End near or far             the trait shrinks toward the near or far side, by       yes
//	                                                     total over the bed's width
//	edge           difference, share, p, edge_n          the trait is larger (difference above 0) or smaller at  when smaller
//	                                                     the aisle than inside; share: chance that an edge pot
//	                                                     is above an inner one
//	patch          i, p                                  pots of like size stand together                        no
//	patch_rot, patch_chlorosis, patch_disease            flagged pots stand together: together of x flagged have yes
//	               x, together, p, from_m, to_m          a flagged one nearest; they lie from_m to to_m from
//	                                                     the entry end
//	flag_gradient  there, other, p; End                 Trait (rot, chlorosis or disease) is more frequent toward   yes
//	                                                     End: there is its share in that half, other in the other
//	flag_across    there, other, p; End near or far     the same across the bed                                 yes
//	flag_edge      x, side_n, there, other, p; End       Trait is more frequent at one side (entry, far: an eighth of  yes
//	               entry, far, near_side or far_side     the rows; near_side, far_side: the outer line of pots), on x of
//	                                                     the side_n seen there, than on the rest (other)
//	clumped        index, p                              bud counts are more uneven than chance alone makes them no
//	two_groups     low, high, low_n, high_n, p; Lot      one lot's sizes fall into two groups with these means   yes
//	                                                     (mm or buds)
//	rot            x, value, low, high; Lot              root rot in x of n, a share from low to high            yes
//	chlorosis      x, value, low, high; Lot              chlorosis in x of n                                     on trouble
//	disease        x; Lot                                disease suspected in x of n: hold, do not move or dump  yes
//	between_lots   share, lots                           this share of the spread in head size lies between the  no
//	                                                     lots: judge them apart
//	holds_back     uniformity, other                     Trait holds the bed back: its uniformity beside the     no
//	                                                     other trait's
//	disagree       expected, counted; Lot                expected and counted share within tolerance disagree:   no
//	                                                     look at the dots
//	edge_bias      seen, bed                             this share of the pots seen stands at the edge, but     yes
//	                                                     only that share of all pots
//	unwalked       from_row, to_row, share, p           nobody looked at these rows, so long a stretch that chance   yes
//	                                                     would not leave it: the numbers are of the rest
//	slips          x, mistyped                           x values stand far from the others of their lot; a slip   when mistyped
//	                                                     of unit, decimal mark or digit explains so many of them   is above 0
const (
	CodeGradient       = "gradient"
	CodeAcross         = "across"
	CodeEdge           = "edge"
	CodePatch          = "patch"
	CodePatchRot       = "patch_rot"
	CodePatchChlorosis = "patch_chlorosis"
	CodePatchDisease   = "patch_disease"
	CodeFlagGradient   = "flag_gradient"
	CodeFlagAcross     = "flag_across"
	CodeFlagEdge       = "flag_edge"
	CodeClumped        = "clumped"
	CodeTwoGroups      = "two_groups"
	CodeRot            = "rot"
	CodeChlorosis      = "chlorosis"
	CodeDisease        = "disease"
	CodeBetweenLots    = "between_lots"
	CodeHoldsBack      = "holds_back"
	CodeDisagree       = "disagree"
	CodeEdgeBias       = "edge_bias"
	CodeUnwalked       = "unwalked"
	CodeSlips          = "slips"
)

// Codes are all codes of findings, in the order in which findings are listed: what needs a step soonest first.
var Codes = []string{
	CodeDisease, CodeRot, CodePatchRot, CodePatchDisease, CodeChlorosis, CodePatchChlorosis, CodeFlagGradient,
	CodeFlagAcross, CodeFlagEdge, CodeUnwalked, CodeSlips, CodeEdgeBias,
	CodeHoldsBack, CodeBetweenLots, CodeGradient, CodeAcross, CodeEdge, CodeTwoGroups, CodePatch, CodeClumped, CodeDisagree,
}
