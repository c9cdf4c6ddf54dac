# SPDX-License-Identifier: Apache-2.0
# Rscript packaged.R DIR   data sets that come with R packages of Debian, and what R 4.2's own functions say of them, as
# files for packaged_test.cc: MASS::Pima.tr and Pima.te (r-cran-mass), survival::mgus2 (r-cran-survival).
dir <- commandArgs(trailingOnly = TRUE)[1]; put <- function(name, x) cat(sprintf("%s %.12g\n", name, x), file = file.path(dir, "expected"), append = TRUE, sep = "")
unlink(file.path(dir, "expected"))
model <- glm(type ~ ., binomial, MASS::Pima.tr); te <- MASS::Pima.te
p <- predict(model, te, type = "response"); y <- as.integer(te$type == "Yes"); lp <- qlogis(p)
write.table(data.frame(sprintf("%.17g", p), y), file.path(dir, "pima"), row.names = FALSE, col.names = FALSE, quote = FALSE)
tight <- list(epsilon = 1e-14, maxit = 100)
large <- glm(y ~ offset(lp), binomial, control = tight); line <- glm(y ~ lp, binomial, control = tight)
put("large", coef(large)); put("large_sd", sqrt(vcov(large))); put("intercept", coef(line)[1]); put("slope", coef(line)[2]); put("slope_sd", sqrt(vcov(line)[2, 2]))
put("area", wilcox.test(p[y == 1], p[y == 0], exact = FALSE)$statistic / (sum(y) * sum(1 - y))); put("brier", mean((p - y)^2))
law <- 1; for (q in p) law <- c(law * (1 - q), 0) + c(0, law * q)
put("at_least_100", sum(law[101:length(law)]))
library(survival); m <- mgus2
time <- with(m, ifelse(pstat == 0, futime, ptime)); end <- with(m, ifelse(pstat == 0, 2 * death, 1))
write.table(data.frame(time, end), file.path(dir, "mgus2"), row.names = FALSE, col.names = FALSE)
fit <- survfit(Surv(time, factor(end, 0:2, c("censor", "progression", "death"))) ~ 1)
for (t in c(60, 120, 240, 360)) { s <- summary(fit, times = t)$pstate; put(paste0("still_", t), s[1]); put(paste0("first_", t), s[2]); put(paste0("second_", t), s[3]) }
km <- survfit(Surv(time, end == 1) ~ 1, conf.type = "log-log"); s <- summary(km, times = 120)
put("km_120", s$surv); put("km_low_120", s$lower); put("km_high_120", s$upper)
