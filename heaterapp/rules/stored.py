"""Answers stored by another version: what this one reads of them, and what it does not."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from .book import place_names
from .job import Job
from .questions import CATALOGUE
from .reading import BadAnswer

_MEASURED_NOW = "a measured value: it was taken as usual"


def readable(answers: Mapping[str, Any]) -> tuple[dict[str, Any], dict[str, str]]:
    """Split stored answers into those that this version reads together, and those it does not.

    answers  as they were stored, by this version or an older one
    returns  the answers that make a `Job`, and key -> what was expected for each left out

    A value once accepted as usual that is measured now is left out: it must not pass for measured.
    """
    kept, refused = dict(answers), {}
    usual = kept.get("accepted_as_usual")
    if isinstance(usual, list):
        still = [k for k in usual if isinstance(k, str) and k in CATALOGUE and not CATALOGUE[k].measured]
        for key in (k for k in usual if k not in still and k in kept):
            refused[key] = _MEASURED_NOW
            del kept[key]
        kept["accepted_as_usual"] = still
    while True:
        try:
            _of_one_place(Job(kept))
            return kept, refused
        except BadAnswer as bad:
            if bad.key not in kept:
                raise
            refused[bad.key] = bad.said
            del kept[bad.key]


def _of_one_place(job: Job) -> None:
    place = place_names().get(str(job.values.get("place")))
    if job.amendments and place and job.amendments["base"] != place:
        raise BadAnswer("amendments", "amendments of the job's own place")


def asked_only(answers: Mapping[str, Any]) -> dict[str, Any]:
    """The stored answers to what this job asks: none left over from another heater or a part not there.

    answers  as they were stored, by this version or an older one; what is no question stays
    """
    job = Job(readable(answers)[0])
    return {
        name: answer
        for name, answer in answers.items()
        if name not in CATALOGUE or CATALOGUE[name].when.holds(job.look) is not False
    }
