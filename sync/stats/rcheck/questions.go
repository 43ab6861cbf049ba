package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"

	"bedwalk/sync/stats"
)

func vector(x []float64) string {
	words := make([]string, len(x))
	for i, v := range x {
		words[i] = fmt.Sprintf("%.17g", v)
		if math.IsNaN(v) {
			words[i] = "NA"
		}
	}
	return "c(" + strings.Join(words, ",") + ")"
}

// or turns unknown into NaN, which R's NA is read as.
func or(m stats.Maybe) float64 {
	if !m.Known {
		return math.NaN()
	}
	return m.X
}

func limits(i stats.Interval) []float64 {
	if !i.Known {
		return []float64{math.NaN(), math.NaN()}
	}
	return []float64{i.Low, i.High}
}

func normal(rng *rand.Rand, n int, mean, cv float64) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = math.Round(100*mean*(1+cv*rng.NormFloat64())) / 100
	}
	return x
}

// ask makes one random question of each kind.
func ask(rng *rand.Rand) []question {
	var qs []question
	add := func(about, needs string, rel float64, have []float64, format string, a ...any) {
		qs = append(qs, question{about: about, needs: needs, rel: rel, have: have, code: fmt.Sprintf(format, a...)})
	}
	x, y := normal(rng, 3+rng.IntN(30), 30, 0.15), normal(rng, 3+rng.IntN(30), 28, 0.1)
	s := stats.SpreadOf(x, 0.9)
	add("mean, SD, Vangel interval", "", 1e-9, append([]float64{or(s.Mean), or(s.SD)}, limits(s.Interval)...),
		"x<-%s; n<-length(x); k<-sd(x)/mean(x); l<-function(p){u<-qchisq(p,n-1); k/sqrt(((u+2)/n-1)*k^2+u/(n-1))}; out(mean(x),sd(x),l(.95),l(.05))", vector(x))

	n := 1 + rng.IntN(300)
	c := rng.IntN(n + 1)
	add("Clopper-Pearson", "", 1e-8, limits(stats.ClopperPearson(c, n, 0.9)), "out(binom.test(%d,%d,conf.level=.9)$conf.int)", c, n)
	add("Wilson", "", 1e-8, limits(stats.Wilson(c, n, 0, 0.9)), "out(prop.test(%d,%d,correct=FALSE,conf.level=.9)$conf.int)", c, n)

	w := stats.WelchTest(x, y, 0.9)
	add("Welch", "", 1e-8, append([]float64{or(w.T), or(w.DF), or(w.P)}, limits(w.Difference.Interval)...),
		"t<-t.test(%s,%s,conf.level=.9); out(t$statistic,t$parameter,t$p.value,t$conf.int)", vector(x), vector(y))
	few := min(len(x), len(y), 12)
	m := stats.MannWhitney(x[:few], y[:few])
	add("Mann-Whitney", "", 1e-8, []float64{or(m.U), or(m.P)},
		"a<-%s;b<-%s;w<-wilcox.test(a,b,exact=!anyDuplicated(c(a,b))); out(w$statistic,w$p.value)", vector(x[:few]), vector(y[:few]))

	bed := 2 + rng.IntN(2000)
	draw, marked := 1+rng.IntN(bed), rng.IntN(bed+1)
	k := max(0, draw-(bed-marked)) + rng.IntN(min(draw, marked)-max(0, draw-(bed-marked))+1)
	add("hypergeometric", "", 1e-8, []float64{stats.Hypergeometric(k, bed, marked, draw), stats.HypergeometricUpTo(k, bed, marked, draw)},
		"out(dhyper(%d,%d,%d,%d),phyper(%d,%d,%d,%d))", k, marked, bed-marked, draw, k, marked, bed-marked, draw)
	nb := 0.2 + 5*rng.Float64()
	add("negative binomial", "", 1e-8, []float64{stats.NegativeBinomial(k%30, nb, nb/2)}, "out(dnbinom(%d,mu=%.17g,size=%.17g))", k%30, nb, nb/2)

	seen := rng.IntN(20)
	p, _ := stats.PredictJeffreys(seen, 20, 60)
	add("beta-binomial prediction", "", 1e-7, []float64{p.Mean(), p.AtLeast(40)},
		"a<-%d.5;b<-%d.5;k<-0:40;q<-choose(40,k)*beta(a+k,b+40-k)/beta(a,b);out(sum(q*k)+%d,sum(q[k+%d>=40]))", seen, 20-seen, seen, seen)

	lots := [][]float64{normal(rng, 4, 30, 0.1), normal(rng, 7, 33, 0.1), normal(rng, 5, 28, 0.1)}
	v := stats.VarianceComponents(lots, 0.9)
	add("analysis of variance", "", 1e-7, []float64{or(v.MSBetween), or(v.MSWithin), or(v.P)},
		"x<-c(%s,%s,%s);g<-factor(rep(1:3,c(4,7,5)));a<-anova(lm(x~g));out(a[['Mean Sq']],a[['Pr(>F)']][1])", vector(lots[0]), vector(lots[1]), vector(lots[2]))
	for kind := stats.QuantileType(4); kind <= 9; kind++ {
		at := rng.Float64()
		add("quantile types 4 to 9", "", 1e-10, []float64{or(stats.Quantile(x, at, kind))}, "out(quantile(%s,%.17g,type=%d))", vector(x), at, kind)
	}
	series := normal(rng, 4+rng.IntN(6), 50, 0.2)
	weeks := make([]float64, len(series))
	for i := range weeks {
		weeks[i] = float64(i)
	}
	tr, _ := stats.TrendOf(weeks, series, 0.9)
	if tr.Exact {
		add("Mann-Kendall, exact", "", 1e-8, []float64{or(tr.P), or(tr.TauA)}, "k<-cor.test(seq_len(%d),%s,method='kendall',exact=TRUE);out(k$p.value,k$estimate)", len(series), vector(series))
	}
	return append(qs, askPackages(rng)...)
}

// askPackages needs R packages: agreement from psych, pattern from spdep.
func askPackages(rng *rand.Rand) []question {
	var qs []question
	table := make([][]float64, 3)
	var flat []float64
	total := 0.0
	for i := range table {
		for j := range 3 {
			c := float64(rng.IntN(12))
			if i == j {
				c += 5
			}
			table[i] = append(table[i], c)
			flat = append(flat, c)
			total += c
		}
	}
	plain := stats.AgreementOf(table, total, stats.Unweighted.Weights(3), 0.9)
	square := stats.AgreementOf(table, total, stats.Quadratic.Weights(3), 0.9)
	qs = append(qs, question{about: "kappa", needs: "psych", rel: 1e-8, have: []float64{or(plain.Kappa), or(square.Kappa)},
		code: fmt.Sprintf("k<-psych::cohen.kappa(matrix(%s,3,3,byrow=TRUE));out(k$kappa,k$weighted.kappa)", vector(flat))})

	var scores [][]float64
	var all []float64
	for range 8 {
		row := normal(rng, 3, 25+10*rng.Float64(), 0.05)
		scores = append(scores, row)
		all = append(all, row...)
	}
	icc := stats.ICCsOf(scores, 0.95)
	var have []float64
	for _, e := range []stats.Estimate{icc.One, icc.Two, icc.Three, icc.OneK, icc.TwoK, icc.ThreeK} {
		have = append(append(have, or(e.Value)), limits(e.Interval)...)
	}
	qs = append(qs, question{about: "ICC, six forms", needs: "psych", rel: 1e-6, have: have,
		code: fmt.Sprintf("r<-psych::ICC(matrix(%s,8,3,byrow=TRUE),lmer=FALSE)$results;out(t(as.matrix(r[,c('ICC','lower bound','upper bound')])))", vector(all))})

	g := stats.Grid{Rows: 4, Cols: 5, Values: normal(rng, 20, 30, 0.1)}
	flags := stats.Grid{Rows: 4, Cols: 5}
	for range 20 {
		flags.Values = append(flags.Values, float64(rng.IntN(2)))
	}
	const rook = "R<-4;C<-5;l<-lapply(1:20,function(k){i<-(k-1)%/%C+1;j<-(k-1)%%C+1;as.integer(sort(c(if(i>1)k-C,if(i<R)k+C,if(j>1)k-1,if(j<C)k+1)))});class(l)<-'nb';attr(l,'region.id')<-as.character(1:20);"
	for i, style := range []string{"B", "W"} {
		m := stats.MoranOf(g, stats.Rook, i == 1)
		qs = append(qs, question{about: "Moran's I", needs: "spdep", rel: 1e-8, have: []float64{or(m.I), or(m.Expected), or(m.VarRandom), or(m.PRandom)},
			code: rook + fmt.Sprintf("m<-moran.test(%s,nb2listw(l,style='%s'));out(m$estimate,m$p.value)", vector(g.Values), style)})
	}
	j := stats.JoinsOf(flags, stats.Rook)
	if j.Flagged > 1 && j.Flagged < 19 {
		qs = append(qs, question{about: "join counts", needs: "spdep", rel: 1e-8,
			have: []float64{float64(j.Both), or(j.ExpectedBoth), or(j.VarBoth), float64(j.Mixed), or(j.ExpectedMixed), or(j.VarMixed)},
			code: rook + fmt.Sprintf("j<-joincount.multi(factor(%s,levels=0:1),nb2listw(l,style='B'));out(t(j[c('1:1','1:0'),1:3]))", vector(flags.Values))})
	}
	return qs
}
