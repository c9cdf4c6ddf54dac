#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Random fact files and what the published scores give on them, worked out by brute force.

Shares no code and no table with the engine: the item tables are written out again from the articles (sources below),
every combination of every cell is visited, and nothing is convolved. Prints one JSON document.
usage: independent_evaluator.py SEED CASES
"""
import itertools
import json
import math
import random
import sys

GRADES = {
    "sex": ["female", "male"],
    "diabetes": ["none", "non_insulin", "insulin", "unspecified"],
    "occluded_vessel": ["LAD", "LCX", "RCA", "LM"],
    "stump_angio": ["tapered", "blunt", "none"], "stump_ct": ["tapered", "blunt", "none"],
    "calcification_angio": ["none", "mild", "moderate", "severe"],
    "proximal_tortuosity": ["none", "mild", "moderate", "severe"],
    "rentrop": ["0", "1", "2", "3"], "collateral_cc_grade": ["0", "1", "2"],
    "collateral_channel": ["septal", "epicardial", "atrial", "ipsilateral", "graft"],
    "strategy_category": ["antegrade", "dissection", "retrograde"]}
MAY_BE_UNSEEN = {"stump_angio", "stump_ct", "calcification_angio", "proximal_tortuosity"}
FLAGS = ["prior_cabg", "prior_mi", "atrial_fibrillation", "heart_failure", "anaemia", "graft_to_occluded_vessel",
         "ostial", "proximal_cap_ambiguous", "side_branch_at_cap", "calcium_ct_full_lumen",
         "tortuosity_weighted_score", "interventional_collateral", "distal_landing_zone_diseased",
         "collateral_tortuous", "hypotension", "balloon_pump"]
# Cut-offs of all scores together: between two neighbours no score changes.
CUTS = {"age_years": [50, 60, 65, 70, 75], "lvef_pct": [45, 50], "egfr": [20, 40, 60], "calcium_ct_share": [0.5],
        "length_angio_mm": [20, 23, 60], "length_ct_mm": [15, 20], "bend_angio_deg": [45], "bend_ct_deg": [45],
        "occlusion_duration_months": [12], "contrast_ml": [100 * i for i in range(1, 30)],
        "previous_failed_attempts": [1], "occlusion_count_ct": [2]}
# Values that stand for every answer a missing number could have.
ANY = {"age_years": [30, 50, 55, 60, 62, 65, 68, 70, 72, 75, 80], "lvef_pct": [30, 45, 47, 50, 60],
       "egfr": [10, 20, 30, 40, 50, 60, 90], "calcium_ct_share": [0.2, 0.5, 0.7],
       "length_angio_mm": [10, 20, 21, 23, 30, 60, 70], "length_ct_mm": [10, 15, 17, 20, 25],
       "bend_angio_deg": [10, 45, 60], "bend_ct_deg": [10, 45, 60], "occlusion_duration_months": [6, 12, 20, "nd"],
       "contrast_ml": [50 + 100 * i for i in range(15)] + [1500], "previous_failed_attempts": [0, 1, 2],
       "occlusion_count_ct": [0, 1, 2, 3]}
BLUNT = ("blunt", "none")


def level(fact, value):
    return GRADES[fact].index(value)


# JACC Cardiovasc Interv 2011;4:213-221
def j_cto(f):
    return ((f["stump_angio"] in BLUNT) + (f["calcification_angio"] != "none") + (f["bend_angio_deg"] > 45)
            + (f["length_angio_mm"] > 20) + (f["previous_failed_attempts"] >= 1))


# JACC Cardiovasc Interv 2016;9:1-9
def progress(f):
    return (f["proximal_cap_ambiguous"] + (f["proximal_tortuosity"] in ("moderate", "severe"))
            + (f["occluded_vessel"] == "LCX") + (not f["interventional_collateral"]))


# JACC Cardiovasc Interv 2019;12:335-342
def castle(f):
    return (f["prior_cabg"] + (f["age_years"] >= 70) + (f["stump_angio"] != "tapered")
            + (f["proximal_tortuosity"] in ("severe", "unseen")) + (f["length_angio_mm"] >= 20)
            + (f["calcification_angio"] == "severe"))


# JACC Cardiovasc Interv 2015;8:1540-1548, from memory
def cl(f):
    return (1.5 * f["prior_cabg"] + f["prior_mi"] + 2 * (f["calcification_angio"] == "severe")
            + 1.5 * (f["length_angio_mm"] >= 20) + (f["occluded_vessel"] != "LAD") + (f["stump_angio"] in BLUNT))


# JACC Cardiovasc Interv 2016;9:911-922
def ora(f):
    return f["ostial"] + 2 * (f["rentrop"] in ("0", "1")) + (f["age_years"] >= 75)


# Catheter Cardiovasc Interv 2018;91:192-202, from memory
def recharge(f):
    return ((f["stump_angio"] in BLUNT) + (f["calcification_angio"] != "none") + (f["bend_angio_deg"] >= 45)
            + (f["length_angio_mm"] >= 20) + f["distal_landing_zone_diseased"] + f["graft_to_occluded_vessel"])


# AsiaIntervention 2018;4:18-25
def w_cto(f):
    return (2 * (f["stump_angio"] in BLUNT) + 1.5 * (f["length_angio_mm"] > 20) + (f["calcification_angio"] != "none")
            + f["tortuosity_weighted_score"] + (int(f["rentrop"]) < 2))


# Cardiology 2017, 438 patients
def b_cto(f):
    age = 2 if f["age_years"] >= 75 else 1 if f["age_years"] >= 60 else 0
    return (age + (f["length_angio_mm"] >= 20) + 2 * (f["sex"] == "female") + 2 * (f["occluded_vessel"] == "RCA")
            + 2 * (f["stump_angio"] in BLUNT) + 2 * (f["bend_angio_deg"] > 45))


# JACC Cardiovasc Interv 2024 (PubMed 38703149)
def jr_cto(f):
    return (f["collateral_tortuous"] + (level("calcification_angio", f["calcification_angio"]) >= 2)
            + (int(f["collateral_cc_grade"]) <= 1) + (f["collateral_channel"] != "septal"))


# J Cardiovasc Comput Tomogr 2015, 10.1016/j.jcct.2015.07.005
def j_cto_ct(f):
    return ((f["stump_ct"] in BLUNT) + (f["bend_ct_deg"] > 45) + (f["length_ct_mm"] >= 20)
            + (f["calcium_ct_share"] > 0.5) + (f["previous_failed_attempts"] >= 1))


def old(f):
    months = f["occlusion_duration_months"]
    return months == "nd" or months >= 12


# JACC Cardiovasc Imaging 2015;8:257-267, from memory
def ct_rector(f):
    return ((f["occlusion_count_ct"] >= 2) + (f["stump_ct"] in BLUNT) + (f["calcium_ct_share"] >= 0.5)
            + (f["bend_ct_deg"] >= 45) + old(f) + (f["previous_failed_attempts"] >= 1))


# Circ Cardiovasc Imaging 2017;10:e005800, one point each from memory
def kcct(f):
    return ((f["stump_ct"] in BLUNT) + f["side_branch_at_cap"] + (f["bend_ct_deg"] > 45) + (f["length_ct_mm"] >= 15)
            + (f["calcium_ct_share"] >= 0.5) + f["calcium_ct_full_lumen"] + (f["previous_failed_attempts"] >= 1) + old(f))


# J Am Heart Assoc 2016;5:e004272
def complications(f):
    return (3 * (f["age_years"] > 65) + 2 * (f["length_angio_mm"] >= 23)
            + (f["strategy_category"] == "retrograde"))


def moderate(f):
    return f["calcification_angio"] in ("moderate", "severe")


# JACC Cardiovasc Interv 2022;15:1413-1422
def mace(f):
    return ((f["age_years"] >= 65) + 2 * (f["sex"] == "female") + moderate(f) + (f["stump_angio"] in BLUNT)
            + level("strategy_category", f["strategy_category"]))


def death(f):
    return ((f["age_years"] >= 65) + (f["lvef_pct"] <= 45) + moderate(f) + (f["strategy_category"] != "antegrade"))


def pericardiocentesis(f):
    return ((f["age_years"] >= 65) + (f["sex"] == "female") + moderate(f)
            + level("strategy_category", f["strategy_category"]))


def infarction(f):
    return f["prior_cabg"] + f["atrial_fibrillation"] + (f["stump_angio"] in BLUNT)


# EuroIntervention 2023;18:1022-1030
def perforation(f):
    return ((f["age_years"] >= 65) + moderate(f) + (f["stump_angio"] in BLUNT)
            + level("strategy_category", f["strategy_category"]))


# Catheter Cardiovasc Interv 2022;99:280-285, cut points of length and age from memory
def open_clean(f):
    length = 2 if f["length_angio_mm"] >= 60 else 1 if f["length_angio_mm"] >= 20 else 0
    age = 2 if f["age_years"] >= 70 else 1 if f["age_years"] >= 50 else 0
    return f["prior_cabg"] + length + (f["lvef_pct"] < 50) + age + (f["calcification_angio"] == "severe")


# J Am Coll Cardiol 2004;44:1393-1399
def kidney(f):
    egfr = f["egfr"]
    return (5 * f["hypotension"] + 5 * f["balloon_pump"] + 5 * f["heart_failure"] + 4 * (f["age_years"] > 75)
            + 3 * f["anaemia"] + 3 * (f["diabetes"] != "none") + max(0, math.floor(f["contrast_ml"] / 100))
            + (6 if egfr < 20 else 4 if egfr < 40 else 2 if egfr < 60 else 0))


# Odds ratios of the conference abstracts; intercepts from the published maxima of 2.42 % and 8.74 %.
def logistic(odds, factors):
    z = odds + sum(math.log(factor) for factor in factors)
    return 1 / (1 + math.exp(-z))


def death_risk(f):
    top = math.log(0.0242 / 0.9758) - sum(math.log(x) for x in (2.83, 2.13, 2.45, 3.51))
    return logistic(top, [2.83] * (f["age_years"] >= 65) + [2.13] * (f["lvef_pct"] <= 45) + [2.45] * moderate(f)
                    + {"antegrade": [], "dissection": [2.81], "retrograde": [3.51]}[f["strategy_category"]])


def pericardiocentesis_risk(f):
    top = math.log(0.0874 / 0.9126) - sum(math.log(x) for x in (2.10, 2.25, 3.28, 3.50))
    return logistic(top, [2.10] * (f["age_years"] >= 65) + [2.25] * (f["sex"] == "female") + [3.28] * moderate(f)
                    + {"antegrade": [], "dissection": [2.83], "retrograde": [3.50]}[f["strategy_category"]])


def progress_odds(f):
    return math.exp(0.88 * f["proximal_cap_ambiguous"] + 1.18 * (f["proximal_tortuosity"] in ("moderate", "severe"))
                    + 0.99 * (f["occluded_vessel"] == "LCX") + 0.88 * (not f["interventional_collateral"]))


def banded(*bands):
    """bands: (highest total, figure)."""
    return lambda total: next(figure for highest, figure in bands if total <= highest)


SCORES = {
    "j-cto": (j_cto, "stump_angio calcification_angio bend_angio_deg length_angio_mm previous_failed_attempts",
              banded((0, .88), (1, .67), (2, .42), (5, .10))),
    "progress-cto": (progress, "proximal_cap_ambiguous proximal_tortuosity occluded_vessel interventional_collateral",
                     progress_odds),
    "castle": (castle, "prior_cabg age_years stump_angio proximal_tortuosity length_angio_mm calcification_angio", None),
    "cl": (cl, "prior_cabg prior_mi calcification_angio length_angio_mm occluded_vessel stump_angio", None),
    "ora": (ora, "ostial rentrop age_years", None),
    "recharge": (recharge, "stump_angio calcification_angio bend_angio_deg length_angio_mm distal_landing_zone_diseased "
                 "graft_to_occluded_vessel", None),
    "w-cto": (w_cto, "stump_angio length_angio_mm calcification_angio tortuosity_weighted_score rentrop",
              banded((2, .98), (4, .742), (6.5, .425))),
    "b-cto": (b_cto, "age_years length_angio_mm sex occluded_vessel stump_angio bend_angio_deg",
              banded((1, .953), (3, .865), (5, .791), (11, .652))),
    "jr-cto": (jr_cto, "calcification_angio collateral_tortuous collateral_cc_grade collateral_channel", None),
    "j-cto-ct": (j_cto_ct, "stump_ct bend_ct_deg length_ct_mm calcium_ct_share previous_failed_attempts", None),
    "ct-rector": (ct_rector, "occlusion_count_ct stump_ct calcium_ct_share bend_ct_deg occlusion_duration_months "
                  "previous_failed_attempts", None),
    "kcct": (kcct, "stump_ct side_branch_at_cap bend_ct_deg length_ct_mm calcium_ct_share calcium_ct_full_lumen "
             "previous_failed_attempts occlusion_duration_months", None),
    "complications-2016": (complications, "age_years length_angio_mm strategy_category",
                           banded((2, .004), (4, .018), (6, .065))),
    "mace-2022": (mace, "age_years sex calcification_angio stump_angio strategy_category",
                  banded((1, .007), (2, .015), (3, .022), (4, .038), (5, .049), (7, .058))),
    "death-2022": (death, "age_years lvef_pct calcification_angio strategy_category", death_risk),
    "pericardiocentesis-2022": (pericardiocentesis, "age_years sex calcification_angio strategy_category",
                                pericardiocentesis_risk),
    "mi-2022": (infarction, "prior_cabg atrial_fibrillation stump_angio", None),
    "perforation-2023": (perforation, "age_years calcification_angio stump_angio strategy_category", None),
    "open-clean": (open_clean, "prior_cabg length_angio_mm lvef_pct age_years calcification_angio", None),
    "ca-aki-2004": (kidney, "hypotension balloon_pump heart_failure age_years anaemia diabetes contrast_ml egfr", None)}
OF_FACTS = {progress_odds, death_risk, pericardiocentesis_risk}  # figures of the facts themselves, not of the total


def belief(rng, fact):
    """A random belief, or None for a fact that nobody looked at."""
    if rng.random() < 0.2:
        return None
    sure = rng.random() < 0.5
    if fact in FLAGS:
        return rng.random() < 0.5 if sure else round(rng.random(), 3)
    if fact in GRADES:
        words = GRADES[fact] + (["unseen"] if fact in MAY_BE_UNSEEN else [])
        if sure:
            return rng.choice(words)
        odds = [rng.randrange(0, 10) for _ in words]
        odds[rng.randrange(len(words))] += 1
        return {word: n / sum(odds) for word, n in zip(words, odds) if n}
    whole = fact in ("age_years", "previous_failed_attempts", "occlusion_count_ct")
    scale = {"calcium_ct_share": 0.01}.get(fact, 1)
    at = rng.choice(CUTS[fact][:12]) + rng.choice([-7, -3, -1, 0, 0, 1, 3, 7]) * scale
    at = min(max(at, 0), {"calcium_ct_share": 1, "previous_failed_attempts": 3, "occlusion_count_ct": 4}.get(fact, 1000))
    if fact == "occlusion_duration_months" and rng.random() < 0.2:
        return "not determinable"
    if sure or whole:
        return int(at) if whole or at == int(at) else at
    return {"value": at, "sd": rng.choice([0.5, 2, 5]) * scale}


def normal_below(x, mean, sd):
    return 0.5 * math.erfc((mean - x) / (sd * math.sqrt(2)))


def alternatives(score, fact, known):
    """Every way the belief may turn out: a list of laws, each a list of (value, probability)."""
    if fact in FLAGS:
        if known is None:
            return [[(False, 1.0)], [(True, 1.0)]]
        yes = float(known)
        return [[(True, yes), (False, 1 - yes)]]
    if fact in GRADES:
        takes_unseen = score == "castle" and fact in ("stump_angio", "proximal_tortuosity")
        odds = {known: 1.0} if isinstance(known, str) else (known or {"unseen": 1.0})
        if known is None and takes_unseen:
            return [[(word, 1.0)] for word in GRADES[fact]]
        if takes_unseen or "unseen" not in odds:
            return [list(odds.items())]
        sure = [(word, p) for word, p in odds.items() if word != "unseen"]
        return [sure + [(word, odds["unseen"])] for word in GRADES[fact]]
    if known == "not determinable":
        return [[("nd", 1.0)]]
    if known is None:
        return [[(value, 1.0)] for value in ANY[fact]]
    if isinstance(known, dict):
        cuts = CUTS[fact]
        edges = [-math.inf] + cuts + [math.inf]
        middles = [cuts[0] - 1] + [(a + b) / 2 for a, b in zip(cuts, cuts[1:])] + [cuts[-1] + 1]
        below = [0.0] + [normal_below(c, known["value"], known["sd"]) for c in cuts] + [1.0]
        return [[(m, below[i + 1] - below[i]) for i, m in enumerate(middles) if edges[i] < edges[i + 1]]]
    if score == "j-cto" and fact == "length_angio_mm" and known == 20:
        return [[(19.9, 1.0)], [(20.1, 1.0)]]
    return [[(known, 1.0)]]


def expected(score, facts):
    points, names, figure = SCORES[score]
    names = names.split()
    full = facts.get("calcium_ct_full_lumen")
    reads = list(names)
    laws = {name: alternatives(score, name, facts.get(name)) for name in names}
    if "calcium_ct_share" in names and "calcium_ct_full_lumen" not in names and full is not None:
        reads.append("calcium_ct_full_lumen")
        laws["calcium_ct_full_lumen"] = alternatives(score, "calcium_ct_full_lumen", full)
    if math.prod(len(law) for one in laws.values() for law in one) > 60000:
        return None
    missing = [name for name in names if len(laws[name]) > 1]
    if full is not None and float(full) == 1.0 and "calcium_ct_share" in missing:
        missing.remove("calcium_ct_share")
    reachable, figures, totals = set(), [], {}
    for chosen in itertools.product(*(laws[name] for name in reads)):
        law, mean = {}, 0.0
        for cells in itertools.product(*chosen):
            p = math.prod(cell[1] for cell in cells)
            if p == 0:
                continue
            given = dict(zip(reads, (cell[0] for cell in cells)))
            if given.get("calcium_ct_full_lumen"):
                given["calcium_ct_share"] = 1.0
            total = float(points(given))
            law[total] = law.get(total, 0.0) + p
            if figure:
                mean += p * (figure(given) if figure in OF_FACTS else figure(total))
        reachable |= {total for total, p in law.items() if p > 1e-9}
        figures.append(mean)
        totals = law
    answer = {"low": min(reachable), "high": max(reachable), "reachable": sorted(reachable), "missing": sorted(missing)}
    if not missing:
        answer["totals"] = {f"{total:g}": p for total, p in totals.items() if p > 1e-9}
    if figure:
        answer["figure"] = [min(figures), max(figures)]
    return answer


def main():
    seed, count = int(sys.argv[1]), int(sys.argv[2])
    rng = random.Random(seed)
    cases, left_out = [], 0
    every = sorted({name for _, names, _ in SCORES.values() for name in names.split()})
    for _ in range(count):
        facts = {name: value for name in every if (value := belief(rng, name)) is not None}
        answers = {}
        for score in SCORES:
            if score == "cl" and facts.get("previous_failed_attempts", 0) >= 1:
                answers[score] = "does not apply"
            elif score == "pericardiocentesis-2022" and facts.get("prior_cabg") in (True, 1.0):
                answers[score] = "does not apply"
            else:
                answers[score] = expected(score, facts)
                left_out += answers[score] is None
        cases.append({"facts": facts, "answers": answers})
    print(json.dumps({"cases": cases, "left_out": left_out}))


if __name__ == "__main__":
    main()
