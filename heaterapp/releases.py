"""Which rulesets were released: only those ever judge again.

A ruleset counts as released when its files are those of the running program or on the list of releases,
`releases.toml`, or when its very bytes were logged by this archive itself. What an import or a restored
backup brought was not: whoever could write the file could write its log. An owner who knows such rules
says so with `release --trust DIGEST`.
"""

from __future__ import annotations

import json
import re
import tomllib
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from heaterapp import rules
from heaterapp.archive.kept_rules import digest_of

LIST = Path(__file__).with_name("releases.toml")
_NAME = re.compile(r"[0-9A-Za-z][0-9A-Za-z.+-]{0,39}\Z")


class ReleaseRefused(ValueError):
    """The release cannot be listed; the text says why."""


@dataclass(frozen=True)
class Release:
    """One line of the list."""

    name: str
    digest: str
    date: str


def listed(path: Path = LIST) -> dict[str, Release]:
    """Return the releases on the list, by name."""
    read = tomllib.loads(path.read_text(encoding="utf-8"))
    made = (Release(one["name"], one["digest"], str(one["date"])) for one in read.get("release", ()))
    return {one.name: one for one in made}


def add(on: date, path: Path = LIST, name: str = rules.RULESET) -> Release | None:
    """Write the running program's rules on the list.

    on       the day of the release
    returns  the release; None when it stands there already
    raises   ReleaseRefused when this version is listed with other rules, or other than its name allows
    """
    digest, known = rules.digest(), listed(path)
    if not _NAME.match(name):
        raise ReleaseRefused(f"{name[:40]!r} is no version: letters, digits, points, at most 40")
    if name in known:
        if known[name].digest == digest:
            return None
        raise ReleaseRefused(
            f"Version {name} was released on {known[name].date} with other rules:"
            " give RULESET in heaterapp/rules/version.py the next version first"
        )
    made = Release(name, digest, on.isoformat())
    lines = [f"{key} = {json.dumps(getattr(made, key))}" for key in ("name", "digest", "date")]
    with path.open("a", encoding="utf-8") as book:
        book.write("\n[[release]]\n" + "\n".join(lines) + "\n")
    return made


def was_released(ruleset_zip: bytes, in_log: bool, path: Path = LIST) -> bool:
    """Return whether a stored ruleset may judge again.

    in_log   whether an archive vouches for these very bytes by its own log: see archive/origins.py
    """
    if in_log:
        return True
    digest = digest_of(ruleset_zip)
    return bool(digest) and digest in {rules.digest(), *(one.digest for one in listed(path).values())}
