# SPDX-License-Identifier: Apache-2.0
# Rscript audit_beside.R CASES.csv   the audit's figures by R 4.2's own functions, a name and a value a line.
cases <- read.csv(commandArgs(trailingOnly = TRUE)[1]); p <- cases$p; y <- cases$y; n <- length(p); seen <- sum(y); lp <- qlogis(p)
begun <- proc.time()[["elapsed"]]
law <- function(p) { f <- 1; for (q in p) f <- c(f * (1 - q), 0) + c(0, f * q); f }  # unequal chances, by convolution
above <- function(k, p) sum(law(p)[(k + 1):(length(p) + 1)])
shifted <- function(t) t * p / (1 - p + t * p)
root <- function(f) exp(uniroot(f, c(-2, 2), tol = 1e-9)$root)
say <- function(name, value) cat(name, format(value, digits = 12), "\n")
say("observed", seen); say("expected", sum(p)); say("at_least", above(seen, p))
say("factor", root(function(l) sum(shifted(exp(l))) - seen))
say("factor_low", root(function(l) above(seen, shifted(exp(l))) - .025)); say("factor_high", root(function(l) 1 - above(seen + 1, shifted(exp(l))) - .025))
large <- glm(y ~ offset(lp), family = binomial); line <- glm(y ~ lp, family = binomial)
say("large", coef(large)[[1]]); say("large_sd", sqrt(vcov(large)[1, 1]))
say("intercept", coef(line)[[1]]); say("slope", coef(line)[[2]]); say("slope_sd", sqrt(vcov(line)[2, 2]))
x <- exp(-seq_len(n) / 20); say("learning", coef(glm(y ~ x + offset(lp), family = binomial))[[2]])
say("area", wilcox.test(p[y == 1], p[y == 0], exact = FALSE)$statistic[[1]] / (as.numeric(seen) * (n - seen)))
say("brier", mean((p - y)^2)); say("story_last", sum(p - y))
worse <- 0; for (i in seq_len(n)) worse <- max(0, worse + y[i] * log(2) - log1p(p[i]))
say("seconds", proc.time()[["elapsed"]] - begun)
