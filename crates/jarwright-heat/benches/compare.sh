#!/usr/bin/env bash
# The speed case by a general-purpose library and by both solvers, in turn; prints a table.
#
#   ./compare.sh [ROUNDS]
#
# scipy goes into a temporary virtual environment, which is removed afterwards. PEER_PYTHON names a
# python that has scipy already.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
rounds=${1:-5}

cd "$here/../../.."
cargo build --release --locked --quiet
program=target/release/jarwright

work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
python=${PEER_PYTHON:-}
if [ -z "$python" ]; then
  python3 -m venv "$work/venv"
  python="$work/venv/bin/python"
  "$python" -m pip install --quiet scipy
fi

for _ in $(seq "$rounds"); do
  "$python" "$here/peer.py" 1 >>"$work/peer"
  "$program" jar "$here/speed_case.toml" --solver grid --time 101 --json | "$python" -c '
import json, sys; print(json.dumps(json.load(sys.stdin)))' >>"$work/grid"
  "$program" jar "$here/speed_case.toml" --solver modes --time 2001 --json | "$python" -c '
import json, sys; print(json.dumps(json.load(sys.stdin)))' >>"$work/modes"
done

"$python" - "$work" <<'PY'
import json
import statistics
import sys

TRUTH = (77.198346, 85.408451, 91.095053, 13.146295)


def rows(name):
    return [json.loads(line) for line in open(f"{sys.argv[1]}/{name}")]


def ours(name):
    all_runs = rows(name)
    one = all_runs[0]
    at = {round(s["t_s"], 3): s["centre_c"] for s in one["samples"]}
    dose = one["lethality"][0]
    figures = (at[600.0], at[1500.0], one["peak"]["centre_c"], dose["heating_min"] + dose["cooling_min"])
    return statistics.median(r["solve_us"] for r in all_runs) * 1e-6, figures


peer = rows("peer")
peer_s = statistics.median(r["seconds"] for r in peer)
table = [("scipy " + peer[0]["scipy"] + " BDF", peer_s, tuple(peer[0][k] for k in ("at_600", "at_1500", "peak", "f_min")))]
table += [("grid",) + ours("grid"), ("modes",) + ours("modes")]
print(f"{'':18}{'one solve':>12}{'peer over it':>14}{'600 s, K':>11}{'1500 s, K':>11}{'peak, K':>11}{'dose, %':>10}")
for name, seconds, (a, b, c, f) in table:
    took = f"{seconds * 1e3:.3g} ms" if seconds > 1e-4 else f"{seconds * 1e6:.3g} us"
    ratio = f"{peer_s / seconds:,.0f}"
    off = [a - TRUTH[0], b - TRUTH[1], c - TRUTH[2]]
    print(f"{name:18}{took:>12}{ratio:>14}" + "".join(f"{o:+11.5f}" for o in off) + f"{(f / TRUTH[3] - 1) * 100:+10.4f}")
PY
