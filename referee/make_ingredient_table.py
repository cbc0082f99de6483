"""Writes the ingredient tables that carry numbers of USDA SR28, with this project's own columns.

Public inputs, as paths: three flat extracts of the National Nutrient Database for Standard
Reference, Release 28 (FOOD_DES, NUT_DATA, WEIGHT), one row a food, an amino-acid row a food
and one row a household measure:
  foods.csv      ndb_no, description, water_g ... kcal_per_g_carb
  amino.csv      ndb_no, aspartic_g, glutamic_g, histidine_g, lysine_g
  measures.csv   ndb_no, amount, measure, gram_weight

    python3 make_ingredient_table.py foods.csv amino.csv measures.csv OUT_FOLDER

Trade names, kinds, allergens, acids and pH are hand-kept tables and are not touched.
"""

import csv
import os
import re
import sys

COLUMNS = {
    "entry": "ndb_no", "food": "description", "water": "water_g", "protein": "protein_g",
    "fat": "fat_g", "carbohydrate": "carbohydrate_g", "fibre": "fibre_g",
    "sugars": "sugars_total_g", "sucrose": "sucrose_g", "glucose": "glucose_g",
    "fructose": "fructose_g", "lactose": "lactose_g", "maltose": "maltose_g",
    "galactose": "galactose_g", "starch": "starch_g", "ash": "ash_g", "alcohol": "alcohol_g",
    "energy_kcal": "energy_kcal", "calcium_mg": "calcium_mg", "iron_mg": "iron_mg",
    "magnesium_mg": "magnesium_mg", "phosphorus_mg": "phosphorus_mg",
    "potassium_mg": "potassium_mg", "sodium_mg": "sodium_mg", "vitamin_c_mg": "vit_c_mg",
    "vitamin_d_ug": "vit_d_ug", "saturated_fat": "sat_fat_g", "trans_fat": "trans_fat_g",
    "monounsaturated_fat": "mono_fat_g", "polyunsaturated_fat": "poly_fat_g",
    "cholesterol_mg": "cholesterol_mg", "kcal_g_protein": "kcal_per_g_protein",
    "kcal_g_fat": "kcal_per_g_fat", "kcal_g_carbohydrate": "kcal_per_g_carb",
    "refuse_pct": "refuse_pct", "refuse": "refuse_desc",
}
# UCUM 2.2, US customary, mL.
VOLUMES = {
    "cup": 236.5882365, "tbsp": 14.78676478125, "tablespoon": 14.78676478125,
    "tsp": 4.92892159375, "fl oz": 29.5735295625, "pint": 473.176473, "quart": 946.352946,
    "liter": 1000.0,
}
PIECES = (
    "extra large jumbo large medium small fruit head clove cloves stalk bulb root pepper ear "
    "egg slice wedge stick leaf leaves sprigs spear pod onion leek beet cucumber tomato apricot "
    "half cherry berry berries raspberries grapes raisins fig prune date anchovy anchovies "
    "envelope packet package floweret pomegranate melon olive avocado chip kernel nuts almond "
    "coconut lemon lime strip pods beans bunch piece square"
).split()
SAME = {
    "cloves": "clove", "leaves": "leaf", "sprigs": "sprig", "berries": "berry",
    "raspberries": "berry", "grapes": "grape", "raisins": "raisin", "anchovies": "anchovy",
    "nuts": "nut", "pods": "pod", "beans": "bean", "lemon": "fruit", "lime": "fruit",
    "apricot": "fruit", "fig": "fruit", "prune": "fruit", "date": "fruit",
    "pomegranate": "fruit", "avocado": "fruit", "onion": "medium", "cucumber": "whole",
}
SIZES = ("extra large", "jumbo", "large", "medium", "small")
SKIP = ("whipped", "as purchased", "serving", "thawed", "peeled (yield", "with pits", "in shell", "branded")


def tidy(number):
    text = number.strip()
    if not text:
        return ""
    return f"{float(text):g}"


def form_of(measure, unit):
    """What is left of a volume measure without its unit: how the food lay in the cup."""
    rest = re.sub(r"\(.*?\)", "", measure[len(unit):])
    return " ".join(rest.replace(",", " ").split()).lower()


def piece_of(measure):
    """The word for one piece, size first, or nothing."""
    plain = re.sub(r"\(.*?\)|\(.*$", "", measure).lower().replace(" yields", "")
    plain = plain.replace("without refuse", "").replace("pitted", "").replace("unpeeled", "")
    words = [word for word in re.split(r"[ ,]+", plain) if word and word not in ("whole", "approx")]
    size = next((size for size in SIZES if " ".join(words).find(size) >= 0), "")
    rest = [word for word in words if word not in ("extra", "large", "jumbo", "medium", "small")]
    if not rest:
        return size
    if rest[0] not in PIECES or len(rest) > 1:
        return ""
    noun = SAME.get(rest[0], rest[0])
    return f"{size} {noun}".strip()


def main(foods_path, amino_path, measures_path, out):
    foods = list(csv.DictReader(open(foods_path, newline="", encoding="utf-8")))
    for subject in ("composition", "amino_acids", "density", "pieces"):
        os.makedirs(f"{out}/{subject}", exist_ok=True)
    text = {"ndb_no", "description", "refuse_desc"}
    with open(f"{out}/composition/usda_sr28.csv", "w", newline="", encoding="utf-8") as file:
        table = csv.writer(file, lineterminator="\n")
        table.writerow(COLUMNS)
        for food in foods:
            table.writerow(food[c] if c in text else tidy(food[c]) for c in COLUMNS.values())

    with open(f"{out}/amino_acids/usda_sr28.csv", "w", newline="", encoding="utf-8") as file:
        table = csv.writer(file, lineterminator="\n")
        names = ("aspartic_g", "glutamic_g", "histidine_g", "lysine_g")
        table.writerow(("entry", *names))
        for food in csv.DictReader(open(amino_path, newline="", encoding="utf-8")):
            if all(food[name] for name in names):
                table.writerow((food["ndb_no"], *(tidy(food[name]) for name in names)))

    densities, pieces = {}, {}
    for row in csv.DictReader(open(measures_path, newline="", encoding="utf-8")):
        measure, grams = row["measure"], float(row["gram_weight"]) / float(row["amount"])
        if any(word in measure for word in SKIP):
            continue
        unit = next((u for u in VOLUMES if re.match(rf"{u}(?![a-z])", measure)), None)
        if unit:
            key = (row["ndb_no"], form_of(measure, unit))
            densities.setdefault(key, []).append((unit, grams / VOLUMES[unit]))
        elif word := piece_of(measure):
            pieces.setdefault((row["ndb_no"], word), grams)

    with open(f"{out}/density/usda_sr28.csv", "w", newline="", encoding="utf-8") as file:
        table = csv.writer(file, lineterminator="\n")
        table.writerow(("entry", "form", "value", "low", "high", "place"))
        for (ndb, form), found in densities.items():
            # A spoon's weight is printed to fewer digits than a cup's.
            big = [g for unit, g in found if unit not in ("tbsp", "tablespoon", "tsp")]
            spread = big or [g for _, g in found]
            value = spread[0]
            units = ", ".join(dict.fromkeys(unit for unit, _ in found))
            table.writerow((ndb, form, f"{value:.4f}", f"{min(spread):.4f}", f"{max(spread):.4f}", units))

    with open(f"{out}/pieces/usda_sr28.csv", "w", newline="", encoding="utf-8") as file:
        table = csv.writer(file, lineterminator="\n")
        table.writerow(("entry", "word", "g"))
        for (ndb, word), grams in pieces.items():
            table.writerow((ndb, word, f"{grams:g}"))


if __name__ == "__main__":
    if len(sys.argv) != 5:
        sys.exit(__doc__)
    main(*sys.argv[1:])
