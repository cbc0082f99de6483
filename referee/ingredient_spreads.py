"""Spreads of ingredients from tables that the project carries, by ordinary statistics.

    python3 ingredient_spreads.py DATA_FOLDER > ingredient_spreads.csv

DATA_FOLDER is crates/jarwright-reference/data. Dry matter and sugar of Belitz, Grosch and
Schieberle, Table 18.3, and free acid as quoted from Blyth stand below; deviations of juices are
those of penniston_2008 and chokeberry_2015.
"""

import csv
import glob
import math
import statistics
import sys
from collections import defaultdict

# ingredient: dry matter, total sugar, titratable acid [g/100 g], Table 18.3.
BELITZ = {
    "apples": (16.0, 11.1, 0.6), "pears": (17.5, 12.4, 0.2), "apricots": (14.7, 8.5, 1.4),
    "cherries, sour": (14.7, 9.9, 1.8), "cherries, sweet": (17.2, 13.3, 1.0),
    "peaches": (12.9, 8.5, 0.6), "plums": (16.3, 10.2, 1.5), "blackberries": (15.3, 6.2, 1.7),
    "strawberries": (10.2, 5.7, 1.1), "redcurrants": (15.3, 4.8, 2.3),
    "blackcurrants": (18.7, 6.3, 2.6), "raspberries": (15.5, 4.5, 2.1), "grapes": (18.9, 15.2, 0.9),
    "oranges": (14.3, 8.3, 1.1), "grapefruit": (11.4, 7.4, 1.5), "lemons": (9.8, 3.2, 4.9),
    "pineapple": (15.4, 12.3, 0.7), "bananas": (26.4, 20.0, 0.6), "guavas": (17.0, 5.8, 0.9),
    "mangoes": (19.0, 12.5, 0.3), "papaya": (11.0, 7.1, 0.1),
}
BLYTH = {
    "pears": 0.2, "grapes": 0.79, "apples": 0.84, "plums": 0.85, "cherries, sweet": 0.91,
    "peaches": 0.92, "strawberries": 0.93, "apricots": 1.16, "blackberries": 1.19,
    "raspberries": 1.38, "redcurrants": 2.15,
}
CHOKEBERRY = [0.67, 0.29, 0.85, 1.13, 1.06, 1.26, 0.87, 1.32, 0.84, 1.30, 0.97]
PENNISTON = [3.82 / 48.0, 6.86 / 45.86, 1.98 / 9.10]
Z95 = 1.645


def number(text):
    return float(text) if text else None


def rms(values):
    return math.sqrt(sum(x * x for x in values) / len(values))


def row(of, column, low, value, high, points):
    print(f"{of},{column},{low:.3f},{value:.3f},{high:.3f},{points}")


def ratio(of, column, logs):
    row(of, column, math.exp(-Z95 * rms(logs)), 1.0, math.exp(Z95 * rms(logs)), len(logs))


def percentile(values, share):
    return sorted(values)[round((len(values) - 1) * share)]


def shares(of, column, values):
    if len(values) >= 4:
        row(of, column, *(percentile(values, p) for p in (0.05, 0.5, 0.95)), len(values))


def main(folder):
    foods = {r["entry"]: r for r in csv.DictReader(open(f"{folder}/composition/usda_sr28.csv"))}
    names = list(csv.DictReader(open(f"{folder}/ingredients/names.csv")))
    of_name = {n["name"]: n for n in names}
    acid = defaultdict(float)
    for path in glob.glob(f"{folder}/acids/*.csv"):
        for r in csv.DictReader(open(path)):
            acid[r["ingredient"]] += float(r["value"])

    print("of,column,low,value,high,points")
    solids, sugars, acids = [], [], []
    for name, (dry, sugar, sour) in BELITZ.items():
        food = foods[of_name[name]["entry"]]
        ours = 100 - float(food["water"])
        solids.append(math.log(ours / (100 - ours) / (dry / (100 - dry))))
        if food["sugars"]:
            hidden = sour if of_name[name]["acids_in"] == "sugars" else 0
            sugars.append(math.log((float(food["sugars"]) - hidden) / ours / (sugar / dry)))
        if name in BLYTH:
            acids.append(math.log(BLYTH[name] / sour))
    ratio("acid fruit", "solids", solids)
    ratio("acid fruit", "sugars", sugars)
    ratio("acid fruit", "acid", acids)
    pooled = rms(PENNISTON + [statistics.stdev(CHOKEBERRY) / statistics.mean(CHOKEBERRY)])
    ratio("acid juice", "acid", [pooled])

    for kind in sorted({n["kind"] for n in names}):
        part, with_fibre, hexose = [], [], []
        for n in names:
            food = foods.get(n["entry"])
            if n["kind"] != kind or food is None:
                continue
            carbohydrate, sugar = number(food["carbohydrate"]), number(food["sugars"])
            if sugar is not None and carbohydrate > 0.5 and n["acids_in"] == "carbohydrate":
                rest = carbohydrate - acid[n["name"]]
                if food["fibre"] and rest - float(food["fibre"]) > 0.3:
                    part.append(min(1, sugar / (rest - float(food["fibre"]))))
                with_fibre.append(min(1, sugar / rest))
            each = [number(food[s]) for s in
                    ("sucrose", "glucose", "fructose", "galactose", "lactose", "maltose")]
            if any(g is not None for g in each):
                each = [g or 0 for g in each]
                if sum(each) > 0.5:
                    hexose.append(sum(each[1:4]) / sum(each))
        shares(kind, "sugars_share", part)
        shares(kind, "sugars_share_with_fibre", with_fibre)
        shares(kind, "hexose_share", hexose)


if __name__ == "__main__":
    main(sys.argv[1])
