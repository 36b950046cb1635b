"""The rules engine's door: judge a job, describe a job, name the places.

Standard library only. The same files, zipped, run on bare Python anywhere and
are kept beside every certificate that they judged.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from .amendments import amendable, read_amendments, settable
from .binding import prepare as _read_all
from .book import UnknownPlace, place, place_names
from .engine import judge
from .job import Job
from .question import LONGEST_TEXT
from .questions import CATALOGUE, SECTIONS
from .reading import BadAnswer
from .report import TOPICS, Finding, Report, canonical_bytes
from .settle import mark_of
from .stored import asked_only, readable
from .version import RULESET, digest, ruleset_zip

__all__ = [
    "CATALOGUE", "LONGEST_TEXT", "RULESET", "SECTIONS", "TOPICS", "BadAnswer", "Finding", "Job", "Report",
    "UnknownPlace", "amendable", "asked_only", "assess", "canonical_bytes", "digest", "mark_of", "place",
    "place_names", "prepare", "read_amendments", "readable", "ruleset_zip", "settable",
]  # fmt: skip


def prepare() -> str:
    """Read the whole ruleset once, so that what judges is what the digest names; returns the digest.

    A server calls it as it starts: files that change under it afterwards judge nothing.
    """
    ruleset_zip()
    _read_all()
    return digest()


def assess(answers: Mapping[str, Any] | Job, place_name: str | None = None) -> Report:
    """Judge the answers of one job.

    answers     question name -> answer, as the vocabulary has it; or a Job already read
    place_name  the place to judge under; by default the job's own `place`
    returns     the report; partial answers give a partial report
    raises      BadAnswer, naming the key and what was expected (an unknown place too)
    """
    job = answers if isinstance(answers, Job) else Job(answers)
    chosen = place_name or job.values.get("place")
    try:
        if not chosen:
            raise UnknownPlace("an answer, none was given: one of " + ", ".join(sorted(place_names())))
        return judge(job, chosen)
    except UnknownPlace as unknown:
        raise BadAnswer("place", str(unknown)) from None
