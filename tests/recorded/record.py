"""Solves the stages that `RECORD=DIR cargo test --test recorded` wrote, with HiGHS, and writes them down.

    pip install highspy
    python3 record.py DIR optima.csv

What HiGHS answers is tested before it is written: its values are rounded and put into every row in
whole numbers. Nothing of what was found by the program itself enters the record; where the two
differ it is said, and the exit code is 1.
"""

import datetime
import shutil
import sys
from pathlib import Path

import highspy

# A float within this of a whole number is taken for it; HiGHS was told to stay nearer.
NEAR = 1e-4


def read(path):
    """Rows, columns, objective and bounds of a file of ours, in whole numbers."""
    part, sense, rows, right = None, {}, {}, {}
    objective, bounds = {}, {}
    for line in path.read_text().splitlines():
        if line.startswith("*") or not line.strip():
            continue
        if not line.startswith(" "):
            part = line.split()[0]
            continue
        words = line.split()
        if part == "ROWS":
            sense[words[1]] = words[0]
            rows[words[1]] = {}
        elif part == "COLUMNS" and "'MARKER'" not in words:
            column, row, times = words[0], words[1], int(words[2])
            if row == "OBJ":
                objective[column] = times
            else:
                rows[row][column] = times
        elif part == "RHS":
            right[words[1]] = int(words[2])
        elif part == "BOUNDS":
            bounds.setdefault(words[2], {})[words[0]] = int(words[3])
    rows.pop("OBJ")
    return sense, rows, right, objective, bounds


def holds(path, values):
    """The objective of whole values that keep every row and bound; nothing if one is broken."""
    sense, rows, right, objective, bounds = read(path)
    for column, bound in bounds.items():
        if not bound["LO"] <= values[column] <= bound["UP"]:
            return None
    for row, terms in rows.items():
        total = sum(times * values[column] for column, times in terms.items())
        most = right.get(row, 0)
        if total > most or (sense[row] == "E" and total != most):
            return None
    return sum(times * values[column] for column, times in objective.items())


def solver(presolve):
    highs = highspy.Highs()
    highs.setOptionValue("output_flag", False)
    highs.setOptionValue("threads", 1)
    highs.setOptionValue("random_seed", 0)
    highs.setOptionValue("presolve", presolve)
    highs.setOptionValue("mip_rel_gap", 0.0)
    highs.setOptionValue("mip_abs_gap", 0.0)
    highs.setOptionValue("mip_feasibility_tolerance", 1e-9)
    highs.setOptionValue("primal_feasibility_tolerance", 1e-9)
    highs.setOptionValue("time_limit", 120.0)
    return highs


def ask(highs, path):
    """`infeasible`, the optimum as a whole number, or what went wrong."""
    highs.clearModel()
    if highs.readModel(str(path)) != highspy.HighsStatus.kOk:
        return "unreadable"
    highs.run()
    status = highs.getModelStatus()
    if status == highspy.HighsModelStatus.kInfeasible:
        return "infeasible"
    if status != highspy.HighsModelStatus.kOptimal:
        return f"status {status}"
    names = highs.getLp().col_names_
    values = {}
    for name, value in zip(names, highs.getSolution().col_value):
        values[name] = round(value)
        if abs(value - values[name]) > NEAR:
            return "not whole"
    optimum = holds(path, values)
    return "breaks a row" if optimum is None else optimum


def answer(plain, without_presolve, path):
    first = ask(plain, path)
    # A strange answer is asked for once more, another way.
    return first if isinstance(first, int) or first == "infeasible" else ask(without_presolve, path)


def main():
    folder, out = Path(sys.argv[1]), Path(sys.argv[2])
    plain, without_presolve = solver("choose"), solver("off")
    version = plain.version()
    lines = [
        f"# Recorded with HiGHS {version} on {datetime.date.today()} by record.py.",
        "# album, stage, kind (best, choose, keep, musts), title, optimum; or the hash of the album's text",
    ]
    strange, differing, asked = [], [], 0
    for entry in (folder / "index.csv").read_text().splitlines():
        album, stage, kind, title, ours, *rest = entry.split(",")
        if stage == "text":
            lines.append(f"{album},text,{kind},,")
            continue
        asked += 1
        path = folder / rest[0]
        theirs = answer(plain, without_presolve, path)
        if isinstance(theirs, str) and theirs != "infeasible":
            strange.append(f"{entry}: {theirs}")
        elif isinstance(theirs, int):
            # Preferences are maximised; the file minimises.
            theirs = {"best": -theirs, "choose": theirs}.get(kind, "feasible")
        if str(theirs) != ours:
            differing.append(f"{entry}: HiGHS {theirs}")
        lines.append(f"{album},{stage},{kind},{title},{theirs}")
    out.write_text("\n".join(lines) + "\n")
    # The rules that were in force, so that the record can be compared when they have changed.
    shutil.copyfile(folder / "style.toml", out.parent / "style.toml")
    print(f"{asked} stages asked; {len(strange)} strange answers; {len(differing)} differ")
    for line in strange + differing:
        print(" ", line)
    sys.exit(1 if strange or differing else 0)


main()
