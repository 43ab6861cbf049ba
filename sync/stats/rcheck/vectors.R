# Writes fixtures/vectors/stats-*.json from plain R, sharing no code with the Go or the TypeScript side.
# Run from the repository root: Rscript sync/stats/rcheck/vectors.R.
# Names say what each vector shows; the values are R's (qchisq, qnorm, pnorm, sd, median) and arithmetic written out below.

js <- function(v) {
  if (is.null(v)) return("null")
  if (is.list(v)) {
    if (is.null(names(v))) return(paste0("[", paste(sapply(v, js), collapse = ", "), "]"))
    return(paste0("{ ", paste0('"', names(v), '": ', sapply(v, js), collapse = ", "), " }"))
  }
  if (is.character(v)) return(paste0('"', v, '"'))
  if (is.logical(v) && !anyNA(v)) s <- tolower(as.character(v))
  else s <- ifelse(is.na(v), "null", formatC(v, digits = 15, format = "g", width = 1))
  if (length(v) == 1) s else paste0("[", paste(s, collapse = ", "), "]")
}
write_vectors <- function(kind, vectors) {
  lines <- paste0("  ", sapply(vectors, js), collapse = ",\n")
  writeLines(paste0("[\n", lines, "\n]"), file.path("fixtures/vectors", paste0("stats-", kind, ".json")))
}
vec <- function(name, input, want) list(name = name, input = input, want = want)
lst <- function(x) if (length(x) == 1) list(x) else if (length(x) == 0) list() else x

heads <- c(30, 31, 29, 32, 30, 28, 33, 30, 27, 30)
large <- c(28, 29, 30, 31, 32)
small <- c(20, 21, 22, 23, 24)
gaps <- c(31, NA, 29.5, 30, NA, 28.5)
buds <- c(4, 0, 7, 12, 3, 0, 5, 9, 6, 2, 8, 4)

interval <- function(low, high) list(low = low, high = high, known = !is.na(low) && !is.na(high))
vangel <- function(k, n, level) {
  if (is.na(k) || k == 0 || n < 2) return(interval(NA, NA))
  lim <- function(p) { u <- qchisq(p, n - 1); d <- ((u + 2) / n - 1) * k^2 + u / (n - 1); if (d <= 0) NA else k / sqrt(d) }
  interval(lim((1 + level) / 2), lim((1 - level) / 2))
}
within <- function(cv, tol) ifelse(cv == 0, 1, 2 * pnorm(tol / cv) - 1)
carried <- function(i, tol) {
  if (is.na(i$low)) return(interval(NA, NA))
  interval(if (is.na(i$high)) 0 else within(i$high, tol), within(i$low, tol))
}
wilson <- function(x, n, bed, level) {
  if (n < 1) return(interval(NA, NA))
  if (bed == n) return(interval(x / n, x / n))
  m <- if (bed > 0) n * (bed - 1) / (bed - n) else n
  p <- x / n; z <- qnorm((1 + level) / 2)
  mid <- (p + z^2 / (2 * m)) / (1 + z^2 / m)
  half <- z * sqrt(p * (1 - p) / m + z^2 / (4 * m^2)) / (1 + z^2 / m)
  lo <- if (x == 0) 0 else mid - half
  hi <- if (x == n) 1 else mid + half
  if (bed > 0) { lo <- max(lo, x / bed); hi <- min(hi, (bed - n + x) / bed) }
  interval(lo, hi)
}
share <- function(x, n, bed, level) list(count = x, n = n, value = if (n > 0) x / n else NA, interval = wilson(x, n, bed, level))
spread <- function(x, level) {
  k <- x[!is.na(x)]; n <- length(k)
  m <- if (n > 0) mean(k) else NA; s <- if (n > 1) sd(k) else NA
  cv <- if (n > 1 && m > 0 && all(k >= 0)) s / m else NA
  list(n = n, missing = sum(is.na(x)), mean = m, sd = s, cv = cv, cvCorrected = cv * (1 + 1 / (4 * n)),
       interval = vangel(cv, n, level), rough = !is.na(cv) && cv > 0.33)
}

cases <- list("ten heads in cm" = heads, "five heads of a large cultivar" = large, "two of six not taken" = gaps,
  "one head" = 30, "no head" = numeric(0), "all equal: a spread of 0 without interval" = c(30, 30, 30, 30),
  "bud counts, spread beyond the reach of the interval" = buds, "a spread so wide that no upper limit exists" = c(0, 0, 0, 9, 1),
  "all zero: no coefficient of variation" = c(0, 0, 0), "a negative value: no coefficient of variation" = c(-1, 5, 6))
write_vectors("spread", lapply(names(cases), function(nm) {
  vec(nm, list(x = lst(cases[[nm]]), level = 0.9), spread(cases[[nm]], 0.9))
}))

uni <- function(x, tol, bed, level) {
  s <- spread(x, level); k <- x[!is.na(x)]
  e <- list(value = if (is.na(s$cv)) NA else within(s$cvCorrected, tol), interval = carried(s$interval, tol), n = s$n, missing = s$missing)
  counted <- if (is.na(s$cv)) share(0, 0, bed, level) else share(sum(abs(k - s$mean) <= tol * s$mean + 1e-9), s$n, bed, level)
  list(expected = e, counted = counted)
}
write_vectors("uniformity", c(lapply(names(cases), function(nm) {
  vec(paste0(nm, ", within 10 %"), list(x = lst(cases[[nm]]), tolerance = 0.1, bed = 0, level = 0.9), uni(cases[[nm]], 0.1, 0, 0.9))
}), list(
  vec("27 of a mean of 30 is within 10 %", list(x = heads, tolerance = 0.1, bed = 0, level = 0.9), list(counted = share(10, 10, 0, 0.9))),
  vec("bud counts within 20 % in a bed of 60", list(x = buds, tolerance = 0.2, bed = 60, level = 0.95), uni(buds, 0.2, 60, 0.95)))))

pool <- function(lots, level) {
  ss <- lapply(lots, spread, level = level)
  ok <- Filter(function(s) !is.na(s$cv), ss)
  df <- sum(unlist(lapply(ok, function(s) s$n - 1)))
  cv <- if (df > 0) sqrt(sum(unlist(lapply(ok, function(s) (s$n - 1) * s$cv^2))) / df) else NA
  list(n = sum(sapply(ss, function(s) s$n)), lots = length(ok), df = df, cv = cv, cvCorrected = cv * (1 + 1 / (4 * (df + 1))),
       interval = if (df > 0) vangel(cv, df + 1, level) else interval(NA, NA),
       tooFewInLots = sum(sapply(ss, function(s) is.na(s$cv) && s$n > 0)))
}
beds <- list("two even cultivars of different size" = list(large, small), "one lot is that lot alone" = list(heads),
  "a lot of one pot is left out" = list(large, 25), "no lot has two pots" = list(30, 25))
write_vectors("pooled", lapply(names(beds), function(nm) {
  vec(nm, list(lots = lapply(beds[[nm]], lst), level = 0.9), pool(beds[[nm]], 0.9))
}))
write_vectors("pooled-uniformity", lapply(names(beds), function(nm) {
  p <- pool(beds[[nm]], 0.9)
  vec(nm, list(lots = lapply(beds[[nm]], lst), tolerance = 0.1, level = 0.9),
      list(value = if (is.na(p$cv)) NA else within(p$cvCorrected, 0.1), interval = if (is.na(p$cv)) interval(NA, NA) else carried(p$interval, 0.1)))
}))

shares <- list(c(0, 20, 0), c(20, 20, 0), c(3, 20, 0), c(3, 20, 400), c(0, 20, 60), c(19, 20, 22), c(7, 7, 7), c(2, 7, 7), c(0, 0, 0), c(1, 1, 0), c(81, 263, 0))
write_vectors("share", lapply(shares, function(v) {
  vec(sprintf("%d of %d in a bed of %d", v[1], v[2], v[3]), list(x = v[1], n = v[2], bed = v[3], level = 0.9), share(v[1], v[2], v[3], 0.9))
}))

severity <- list(c(10, 6, 3, 1, 0), c(30, 12, 8, 6, 4), c(20, 0, 0, 0, 0), c(0, 0, 0, 0, 5), c(0, 0, 0, 0, 0))
write_vectors("severity", lapply(severity, function(f) {
  n <- sum(f); w <- sum(f * (seq_along(f) - 1)); a <- n - f[1]; none <- n == 0
  vec(paste("pots by class:", paste(f, collapse = " ")), list(counts = f),
      list(n = n, incidence = if (none) NA else a / n, meanClass = if (none) NA else w / n,
           meanClassAffected = if (a == 0) NA else w / a, index = if (none) NA else 100 * w / (4 * n)))
}))

slips <- list("a head of 3 cm among thirties" = list(c(30, 31, 3, 29, 32, 30, 28), 2), "nothing odd" = list(heads, numeric(0)),
  "fewer than five say nothing" = list(c(30, 30, 3, 30), numeric(0)), "all equal" = list(rep(30, 8), numeric(0)),
  "most equal: the mean deviation stands in" = list(c(rep(30, 20), 31, 3), c(21)), "a missing value keeps its place" = list(c(30, NA, 31, 300, 29, 30, 32), 3))
write_vectors("slips", lapply(names(slips), function(nm) {
  x <- slips[[nm]][[1]]; k <- x[!is.na(x)]; m <- median(k); s <- median(abs(k - m)) / 0.6745
  if (s == 0) s <- 1.253314 * mean(abs(k - m))
  z <- if (length(k) < 5 || s == 0) rep(NA, length(x)) else (x - m) / s
  stopifnot(identical(which(abs(z) > 3.5) - 1, slips[[nm]][[2]]))
  vec(nm, list(x = x), list(slips = lst(slips[[nm]][[2]]), z = z))
}))

sprt <- function(p0, p1, a, b) {
  k <- log(p1 * (1 - p0) / (p0 * (1 - p1)))
  c(log((1 - p0) / (1 - p1)) / k, log((1 - a) / b) / k, log((1 - b) / a) / k)
}
calls <- function(v, least, most, n, count) {
  if (n < max(1, least)) return("go on")
  if (count < v[1] * n - v[2] - 1e-9) return("low")
  if (count > v[1] * n + v[3] + 1e-9) return("high")
  if (most > 0 && n >= most) "undecided" else "go on"
}
plans <- list(c(0.05, 0.15, 0.1, 0.1), c(0.1, 0.25, 0.1, 0.1), c(0.02, 0.1, 0.05, 0.1))
seen <- list(c(20, 0), c(19, 0), c(40, 1), c(40, 3), c(40, 8), c(2, 2), c(14, 9), c(15, 9), c(60, 5), c(60, 0))
write_vectors("sprt", unlist(lapply(plans, function(p) lapply(seen, function(s) {
  v <- sprt(p[1], p[2], p[3], p[4])
  vec(sprintf("%d of %d, %g against %g", s[2], s[1], p[1], p[2]),
      list(p0 = p[1], p1 = p[2], alpha = p[3], beta = p[4], least = 15, most = 60, n = s[1], count = s[2]),
      list(slope = v[1], low = v[2], high = v[3], firstAccept = max(15, ceiling(v[2] / v[1])), call = calls(v, 15, 60, s[1], s[2])))
})), recursive = FALSE))

need <- function(cv, tol, width, bed, level) {
  n <- 3
  repeat {
    i <- carried(vangel(cv, n, level), tol)
    if (i$known && !is.na(i$low) && (i$high - i$low) * sqrt(if (bed > 0) max(0, 1 - n / bed) else 1) <= width) return(n)
    n <- n + 1
    if (bed > 0 && n >= bed) return(bed)
  }
}
asks <- list(c(0.1, 0.1, 0.2, 0), c(0.1, 0.1, 0.2, 400), c(0.06, 0.1, 0.1, 0), c(0.2, 0.2, 0.25, 120), c(0.15, 0.1, 0.05, 40))
write_vectors("need", lapply(asks, function(a) {
  vec(sprintf("cv %g, tolerance %g, width %g, bed %d", a[1], a[2], a[3], a[4]),
      list(cv = a[1], tolerance = a[2], width = a[3], bed = a[4], level = 0.9), list(n = need(a[1], a[2], a[3], a[4], 0.9)))
}))

ps <- unlist(lapply(c(1, 2, 3, 4, 5, 7, 9, 10, 19, 20, 29, 39, 59, 99, 100, 199, 200, 399, 400, 1500), function(df)
  lapply(c(0.005, 0.025, 0.05, 0.95, 0.975, 0.995), function(p) c(p, df))), recursive = FALSE)
write_vectors("chi-square", lapply(ps, function(v) vec(sprintf("chi-square, %g of %d degrees", v[1], v[2]), list(p = v[1], df = v[2]), qchisq(v[1], v[2]))))
write_vectors("normal", lapply(c(-8, -3.5, -1.96, -1, -0.3, 0, 0.1, 0.67, 1, 1.5, 2, 2.8, 3, 5, 8), function(x) vec(sprintf("Phi at %g", x), list(x = x), pnorm(x))))
write_vectors("normal-quantile", lapply(c(1e-6, 0.001, 0.005, 0.025, 0.05, 0.1, 0.3, 0.5, 0.7, 0.9, 0.95, 0.975, 0.995, 0.9999), function(p)
  vec(sprintf("normal quantile of %g", p), list(p = p), qnorm(p))))
