# heparin_reference.R   the figures that heparin_test.cc expects; base R only:  Rscript heparin_reference.R
# SPDX-License-Identifier: Apache-2.0
options(digits = 9)
amount <- c(25, 100, 400); rate <- log(2) / c(30, 60, 150)   # Chest 2012;141(2 Suppl):e24S-e43S
x <- solve(rbind(c(rate[1] - rate[2], 75), c(rate[2] - rate[3], 300)), c(rate[2] * amount[2] - rate[1] * amount[1], rate[3] * amount[3] - rate[2] * amount[2]))
Km <- x[1]; k <- x[2]; Vm <- (rate[1] - k) * (Km + 25); al <- Vm + k * Km
cat("Km", Km, "k", k, "Vm", Vm, "\n")
tau <- function(A0, A1) (Km / al) * log(A0 / A1) + (Vm / (al * k)) * log((al + k * A0) / (al + k * A1))
left <- function(A0, t) if (t <= 0) A0 else exp(uniroot(function(u) tau(A0, exp(u)) - t, c(log(A0) - 80, log(A0)), tol = 1e-14)$root)
cat("from 100:", sapply(c(10, 20, 30, 45, 60, 90, 120), left, A0 = 100), "from 400:", sapply(c(30, 60, 120), left, A0 = 400), "\n")
body <- function(dose, times, kap) sapply(times, function(now) { a <- 0; at <- 0
  for (i in seq_len(nrow(dose))) { if (dose[i, 1] > now) break; if (a > 0) a <- left(a, kap * (dose[i, 1] - at)); a <- a + dose[i, 2]; at <- dose[i, 1] }
  if (a == 0) 0 else left(a, kap * (now - at)) })
base <- 130; g0 <- 1.6; sg <- .30; sk <- .35; sr <- .08; n <- 161
ga <- seq(-5 * sg, 5 * sg, length = n); gb <- seq(-5 * sk, 5 * sk, length = n)
wq <- function(v, w, p) { o <- order(v); approx(cumsum(w[o]) - w[o] / 2, v[o], p, rule = 2, ties = "ordered")$y }
say <- function(label, dose, obs, now, target) {
  if (!is.null(obs)) { f <- function(x) sum((log(obs[, 2]) - log(base + g0 * exp(x[1]) * body(dose, obs[, 1], exp(x[2]))))^2) / (2 * sr^2) + x[1]^2 / (2 * sg^2) + x[2]^2 / (2 * sk^2)
    cat(label, "likeliest", optim(c(0, 0), f, method = "BFGS", control = list(reltol = 1e-16))$par, "\n") }
  W <- matrix(0, n, n)
  for (j in 1:n) { a <- if (is.null(obs)) NULL else body(dose, obs[, 1], exp(gb[j]))
    for (i in 1:n) W[i, j] <- -ga[i]^2 / (2 * sg^2) - gb[j]^2 / (2 * sk^2) - (if (is.null(obs)) 0 else sum((log(obs[, 2]) - log(base + g0 * exp(ga[i]) * a))^2) / (2 * sr^2)) }
  W <- exp(W - max(W)); W <- W / sum(W); w <- as.vector(W)
  Ah <- function(h) sapply(gb, function(b) body(dose, now + h, exp(b))); act <- function(h) as.vector(outer(exp(ga) * g0, Ah(h)) + base); A0 <- Ah(0)
  tf <- matrix(0, n, n); for (i in 1:n) for (j in 1:n) { At <- (target - base) / (g0 * exp(ga[i])); tf[i, j] <- if (A0[j] <= At) 0 else tau(A0[j], At) / exp(gb[j]) }
  mu <- log(act(30)); pq <- function(p) exp(uniroot(function(y) sum(w * pnorm((y - mu) / sr)) - p, c(4, 8), tol = 1e-10)$root)
  cat(label, "now", wq(act(0), w, c(.05, .5, .95)), "in 30", wq(act(30), w, c(.05, .5, .95)), "measured", pq(.05), pq(.5), pq(.95),
      "below", sum(w[act(0) < target]), sum(w[act(15) < target]), sum(w[act(30) < target]), "minutes", wq(as.vector(tf), w, c(.05, .25, .5, .75, .95)),
      "top-up", wq(pmax(0, as.vector(outer((target - base) / (g0 * exp(ga)), A0, "-"))), w, c(.5, .95)), "\n") }
d1 <- rbind(c(0, 100)); o1 <- rbind(c(10, 310)); o2 <- rbind(o1, c(45, 232)); d2 <- rbind(d1, c(46, 40)); o3 <- rbind(o2, c(56, 318))
say("prior", d1, NULL, 10, 250); say("one", d1, o1, 10, 250); say("two", d1, o2, 45, 250); say("three", d2, o3, 56, 250)
