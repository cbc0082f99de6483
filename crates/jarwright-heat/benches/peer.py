"""The speed case by a general-purpose library: finite volumes 30 x 60, scipy's BDF.

    python3 peer.py [RUNS]

Relative and absolute tolerance 1e-6, the Jacobian given as a sparse matrix. Prints one line of
JSON: processor seconds of one solve (median; a busy machine does not lengthen them), and the figures
reached.
"""

import json
import sys
import time

import numpy as np
import scipy
from scipy.integrate import solve_ivp
from scipy.sparse import diags

RADIUS, HEIGHT, NR, NZ = 0.0325, 0.075, 30, 60
K, RHO, CP, START = 0.45, 1150.0, 3100.0, 76.7
# Seconds, ambient at start and end, film.
PHASES = [(600.0, 82.0, 100.0, 1200.0), (900.0, 100.0, 100.0, 1200.0), (5400.0, 22.0, 22.0, 8.0)]


def system(film):
    """Jacobian, and what each cell takes from one kelvin outside."""
    faces = np.linspace(0, RADIUS, NR + 1)
    dr, dz = RADIUS / NR, HEIGHT / NZ
    volume = np.repeat(((faces[1:] ** 2 - faces[:-1] ** 2) / 2 * dz)[None, :], NZ, axis=0)
    heat = RHO * CP * volume
    side = faces[1:-1] * dz * K / dr
    east = np.zeros((NZ, NR))
    east[:, :-1] = side
    ring = (faces[1:] ** 2 - faces[:-1] ** 2) / 2
    north = np.zeros((NZ, NR))
    north[:-1, :] = ring * K / dz
    outside = np.zeros((NZ, NR))
    outside[:, -1] += RADIUS * dz / (1 / film + dr / 2 / K)
    end = ring / (1 / film + dz / 2 / K)
    outside[0, :] += end
    outside[-1, :] += end
    west, south = np.zeros_like(east), np.zeros_like(north)
    west[:, 1:], south[1:, :] = east[:, :-1], north[:-1, :]
    c = heat.ravel()
    main = -(east + west + north + south + outside).ravel() / c
    up, down = east.ravel()[:-1] / c[:-1], west.ravel()[1:] / c[1:]
    far_up, far_down = north.ravel()[:-NR] / c[:-NR], south.ravel()[NR:] / c[NR:]
    jacobian = diags([main, up, down, far_up, far_down], [0, 1, -1, NR, -NR], format="csc")
    return jacobian, outside.ravel() / c


def centre(t):
    """On the axis at half the height: the axis from two rings' mean squares, the height between two rows."""
    rows = t.reshape(NZ, NR)[NZ // 2 - 1 : NZ // 2 + 1]
    dr = RADIUS / NR
    s0, s1 = dr * dr / 2, (dr * dr + 4 * dr * dr) / 2
    return float(np.mean(rows[:, 0] + (rows[:, 0] - rows[:, 1]) * s0 / (s1 - s0)))


def solve():
    state, now, times, centres, at = np.full(NR * NZ, START), 0.0, [], [], {}
    for seconds, before, after, film in PHASES:
        jacobian, outside = system(film)
        slope = (after - before) / seconds
        run = solve_ivp(
            lambda t, y: jacobian @ y + outside * (before + slope * t),
            (0, seconds), state, method="BDF", rtol=1e-6, atol=1e-6, jac=jacobian,
        )
        times.extend(now + run.t)
        centres.extend(centre(y) for y in run.y.T)
        state, now = run.y[:, -1], now + seconds
        at[now] = centre(state)
    return np.array(times), np.array(centres), at


runs = int(sys.argv[1]) if len(sys.argv) > 1 else 5
seconds = []
for _ in range(runs):
    began = time.process_time()
    times, centres, at = solve()
    seconds.append(time.process_time() - began)
rate = 10 ** ((centres - 93.3) / 8.9)
print(json.dumps({
    "scipy": scipy.__version__,
    "seconds": float(np.median(seconds)),
    "at_600": at[600.0],
    "at_1500": at[1500.0],
    "peak": float(centres.max()),
    "f_min": float(np.trapezoid(rate, times) / 60),
}))
