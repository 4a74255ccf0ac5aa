"""Speed and size of the kit, as rows of name, value, unit, how.

python tests/bench/run.py [--json] [--quick]

Ratios come from one run on one machine; absolute times only say something beside each other.
Nothing here is asserted in a timed test.
"""

import argparse
import json
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from lessonkit.models.numeric import SCALAR  # noqa: E402
from lessonkit.models.point_mass import derivatives  # noqa: E402
from lessonkit.models.power_off_approach import fly_many, start_state  # noqa: E402
from lessonkit.models.power_off_pilot import PowerOffPilot  # noqa: E402
from lessonkit.units import ft_from_m  # noqa: E402
from tests.bench.consistency import consistency_times  # noqa: E402
from tests.bench.diagnosis import diagnosis_tables  # noqa: E402
from tests.bench.fast_rates import rates_of  # noqa: E402
from tests.bench.record_kills import kill_rounds  # noqa: E402
from tests.models.approach_cases import exact_touchdown, one_case, random_cases  # noqa: E402

METHODS = ("RK45", "DOP853", "LSODA")


def row(name, value, unit, how):
    """Return one row of the report."""
    return {"name": name, "value": round(float(value), 4), "unit": unit, "how": how}


def many(count, repeats):
    """Time the kit's own integration; the median of some runs."""
    cases = random_cases(count, seed=2)
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        fly_many(*cases)
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def error(count):
    """Greatest difference of touchdowns from an eighth-order solution, at the timed step."""
    cases = random_cases(count)
    ours = fly_many(*cases).x
    exact = [exact_touchdown(*one_case(cases, i)) for i in range(count)]
    return np.abs(ft_from_m(ours - np.array(exact))).max()


def same_rates(case):
    """Make sure that the rival integrates the very same motion."""
    plan, airplane, wind = case
    fast, pilot = rates_of(*case), PowerOffPilot(plan, airplane, SCALAR)
    draw = np.random.default_rng(4)
    for _ in range(200):
        state = np.array(start_state(plan, wind, SCALAR)) * (1.0 + 0.2 * draw.standard_normal(8))
        state[2] = draw.uniform(0.0, 200.0)
        state[5:7] = draw.uniform(-0.5, 3.5), draw.uniform(-0.7, 0.7)
        state[7] = draw.uniform(0.0, 30.0)
        kit = derivatives(state.tolist(), pilot, airplane, wind, SCALAR)
        np.testing.assert_allclose(fast(0.0, state), kit, rtol=1e-9, atol=1e-10)


def with_scipy(case, method):
    """Integrate one case with scipy's solve_ivp to the ground."""
    from scipy.integrate import solve_ivp

    plan, _, wind = case

    def height(_, state):
        return state[2]

    height.terminal, height.direction = True, -1
    return solve_ivp(
        rates_of(*case),
        (plan.power_delay, 600.0),
        start_state(plan, wind, SCALAR),
        method=method,
        rtol=1e-6,
        max_step=10.0,
        events=height,
    )


def scipy_time(count):
    """Time a loop over scipy, with the fastest of its methods; scaled to 10,000 cases."""
    cases = random_cases(count, seed=2)
    singles = [one_case(cases, i) for i in range(count)]
    same_rates(singles[0])

    def loop(method, some):
        start = time.perf_counter()
        for case in some:
            with_scipy(case, method)
        return time.perf_counter() - start

    fastest = min(METHODS, key=lambda method: loop(method, singles[:25]))
    return loop(fastest, singles) * 10_000 / count, fastest


def import_models():
    """Time of importing every model in a fresh interpreter, the best of five."""
    names = sorted(p.stem for p in (ROOT / "lessonkit/models").glob("*.py") if p.stem != "__init__")
    lines = "; ".join(f"import lessonkit.models.{name}" for name in names)
    code = f"import time; t = time.perf_counter(); {lines}; print((time.perf_counter() - t) * 1000)"
    runs = [
        float(subprocess.run([sys.executable, "-c", code], capture_output=True, check=True).stdout)
        for _ in range(5)
    ]
    return min(runs)


def kernel_memory():
    """Resident memory of a kernel after every cell of lesson 07, without the self-check."""
    import nbformat
    import psutil
    from nbclient import NotebookClient

    path = ROOT / "notebooks/07_power_off_approach.ipynb"
    notebook = nbformat.read(path, as_version=4)
    client = NotebookClient(notebook, timeout=120, kernel_name="python3")
    with client.setup_kernel(cwd=str(path.parent)):
        for index, cell in enumerate(notebook.cells):
            tags = cell.metadata.get("tags", [])
            if cell.cell_type == "code" and "nbval-check-output" not in tags:
                client.execute_cell(cell, index)
        process = psutil.Process(client.km.provisioner.process.pid)
        return process.memory_info().rss / 1e6


def panel_update():
    """Median time in Python for one move of the bench's first slider."""
    from lessonkit.app import open_lesson

    panel = open_lesson("07_power_off_approach", trial=True).panel("approach_bench")
    panel.skip_prediction()
    control = panel.control("base_turn")
    times = []
    for index in range(40):
        start = time.perf_counter()
        control.slide(500.0 + 10.0 * index)
        times.append(time.perf_counter() - start)
    return statistics.median(times) * 1000


def consistency(quick):
    """Time the consistency panel's tries, the full number and one move."""
    full_s, move_ms = consistency_times(quick)
    return [
        row("consistency_10000_s", full_s, "s", "power-off tries with planning and their costs"),
        row("consistency_move_ms", move_ms, "ms", "300 tries power-off and 300 with power, costs"),
    ]


def record_kills(rounds):
    """Kill a writing process many times: what the record lost, and what else was wrong."""
    with tempfile.TemporaryDirectory() as folder:
        count = kill_rounds(Path(folder) / "records", rounds)
    how = (
        f"{rounds} kills at random moments, {count.acknowledged} events acknowledged, {count.torn} "
        f"torn lines set aside"
    )
    return [
        row("record_kills", count.kills, "", "a writer killed, read and written on by another"),
        row("record_kills_lost", count.lost, "", how),
        row("record_kills_wrong", len(count.wrong), "", "; ".join(count.wrong) or "nothing"),
    ]


def diagnosis(quick):
    """Diagnose synthetic pilots and let them follow the advice, with the tables beside the rows."""
    by_feet, by_motion, straight, helped = diagnosis_tables(quick)
    rows = [
        row(
            f"diagnosis_{name}_right_pct",
            100.0 * table.right,
            "%",
            f"{where}, {sum(table.pairs.values())} pilots; lag within 0.1 s: "
            f"{table.lag_within:.1%}, gain by side within 0.15: {table.gain_within:.1%}",
        )
        | {"table": table.text}
        for name, where, table in (
            ("feet", "rolls, feet alone", by_feet),
            ("motion", "rolls, through the airplane's motion", by_motion),
            ("straight", "nose held straight, feet alone", straight),
        )
    ]
    low, high = helped.gains(helped.pairs)
    return [
        *rows,
        row("advice_least_gain", low[0], "pts", f"{len(low)} starts below 90, seven runs each"),
        row("advice_worst_loss", min([0.0, *high]), "pts", f"{len(high)} other starts"),
    ]


def report(quick=False):
    """Run everything and return the rows."""
    count, repeats = (2000, 1) if quick else (10_000, 3)
    ours = many(count, repeats) * 10_000 / count
    rival, method = scipy_time(40 if quick else 200)
    return [
        row("approaches_10000_s", ours, "s", f"fly_many, {count} cases, median of {repeats}"),
        row(
            "approach_error_ft",
            error(8 if quick else 50),
            "ft",
            f"max over {8 if quick else 50} random cases against DOP853 at 1e-10, same step",
        ),
        row(
            "approaches_vs_scipy_ratio",
            rival / ours,
            "x",
            f"loop over solve_ivp {method} (the fastest of {', '.join(METHODS)}), rtol 1e-6, "
            f"hand-written rates, {40 if quick else 200} cases scaled to 10,000, same run",
        ),
        row("import_models_ms", import_models(), "ms", "fresh interpreter, best of 5"),
        row("kernel_rss_mb", kernel_memory(), "MB", "lesson 07, all cells but the self-check"),
        row("panel_update_median_ms", panel_update(), "ms", "40 moves of the base turn, in Python"),
        *consistency(quick),
        *record_kills(20 if quick else 200),
        *diagnosis(quick),
    ]


def main():
    """Print the report."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--json", action="store_true")
    parser.add_argument("--quick", action="store_true", help="fewer cases, for a first look")
    options = parser.parse_args()
    rows = report(options.quick)
    if options.json:
        print(json.dumps(rows, indent=1))
        return
    for line in rows:
        print(f"{line['name']:28} {line['value']:10} {line['unit']:4} {line['how']}")
        if "table" in line:
            print(line["table"])


if __name__ == "__main__":
    main()
