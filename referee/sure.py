"""Even points, sensitivity indices and counted shares, by scipy and SALib.

    python3 sure.py > sure.csv

Points: scipy.stats.qmc.Sobol, unscrambled, 24 dimensions, points 0 to 15 (its direction numbers are
those of Joe and Kuo; its order is the Gray code's). Shares: scipy.stats.binomtest(...).proportion_ci
("exact"). Places of a percentile: scipy.stats.binom. Indices: SALib's saltelli estimator at 2**17 rows
of its own points, with its own 95 % half widths, for functions that have no closed form here.
"""

import numpy as np
from importlib.metadata import version
import scipy
from SALib.analyze import sobol as analyse
from SALib.sample import sobol as sample
from scipy.stats import binom, binomtest, qmc

print("what,a,b,c,value,half_width")
print(f"versions,scipy {scipy.__version__},SALib {version('SALib')},,,")

points = qmc.Sobol(24, scramble=False).random(16)
for i, row in enumerate(points):
    for d, x in enumerate(row):
        print(f"point,{i},{d},,{float(x)!r},")

for k, n in [(0, 20), (7, 100), (1014, 1024), (1900, 2048), (2048, 2048), (1, 3)]:
    ci = binomtest(k, n).proportion_ci(0.95, "exact")
    print(f"share_low,{k},{n},,{ci.low:.10f},")
    print(f"share_high,{k},{n},,{ci.high:.10f},")

for n, p in [(100, 0.05), (1024, 0.05), (2048, 0.05), (2048, 0.01), (301, 0.5)]:
    low = int(binom.ppf(0.025, n, p))
    if binom.cdf(low, n, p) <= 0.025:
        low += 1
    high = int(binom.ppf(0.975, n, p)) + 1
    print(f"place_low,{n},{p},,{low},")
    print(f"place_high,{n},{p},,{high},")


def dose(x):
    """log10 of a dose: k minutes at a degrees, counted against b degrees with a slope of z.
    Four even inputs."""
    a, b, z, k = x.T
    return np.log10(k) + (a - b) / z


problem = {
    "num_vars": 4,
    "names": ["a", "b", "z", "k"],
    "bounds": [[84.0, 92.0], [92.0, 94.0], [6.0, 11.0], [0.5, 3.0]],
}
x = sample.sample(problem, 2**17, calc_second_order=False, seed=1)
got = analyse.analyze(problem, dose(x), calc_second_order=False, seed=1)
for i, name in enumerate(problem["names"]):
    print(f"first,{name},,,{got['S1'][i]:.6f},{got['S1_conf'][i]:.6f}")
    print(f"total,{name},,,{got['ST'][i]:.6f},{got['ST_conf'][i]:.6f}")
