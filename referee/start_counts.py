"""Least starts for a 95 % chance of enough good jars, by scipy.

    python3 start_counts.py > start_counts.csv

Independent jars: scipy.stats.binom. Jars of one load sharing their luck: each load a
scipy.stats.betabinom, loads convolved by numpy.
"""

import numpy as np
from scipy.stats import betabinom, binom

ALONE = [(60, 0.05), (48, 0.07), (12, 0.02), (200, 0.05), (24, 0.14), (100, 0.03)]
SHARED = [(48, 0.07, 0.15, 12), (60, 0.05, 0.10, 12), (24, 0.14, 0.30, 8), (30, 0.03, 0.05, 7)]


def alone(n, k, failure):
    return binom.sf(k - 1, n, 1 - failure)


def shared(n, k, failure, correlation, load):
    strength = 1 / correlation - 1
    a, b = (1 - failure) * strength, failure * strength
    total = np.ones(1)
    for size in [load] * (n // load) + ([n % load] if n % load else []):
        total = np.convolve(total, betabinom.pmf(np.arange(size + 1), size, a, b))
    return total[k:].sum()


def least(k, chance):
    return next(n for n in range(k, 4 * k) if chance(n) >= 0.95)


print("ordered,failure,correlation,load,started,chance,chance_of_one_less")
for k, f in ALONE:
    n = least(k, lambda n: alone(n, k, f))
    print(f"{k},{f},0,0,{n},{alone(n, k, f):.9f},{alone(n - 1, k, f):.9f}")
for k, f, r, load in SHARED:
    n = least(k, lambda n: shared(n, k, f, r, load))
    print(f"{k},{f},{r},{load},{n},{shared(n, k, f, r, load):.9f},{shared(n - 1, k, f, r, load):.9f}")
