package stats

import (
	"gonum.org/v1/gonum/stat/distuv"
)

var stdNormal = distuv.UnitNormal
