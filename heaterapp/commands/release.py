"""release: put the running program's rules on the list of releases, or trust rules that were brought."""

from __future__ import annotations

import argparse
from datetime import UTC, date, datetime

from heaterapp import releases
from heaterapp.archive import ArchiveError
from heaterapp.opening import Stopped, open_archive

NAME = "release"
SAYS = "put these rules on the list of releases, before they are given out"


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError("a date such as 2026-11-30 was expected") from None


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--on", type=_day, help="the day of the release, today when left out")
    parser.add_argument(
        "--trust", metavar="DIGEST", help="let rules that an import or a restored backup brought judge here"
    )


def run(chosen: argparse.Namespace) -> int:
    if chosen.trust:
        return _trust(chosen.trust)
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


def _trust(digest: str) -> int:
    store = open_archive()
    try:
        count = store.origins.trust(digest)
    except ArchiveError as refused:
        raise Stopped(f"Not trusted. {str(refused).rstrip('.')}.") from refused
    finally:
        store.close()
    said = f"Rules {digest} judge again here; {count} logs say so."
    print(said if count else "These rules are trusted already.")
    return 0
