#!/usr/bin/env python3
"""Plans of invented models, found the plain way and compared with the program's: every order of every subset of the
strategies, every whole number of minutes. Only the definitions are shared with the program, none of its code: the
crossing laws come from SciPy's distributions (gamma mixed: the Lomax law), the integrals from its quadrature.

usage: enumerate_plans.py PROGRAM"""
import itertools
import json
import math
import random
import subprocess
import sys
import tempfile

from scipy import integrate, stats

LAWS = {
    "exponential": lambda s: stats.expon(scale=s["mean_min"]),
    "weibull": lambda s: stats.weibull_min(s["shape"], scale=s["scale_min"]),
    "gamma_mixed": lambda s: stats.lomax(s["shape"], scale=s["scale_min"]),
}


def block_odds(model, strategy, can, minutes):
    """(cross, complication, go on, expected minutes) of set-up and work, from alive; crossing and complication compete."""
    law, hazard = LAWS[strategy["law"]](strategy), strategy["complication_per_min"]
    setup, before = strategy["setup_min"], model["setup_complication_per_min"]
    through = math.exp(-before * setup)
    waiting = setup if before == 0 else (1 - through) / before
    stay = lambda t: ((1 - can) + can * law.sf(t)) * math.exp(-hazard * t)
    cross = can * integrate.quad(lambda t: law.pdf(t) * math.exp(-hazard * t), 0, minutes, epsabs=1e-12, limit=200)[0]
    work = integrate.quad(stay, 0, minutes, epsabs=1e-12, limit=200)[0]
    return through * cross, 1 - through * (cross + stay(minutes)), through * stay(minutes), waiting + through * work


def best_plan(model):
    horizon = int(model["budget"]["minutes"])
    kinds = model["strategies"]
    classes = model.get("classes") or [{"weight": 1.0, "can": {}}]
    table = {}
    for k, s in enumerate(kinds):
        for c, one in enumerate(classes):
            can = one["can"].get(s["id"], s["can"])
            for minutes in range(1, horizon + 1):
                if s["setup_min"] + minutes <= horizon:
                    table[k, c, minutes] = block_odds(model, s, can, minutes)
    aim, best = model["objective"], (0.0, ())

    def extend(plan, left, used, alive, value):
        nonlocal best
        if value > best[0] + 1e-12:
            best = (value, tuple(plan))
        for k in left:
            for minutes in range(1, horizon + 1):
                taken = kinds[k]["setup_min"] + minutes
                if used + taken > horizon:
                    break
                gain, after = 0.0, []
                for c, chance in enumerate(alive):
                    cross, complication, stay, time = table[k, c, minutes]
                    gain += chance * (cross - aim["complication_weight"] * complication - aim["minute_cost"] * time)
                    after.append(chance * stay)
                extend(plan + [(kinds[k]["id"], minutes)], left - {k}, used + taken, after, value + gain)

    extend([], frozenset(range(len(kinds))), 0, [one["weight"] for one in classes], 0.0)
    return best


def invented(rng, law, classes):
    def strategy(name):
        one = {"id": name, "can": round(rng.uniform(0.2, 0.9), 3), "law": law,
               "complication_per_min": round(rng.uniform(0, 0.002), 5), "setup_min": rng.choice([0, 3, 6])}
        if law == "exponential":
            return one | {"mean_min": round(rng.uniform(5, 20), 2)}
        return one | {"shape": round(rng.uniform(0.8, 2.5), 2), "scale_min": round(rng.uniform(8, 30), 2)}

    model = {"strategies": [strategy(name) for name in ("A", "B", "C")], "setup_complication_per_min": 0.0002,
             "budget": {"minutes": 24}, "objective": {"complication_weight": rng.choice([0, 1, 5]), "minute_cost": rng.choice([0, 0.001])}}
    if classes:
        model["classes"] = [{"weight": w, "can": {n: round(rng.uniform(0.1, 0.95), 3) for n in "ABC"}} for w in (0.6, 0.4)]
    return model


def main(program):
    rng, faults, checked = random.Random(20261125), 0, 0
    for law, classes in itertools.product(LAWS, (False, True)):
        for _ in range(3):
            model = invented(rng, law, classes)
            with tempfile.NamedTemporaryFile("w", suffix=".json") as file:
                json.dump(model, file)
                file.flush()
                told = json.loads(subprocess.run([program, "ladder", "--model", file.name, "--json"], capture_output=True, check=True, text=True).stdout)
            utility, plan = best_plan(model)
            mine = tuple((rung["id"], rung["minutes"]) for rung in told["plan"])
            checked += 1
            if abs(utility - told["utility"]) > 1e-8 or not told["proven"]:
                faults += 1
                print(f"{law}, {'two classes' if classes else 'one class'}: enumeration {plan} {utility:.10f}, program {mine} {told['utility']:.10f}")
    print(f"{checked} models compared with enumeration, {faults} fault(s)")
    return 1 if faults or not checked else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
