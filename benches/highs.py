"""Times HiGHS, warm and in memory, on the preferences of the shipped albums.

    pip install highspy
    cargo bench --bench fit -- --stages DIR      (an empty folder)
    cargo bench --bench fit -- --times > TIMES
    python3 benches/highs.py DIR TIMES

For bags that fit instead, each solved for the first time and with all that is compared of it:

    cargo bench --bench compare -- --sample DIR > TIMES
    python3 benches/highs.py DIR TIMES

Printed for each album: the median of HiGHS over its stages, our own time for a stage (all of an
album's solving, proofs, choices, wishes and explanations included, divided by its preferences), and
the ratio; then the same for the whole chain of stages.
"""

import statistics
import sys
import time
from pathlib import Path

import highspy

ROUNDS = 15


def timed(path):
    """The median of several runs on a model that is read already, in microseconds."""
    highs = highspy.Highs()
    highs.setOptionValue("output_flag", False)
    highs.setOptionValue("threads", 1)
    highs.setOptionValue("mip_rel_gap", 0.0)
    highs.setOptionValue("mip_abs_gap", 0.0)
    highs.readModel(str(path))
    taken = []
    for _ in range(ROUNDS):
        highs.clearSolver()
        since = time.perf_counter()
        highs.run()
        taken.append((time.perf_counter() - since) * 1e6)
        assert highs.getModelStatus() == highspy.HighsModelStatus.kOptimal, path
    return statistics.median(taken)


def main():
    folder, ours = Path(sys.argv[1]), Path(sys.argv[2])
    for line in ours.read_text().splitlines():
        words = line.split()
        if len(words) != 4:
            continue
        name, count, whole, each = words[0], int(words[1]), float(words[2]), float(words[3])
        stages = [timed(path) for path in sorted(folder.glob(f"{name}.*.mps"))]
        assert len(stages) == count, (name, len(stages), count)
        middle = statistics.median(stages)
        print(
            f"{name}: {count} preferences; a stage: HiGHS {middle:.0f} us, here {each:.1f} us, "
            f"ratio {middle / each:.1f}; all: HiGHS {sum(stages) / 1e3:.2f} ms, "
            f"here {whole / 1e3:.2f} ms, ratio {sum(stages) / whole:.1f}"
        )


main()
