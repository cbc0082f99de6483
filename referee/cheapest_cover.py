"""Least price of whole packs that cover a need, by scipy's mixed-integer solver.

    python3 cheapest_cover.py > cheapest_cover.csv
"""

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

# Packs as (g, price); needs in g.
OFFERS = {
    "three": [(250, 1.10), (1000, 3.20), (2500, 8.50)],
    "odd": [(454, 4.80), (907, 9.10), (113, 1.45)],
    "bulk dear": [(10000, 13.90), (2000, 2.70), (500, 0.85)],
    "many": [(946, 6.20), (355, 2.65), (118, 1.15), (3785, 23.40)],
}
NEEDS = [90, 250, 1400, 2680, 3873, 7872, 12345]

print("offers,need_g,price")
for name, packs in OFFERS.items():
    grams, prices = (np.array(column, float) for column in zip(*packs))
    for need in NEEDS:
        answer = milp(prices, constraints=LinearConstraint(grams, lb=need), integrality=np.ones(len(packs)), bounds=Bounds(0, 1000))
        print(f"{name},{need},{answer.fun:.2f}")
