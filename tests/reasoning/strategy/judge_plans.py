#!/usr/bin/env python3
"""Plans of hostile invented models, found the plain way and by simulation, and compared with the program's. Beside
enumerate_plans.py, which covers ordinary ones: chances of 0 and 1, budgets of nothing, three budgets at once with set-up
costs, a value of stopping, one strategy, eight strategies. Only the definitions are shared with the program; the integrals
here are sums over a fine grid of the survival itself, and the simulation draws times by inversion.

usage: judge_plans.py PROGRAM [MODELS]"""
import json
import math
import random
import subprocess
import sys
import tempfile
import time

KINDS = ("minutes", "contrast_ml", "kerma_mgy")


def survival(s, t):
    if s["law"] == "exponential":
        return math.exp(-t / s["mean_min"])
    if s["law"] == "weibull":
        return math.exp(-((t / s["scale_min"]) ** s["shape"]))
    return (1 + t / s["scale_min"]) ** -s["shape"]


def draw(s, rng):  # a time of crossing, given that it can
    u = 1 - rng.random()
    if s["law"] == "exponential":
        return -s["mean_min"] * math.log(u)
    if s["law"] == "weibull":
        return s["scale_min"] * (-math.log(u)) ** (1 / s["shape"])
    return s["scale_min"] * (u ** (-1 / s["shape"]) - 1)


def simpson(f, a, b, pieces):
    h = (b - a) / pieces
    return h / 3 * sum((1 if i in (0, pieces) else 4 if i % 2 else 2) * f(a + i * h) for i in range(pieces + 1))


def table_of(model, k, can, horizon):
    """Per whole minute of work of strategy k: (crossed, complicated, goes on, minutes), all from alive before set-up."""
    s = model["strategies"][k]
    h, h0, setup = s["complication_per_min"], model["setup_complication_per_min"], s["setup_min"]
    through = math.exp(-h0 * setup)
    waited = setup if h0 == 0 else (1 - through) / h0
    rows, cross_sum, alive_sum = [], 0.0, 0.0
    for minute in range(1, horizon + 1):
        a = minute - 1
        # int f e^{-hu} = [-S e^{-hu}] - h int S e^{-hu}; the first minute by a substitution u = x^2, S may be steep at 0
        if a == 0:
            area = simpson(lambda x: 2 * x * survival(s, x * x) * math.exp(-h * x * x), 0, 1, 400)
            stay = simpson(lambda x: 2 * x * math.exp(-h * x * x), 0, 1, 400)
        else:
            area = simpson(lambda u: survival(s, u) * math.exp(-h * u), a, minute, 24)
            stay = simpson(lambda u: math.exp(-h * u), a, minute, 24)
        cross_sum += survival(s, a) * math.exp(-h * a) - survival(s, minute) * math.exp(-h * minute) - h * area
        alive_sum += (1 - can) * stay + can * area
        go_on = ((1 - can) + can * survival(s, minute)) * math.exp(-h * minute)
        cross = can * cross_sum
        rows.append((through * cross, 1 - through * (cross + go_on), through * go_on, waited + through * alive_sum))
    return rows


def classes_of(model):
    return model.get("classes") or [{"weight": 1.0, "can": {}}]


def worth(model, tables, plan):
    aim, total = model["objective"], 0.0
    for c, one in enumerate(classes_of(model)):
        alive, value = one["weight"], 0.0
        for k, minutes in plan:
            cross, complication, stay, spent = tables[c][k][minutes - 1]
            value += alive * (cross - aim["complication_weight"] * complication - aim["minute_cost"] * spent)
            alive *= stay
        total += value + alive * aim["stop_value"]
    return total


def takes(model, k, minutes):
    s = model["strategies"][k]
    return (s["setup_min"] + minutes, s["setup_contrast_ml"] + minutes * s["contrast_ml_per_min"], s["setup_kerma_mgy"] + minutes * s["kerma_mgy_per_min"])


def fits(model, plan):
    used = [sum(t) for t in zip(*(takes(model, k, m) for k, m in plan))] or [0, 0, 0]
    return all(name not in model["budget"] or u <= model["budget"][name] + 1e-9 for name, u in zip(KINDS, used))


def enumerate_best(model, tables, horizon):
    best = (worth(model, tables, []), ())

    def extend(plan, left):
        nonlocal best
        for k in left:
            for minutes in range(1, horizon + 1):
                longer = plan + [(k, minutes)]
                if not fits(model, longer):
                    break
                value = worth(model, tables, longer)
                if value > best[0] + 1e-12:
                    best = (value, tuple(longer))
                extend(longer, left - {k})

    extend([], frozenset(range(len(model["strategies"]))))
    return best


def invented(rng, many, horizon, hostile):
    def strategy(i):
        law = rng.choice(["exponential", "weibull", "gamma_mixed"])
        can = rng.choice([0.0, 1.0]) if hostile and rng.random() < 0.5 else round(rng.uniform(0.05, 0.95), 3)
        one = {"id": "S%d" % i, "can": can, "law": law, "complication_per_min": rng.choice([0.0, round(rng.uniform(0, 0.004), 5)]),
               "setup_min": rng.choice([0, 2, 5]), "contrast_ml_per_min": rng.choice([0, 0.5, 1.4, 3]), "kerma_mgy_per_min": rng.choice([0, 10, 25]),
               "setup_contrast_ml": rng.choice([0, 0, 8]), "setup_kerma_mgy": rng.choice([0, 0, 60])}
        if law == "exponential":
            return one | {"mean_min": round(rng.uniform(3, 25), 2)}
        return one | {"shape": round(rng.uniform(0.6, 3), 2), "scale_min": round(rng.uniform(5, 30), 2)}

    model = {"strategies": [strategy(i) for i in range(many)], "setup_complication_per_min": rng.choice([0.0, 0.0005]),
             "budget": {"minutes": rng.choice([0, 1, horizon]) if hostile else horizon},
             "objective": {"complication_weight": rng.choice([0, 1, 5]), "minute_cost": rng.choice([0, 0.001]), "stop_value": rng.choice([0, 0.1, 0.4])}}
    if rng.random() < 0.7:
        model["budget"]["contrast_ml"] = 0 if hostile and rng.random() < 0.2 else round(rng.uniform(5, 60), 1)
    if rng.random() < 0.7:
        model["budget"]["kerma_mgy"] = 0 if hostile and rng.random() < 0.2 else round(rng.uniform(60, 600), 0)
    if rng.random() < 0.5:
        model["classes"] = [{"weight": w, "can": {s["id"]: rng.choice([0.0, 1.0, round(rng.random(), 3)]) for s in model["strategies"]}} for w in (0.7, 0.3)]
    return model


def asked(program, model):
    with tempfile.NamedTemporaryFile("w", suffix=".json") as file:
        json.dump(model, file)
        file.flush()
        began = time.monotonic()
        done = subprocess.run([program, "ladder", "--model", file.name, "--json"], capture_output=True, text=True)
        took = time.monotonic() - began
        if done.returncode != 0:
            return None, done.stderr.strip(), took
        return json.loads(done.stdout), "", took


def tables_of(model, horizon):
    return [[table_of(model, k, one["can"].get(s["id"], s["can"]), horizon) for k, s in enumerate(model["strategies"])] for one in classes_of(model)]


def simulated(model, plan, rng, many):
    aim, total, square = model["objective"], 0.0, 0.0
    weights = [one["weight"] for one in classes_of(model)]
    for _ in range(many):
        one = rng.choices(classes_of(model), weights)[0]
        value, clock, done = 0.0, 0.0, False
        for k, minutes in plan:
            s = model["strategies"][k]
            h0, h = model["setup_complication_per_min"], s["complication_per_min"]
            harm = rng.expovariate(h0) if h0 > 0 else math.inf
            if harm < s["setup_min"]:
                value, clock, done = -aim["complication_weight"], clock + harm, True
                break
            clock += s["setup_min"]
            harm = rng.expovariate(h) if h > 0 else math.inf
            across = draw(s, rng) if rng.random() < one["can"].get(s["id"], s["can"]) else math.inf
            first = min(harm, across, minutes)
            clock += first
            if first == minutes:
                continue
            value, done = (1.0 if across < harm else -aim["complication_weight"]), True
            break
        if not done:
            value = aim["stop_value"]
        value -= aim["minute_cost"] * clock
        total, square = total + value, square + value * value
    mean = total / many
    return mean, math.sqrt(max(square / many - mean * mean, 1e-12) / many)


def main(program, models):
    rng, faults, checked = random.Random(41), [], 0
    for i in range(models):  # against enumeration
        many, horizon = (1, 40) if i % 4 == 0 else (2, 20) if i % 4 < 3 else (3, 13)
        model = invented(rng, many, horizon, hostile=i % 2 == 0)
        told, said, _ = asked(program, model)
        if told is None:
            faults.append("refused: " + said)
            continue
        tables = tables_of(model, horizon)
        best, plan = enumerate_best(model, tables, horizon)
        mine = [([s["id"] for s in model["strategies"]].index(rung["id"]), rung["minutes"]) for rung in told["plan"]]
        checked += 1
        if abs(best - told["utility"]) > 1e-6 or abs(worth(model, tables, mine) - told["utility"]) > 1e-6 or not fits(model, mine):
            faults.append("enumeration %s %.8f, program %s %.8f (%.8f here): %s" % (plan, best, mine, told["utility"], worth(model, tables, mine), json.dumps(model)))
    longest = 0.0
    for i in range(max(2, models // 12)):  # eight strategies: never worse than a random policy, and as simulated
        model = invented(rng, 8, 90, hostile=False)
        model["budget"] = {"minutes": 90, "contrast_ml": 120, "kerma_mgy": 1900}
        told, said, took = asked(program, model)
        longest = max(longest, took)
        if told is None:
            faults.append("refused: " + said)
            continue
        tables = tables_of(model, 90)
        mine = [([s["id"] for s in model["strategies"]].index(rung["id"]), rung["minutes"]) for rung in told["plan"]]
        checked += 1
        if not fits(model, mine) or abs(worth(model, tables, mine) - told["utility"]) > 1e-6:
            faults.append("eight: the plan is not worth what it says: %s" % json.dumps(model))
        mean, error = simulated(model, mine, rng, 20000)
        if abs(mean - told["utility"]) > 4.5 * error:
            faults.append("eight: simulated %.5f ± %.5f, said %.5f" % (mean, error, told["utility"]))
        for _ in range(4000):
            order = rng.sample(range(8), rng.randint(1, 8))
            other = []
            for k in order:
                longer = other + [(k, rng.randint(1, 60))]
                if fits(model, longer):
                    other = longer
            if worth(model, tables, other) > told["utility"] + told.get("gap", 0.0) + 1e-9:
                faults.append("eight: %s is better than %s: %s" % (other, mine, json.dumps(model)))
                break
    print("%d models judged, %d fault(s); eight strategies took %.2f s at most, the program's start included" % (checked, len(faults), longest))
    for fault in faults[:10]:
        print(fault)
    return 1 if faults or not checked else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], int(sys.argv[2]) if len(sys.argv) > 2 else 24))
