"""release: put the running program's rules on the list of releases."""

from __future__ import annotations

import argparse
from datetime import UTC, date, datetime

from heaterapp import releases
from heaterapp.opening import Stopped

NAME = "release"
SAYS = "put these rules on the list of releases, before they are given out"


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError("a date such as 2026-11-30 was expected") from None


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--on", type=_day, help="the day of the release, today when left out")


def run(chosen: argparse.Namespace) -> int:
    try:
        made = releases.add(chosen.on or datetime.now(UTC).date())
    except releases.ReleaseRefused as refused:
        raise Stopped(f"Not listed. {refused}.") from refused
    except OSError as refused:
        raise Stopped(f"{releases.LIST}: {refused.strerror}.") from refused
    if made is None:
        print("These rules are on the list already.")
    else:
        print(f"Rules {made.name} are on the list of releases: {made.digest}")
    return 0
