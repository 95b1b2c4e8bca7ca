"""Asks two general solvers what `benchmarks boards` asks our engine: OR-Tools CP-SAT and HiGHS, one thread, the same instances.

    cargo build --release -p benchmarks
    pip install -r benchmarks/milp/requirements.txt
    python benchmarks/milp/boards.py target/release/benchmarks DIR [INSTANCES PER CLASS] [SECONDS]

Every solver is given the same model: whole numbers of each size on each board, boards in falling order of fill, as many boards as
first-fit decreasing needs at most, as few as the summed length needs at least. One JSON object a class; the ratio is the geometric
mean, over the instances that both prove, of their time by ours.
"""
import glob
import json
import math
import os
import re
import subprocess
import sys
import tempfile
import time

import highspy
from ortools.sat.python import cp_model


def first_fit_decreasing(instance):
    rooms = []
    for size, count in sorted(instance["items"], reverse=True):
        for _ in range(count):
            for board, room in enumerate(rooms):
                if room >= size:
                    rooms[board] -= size
                    break
            else:
                rooms.append(instance["capacity"] - size)
    return len(rooms)


def at_least(instance):
    return -(-sum(size * count for size, count in instance["items"]) // instance["capacity"])


def by_cp_sat(instance, seconds):
    model = cp_model.CpModel()
    items, capacity, most = instance["items"], instance["capacity"], first_fit_decreasing(instance)
    used = [model.new_bool_var("") for _ in range(most)]
    fill = []
    counts = [[model.new_int_var(0, min(count, capacity // size), "") for size, count in items] for _ in range(most)]
    for board in range(most):
        load = sum(size * counts[board][at] for at, (size, _) in enumerate(items))
        fill.append(model.new_int_var(0, capacity, ""))
        model.add(fill[board] == load)
        model.add(load <= capacity * used[board])
    for at, (_, count) in enumerate(items):
        model.add(sum(counts[board][at] for board in range(most)) == count)
    for board in range(most - 1):
        model.add(fill[board] >= fill[board + 1])
        model.add_implication(used[board + 1], used[board])
    model.add(sum(used) >= at_least(instance))
    model.minimize(sum(used))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_time_in_seconds = seconds
    start = time.perf_counter()
    status = solver.solve(model)
    spent = time.perf_counter() - start
    return (round(solver.objective_value) if status == cp_model.OPTIMAL else None), spent


def by_highs(instance, seconds):
    solver = highspy.Highs()
    solver.silent()
    solver.setOptionValue("threads", 1)
    solver.setOptionValue("time_limit", float(seconds))
    items, capacity, most = instance["items"], instance["capacity"], first_fit_decreasing(instance)
    kinds = len(items)
    inf = highspy.kHighsInf
    # Columns: the counts board by board, then whether each board is used.
    for _ in range(most):
        for size, count in items:
            solver.addCol(0, 0, min(count, capacity // size), 0, [], [])
    for _ in range(most):
        solver.addCol(1, 0, 1, 0, [], [])
    columns = most * (kinds + 1)
    for column in range(columns):
        solver.changeColIntegrality(column, highspy.HighsVarType.kInteger)
    for board in range(most):
        row = [board * kinds + at for at in range(kinds)] + [most * kinds + board]
        solver.addRow(-inf, 0, kinds + 1, row, [size for size, _ in items] + [-capacity])
    for at, (_, count) in enumerate(items):
        solver.addRow(count, count, most, [board * kinds + at for board in range(most)], [1] * most)
    for board in range(most - 1):
        solver.addRow(0, inf, 2, [most * kinds + board, most * kinds + board + 1], [1, -1])
    solver.addRow(at_least(instance), inf, most, [most * kinds + board for board in range(most)], [1] * most)
    start = time.perf_counter()
    solver.run()
    spent = time.perf_counter() - start
    if solver.getModelStatus() == highspy.HighsModelStatus.kOptimal:
        return round(solver.getInfo().objective_function_value), spent
    return None, spent


def ours(program, instances):
    """Time and cost of each instance that our engine proves."""
    with tempfile.TemporaryDirectory() as folder:
        with open(os.path.join(folder, "some.jsonl"), "w") as file:
            file.writelines(json.dumps(instance) + "\n" for instance in instances)
        told = subprocess.run([program, "boards", folder, "some", "each"], capture_output=True, text=True, check=True).stderr
    line = re.compile(r"^(\S+) cost (\d+) .* proven (true|false) .* ms (\S+)$", re.M)
    return {name: (int(cost), float(ms) / 1e3) for name, cost, proven, ms in line.findall(told) if proven == "true"}


def mean_ratio(pairs):
    ratios = [math.log(theirs / own) for own, theirs in pairs]
    return round(math.exp(sum(ratios) / len(ratios)), 1) if ratios else None


def main():
    program, folder = sys.argv[1], sys.argv[2]
    each = int(sys.argv[3]) if len(sys.argv) > 3 else 3
    seconds = float(sys.argv[4]) if len(sys.argv) > 4 else 10
    peers = {"cp_sat": by_cp_sat, "highs": by_highs}
    pairs = {peer: [] for peer in peers}
    wrong = 0
    for path in sorted(glob.glob(os.path.join(folder, "*.jsonl"))):
        instances = [json.loads(line) for line in open(path)]
        # Spread over the class, since its instances grow along the file.
        instances = [instances[at * len(instances) // each] for at in range(min(each, len(instances)))]
        own = ours(program, instances)
        told = {"class": os.path.basename(path)[: -len(".jsonl")], "instances": len(instances), "ours": len(own)}
        for peer, ask in peers.items():
            proven, faster = 0, 0
            for instance in instances:
                cost, spent = ask(instance, seconds)
                proven += cost is not None
                if cost is not None and instance["name"] in own:
                    best, time_of_ours = own[instance["name"]]
                    wrong += cost != best
                    faster += spent < time_of_ours
                    pairs[peer].append((time_of_ours, spent))
            told[peer], told[peer + "_faster"] = proven, faster
        print(json.dumps(told), flush=True)
    print(json.dumps({"wrong": wrong, **{peer + "_by_ours": mean_ratio(of) for peer, of in pairs.items()}}))
    sys.exit(1 if wrong else 0)


main()
