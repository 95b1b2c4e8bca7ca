"""Asks HiGHS (highspy, from PyPI) what `benchmarks systems` asked fit, and compares answers and times.

    cargo run --release -p benchmarks -- systems 200 > systems.jsonl
    pip install -r benchmarks/milp/requirements.txt
    python benchmarks/milp/compare.py systems.jsonl

Each system: integer sizes x within their ranges, integer counts n, and for every run
n (member + g) + e g <= face(x) <= n (member + G) + e G with the gap between g and G; least sum of |x - want|.
"""
import json
import sys
import time

import highspy


def ask(system):
    solver = highspy.Highs()
    solver.silent()
    inf = highspy.kHighsInf
    integer = highspy.HighsVarType.kInteger
    columns = 0

    def column(cost, low, high, whole):
        nonlocal columns
        solver.addCol(cost, low, high, 0, [], [])
        if whole:
            solver.changeColIntegrality(columns, integer)
        columns += 1
        return columns - 1

    sizes = [column(0, low, high, True) for _, low, high in system["sizes"]]
    for (want, _, _), size in zip(system["sizes"], sizes):
        off = column(1, 0, inf, False)
        solver.addRow(-want, inf, 2, [off, size], [1, -1])      # off >= x - want
        solver.addRow(want, inf, 2, [off, size], [1, 1])        # off >= want - x
    for run in system["runs"]:
        n = column(0, *run["count"], True)
        e, (g, G) = run["end_gaps"], run["gap"]
        face = [sizes[size] for size, _ in run["terms"]]
        times = [time for _, time in run["terms"]]
        solver.addRow(e * g - run["constant"], inf, len(face) + 1, face + [n], times + [-(run["member"] + g)])
        solver.addRow(-inf, e * G - run["constant"], len(face) + 1, face + [n], times + [-(run["member"] + G)])
        solver.addRow(-e, inf, 1, [n], [1])                      # n + e >= 0
    start = time.perf_counter()
    solver.run()
    seconds = time.perf_counter() - start
    if solver.getModelStatus() == highspy.HighsModelStatus.kOptimal:
        return round(solver.getInfo().objective_function_value), seconds
    return None, seconds


def main():
    ours, theirs, same, different, unfinished = [], [], 0, [], 0
    for line in open(sys.argv[1]):
        system = json.loads(line)
        best, seconds = ask(system)
        ours.append(system["ms"])
        theirs.append(seconds * 1e3)
        if system["best"] == "unfinished":
            unfinished += 1
        elif best == system["best"]:
            same += 1
        else:
            different.append((system["system"], system["best"], best))
    median = lambda values: sorted(values)[len(values) // 2]
    print(json.dumps({"systems": len(ours), "same": same, "different": different, "unfinished": unfinished,
                      "fit_median_ms": round(median(ours), 3), "fit_max_ms": round(max(ours), 3),
                      "highs_median_ms": round(median(theirs), 3), "highs_max_ms": round(max(theirs), 3)}))
    sys.exit(1 if different else 0)


main()
