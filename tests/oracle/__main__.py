"""``python -m tests.oracle --homes 200 --seed 1``: differences between program and oracle by quantity, with one example each."""

from __future__ import annotations

import argparse
import sys
import time
from collections import defaultdict

from permitgen.reading.problems import ProblemsError
from tests.oracle.compare import Difference, differences, figures_compared
from tests.oracle.generate import home_of


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.oracle", description=__doc__)
    parser.add_argument("--homes", type=int, default=50)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    found: dict[tuple[str, str, str], list[Difference]] = defaultdict(list)
    verdicts = numbers = 0
    started = time.perf_counter()
    for seed in range(given.seed, given.seed + given.homes):
        home = home_of(seed)
        try:
            for each in differences(home):
                found[each.key].append(each)
        except ProblemsError as error:
            sys.stdout.write(f"seed {seed}: not read: {error}\n")
            continue
        made = figures_compared(home)
        verdicts, numbers = verdicts + made[0], numbers + made[1]
    seconds = time.perf_counter() - started
    for key, group in sorted(found.items(), key=lambda item: (-len(item[1]), item[0])):
        first = group[0]
        quantity, circumstance, kind = key
        sys.stdout.write(f"{len(group):4} {quantity}{f' ({circumstance})' if circumstance else ''}: {kind}\n")
        sys.stdout.write(f"       {first.home}, {first.expected.subjects[0]}, {first.expected.section}: {first.expected.figures}\n")
        sys.stdout.write(f"       program: {first.program[:300]}\n")
    sys.stdout.write(f"{given.homes} homes, {verdicts} verdicts, {numbers} numbers, {seconds / given.homes:.2f} s for each home\n")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
