"""compare-books and coverage: on bare Python, as the machine door is."""

from __future__ import annotations

import argparse
import os
import sys

from .compare import UnknownBook, compare
from .coverage import items


def main(arguments: list[str]) -> int:
    """Run one of the two commands. Returns 0, or 2 with one line on standard error for an unknown name."""
    parser = argparse.ArgumentParser(prog="python -m heaterapp", description="What the rules say, in print.")
    doors = parser.add_subparsers(dest="door", required=True)
    one = doors.add_parser("compare-books", help="print what differs between two books, or two places")
    one.add_argument("first", help="a book such as upc_2021, or a place such as us_ca_2022")
    one.add_argument("second", help="another")
    one.add_argument("--sections", action="store_true", help="also where only the section number differs")
    doors.add_parser("coverage", help="print what published checklists ask, against what is judged")
    chosen = parser.parse_args(arguments)
    try:
        if chosen.door == "coverage":
            _coverage()
        else:
            for line in compare(chosen.first, chosen.second, chosen.sections):
                print(line)
        sys.stdout.flush()
    except UnknownBook as unknown:
        print(unknown, file=sys.stderr)
        return 2
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return 0


def _coverage() -> None:
    group, judged = "", 0
    for one in items():
        if one.group != group:
            group = one.group
            print(group)
        judged += bool(one.checks)
        print(f"  {one.asks}")
        print(f"    asked:  {', '.join(one.questions)}")
        print(f"    judged: {', '.join(one.checks) or 'no. ' + one.record_only}")
        print(f"    paper:  {one.paper}")
    print(f"{len(items())} of {len(items())} recorded, {judged} judged.")
