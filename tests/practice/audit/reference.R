# SPDX-License-Identifier: Apache-2.0
# Prints the expected values of the tests in this folder, with R's own functions only: Rscript reference.R
options(digits = 10)
z <- qnorm(.975)
exact <- function(x, n) c(if (x == 0) 0 else qbeta(.025, x, n - x + 1), if (x == n) 1 else qbeta(.975, x + 1, n - x))
jeffreys <- function(x, n) c(if (x == 0) 0 else qbeta(.025, x + .5, n - x + .5), if (x == n) 1 else qbeta(.975, x + .5, n - x + .5))
mid <- function(x, n) {
  root <- function(f) uniroot(f, c(1e-12, 1 - 1e-12), tol = 1e-14)$root
  c(if (x == 0) 0 else root(function(p) pbinom(x, n, p, lower = FALSE) + .5 * dbinom(x, n, p) - .025),
    if (x == n) 1 else root(function(p) pbinom(x - 1, n, p) + .5 * dbinom(x, n, p) - .025))
}
for (v in list(c(0, 10), c(1, 10), c(2, 30), c(3, 100), c(9, 10), c(10, 10), c(46, 810))) {
  wilson <- suppressWarnings(prop.test(v[1], v[2], correct = FALSE)$conf.int)
  cat(v, sprintf("%.6f", c(exact(v[1], v[2]), wilson, jeffreys(v[1], v[2]), mid(v[1], v[2]))), "\n")
}

digits <- function(text) as.integer(strsplit(text, "")[[1]])
class <- digits("133111331232313321131222322303303331323213100021102332323111")
y <- digits("000001110110101000010010000000010000001000000000000000101000")
p <- c(.030, .079, .135, .264)[class + 1]
lp <- qlogis(p)
law <- function(p) { f <- 1; for (q in p) f <- c(f * (1 - q), 0) + c(0, f * q); f }  # unequal chances, by convolution
above <- function(k, p) sum(law(p)[(k + 1):(length(p) + 1)])
shifted <- function(t) t * p / (1 - p + t * p)
root <- function(f) exp(uniroot(f, c(-8, 8), tol = 1e-13)$root)
seen <- sum(y)
factor <- c(root(function(l) sum(shifted(exp(l))) - seen), root(function(l) above(seen, shifted(exp(l))) - .025),
            root(function(l) 1 - above(seen + 1, shifted(exp(l))) - .025))
cat("seen, expected, variance", seen, sum(p), sum(p * (1 - p)), "at least", above(seen, p), "odds factor", factor,
    "as ratio", sapply(factor, function(t) sum(shifted(t)) / sum(p)), "\n")
story <- cumsum(p - y); cat("story at 10..60", story[seq(10, 60, 10)], "\n")
climb <- function(R, S = 0) sapply(1:60, function(i) S <<- max(0, S + y[i] * log(R) - log1p((R - 1) * p[i])))
print(round(rbind(climb(2), climb(.5))[, c(1, 5, 10, 13, 15, 23, 25, 30, 40, 50, 60)], 6))
large <- glm(y ~ offset(lp), family = binomial); line <- glm(y ~ lp, family = binomial)
cat("calibration", coef(large), sqrt(vcov(large)), coef(line), sqrt(diag(vcov(line))), "\n")
x <- exp(-(1:60) / 20); learning <- glm(y ~ x + offset(lp), family = binomial)
cat("learning", coef(learning), sqrt(diag(vcov(learning))), deviance(learning), "\n")
cat("area", wilcox.test(p[y == 1], p[y == 0], exact = FALSE)$statistic / (sum(y) * sum(1 - y)), "brier", mean((p - y)^2), "\n")

n <- c(47, 148, 119, 810, 211, 196, 148, 215, 207, 97, 256, 360); r <- c(0, 18, 8, 46, 8, 13, 9, 31, 14, 8, 29, 24); target <- sum(r) / sum(n)
limit <- function(q, n) { k <- qbinom(q, n, target); F <- pbinom(k, n, target); max(0, (k - (F - q) / (F - pbinom(k - 1, n, target))) / n) }
print(round(t(sapply(c(47, 148, 810, 215, 360), function(m) sapply(c(.001, .025, .975, .999), limit, n = m))), 6))
s <- (r / n - target) / sqrt(target * (1 - target) / n); q <- quantile(s, c(.1, .9)); w <- n / (target * (1 - target))
tau2 <- function(phi) max(0, (12 * phi - 11) / (sum(w) - sum(w^2) / sum(w)))
cat("phi", mean(s^2), mean(pmin(pmax(s, q[1]), q[2])^2), "between", tau2(mean(s^2)), tau2(mean(pmin(pmax(s, q[1]), q[2])^2)), "\n")
fit <- function(t) { a <- plogis(t[1]) * exp(t[2]); b <- plogis(-t[1]) * exp(t[2]); -sum(lbeta(r + a, n - r + b) - lbeta(a, b) + lchoose(n, r)) }
best <- optim(c(-2.5, 4), fit, method = "BFGS", control = list(reltol = 1e-14))
cat("beta-binomial", plogis(best$par[1]), exp(best$par[2]), -best$value, "\n")
belief <- Vectorize(function(a) exp(sum(y * plogis(lp + a, log.p = TRUE) + (1 - y) * plogis(lp + a, lower.tail = FALSE, log.p = TRUE)) - a^2 / (2 * .5^2)))
whole <- integrate(belief, -4, 4, rel.tol = 1e-12)$value; part <- function(from, to) integrate(belief, from, to, rel.tol = 1e-12)$value / whole
cat("odds above 1, 1.5, 2 and below 2/3", sapply(log(c(1, 1.5, 2)), part, to = 4), part(-4, -log(1.5)), "\n")
e <- c(3, 5, 12, 22); m <- c(60, 90, 80, 70); x <- qlogis(c(.030, .079, .135, .264))
bent <- glm(cbind(e, m - e) ~ x + I(x^2), family = binomial, control = list(epsilon = 1e-14)); at <- .030 + (.264 - .030) * c(0, 8, 16, 32) / 32
along <- predict(bent, data.frame(x = qlogis(at)), se.fit = TRUE)
print(rbind(at, plogis(along$fit), plogis(along$fit - z * along$se.fit), plogis(along$fit + z * along$se.fit)), digits = 12)
for (m in c(5, 101)) for (q in c(.25, .5, .75)) cat("quartile of", m, q, "ranks", qbinom(.025, m, q), qbinom(.975, m, q) + 1, "\n")
O <- c(3, 9, 2, 6, 12, 1, 5, 8, 4, 10, 7, 3); E <- c(4.1, 5.2, 3.9, 4.4, 6.0, 3.2, 4.8, 5.1, 4.9, 5.5, 5.0, 4.2)
s <- (O - E) / sqrt(.86 * E); w <- E / .86; q <- quantile(s, c(.1, .9)); cut <- pmin(pmax(s, q[1]), q[2])
cat("ratios: phi", mean(s^2), mean(cut^2), "between", tau2(mean(s^2)), tau2(mean(cut^2)), "\n")
