"""A job of the first firm's installer that is ready to sign, but for what a test has otherwise."""

from __future__ import annotations

from typing import Any

from heaterapp import archive, demo


def ready(store: Any, people: Any, **different: Any) -> archive.Job:
    """Begin the job of the story, with these answers otherwise."""
    story = demo.Story("PL-0001", "gas", "12 N. Oak Ave", "Dana Whitlock", "LW26K0041877", "2026-09-03")
    person = people["a", "installer"]
    return store.jobs.create(person.organisation, person.id, {**demo.answers_of(story), **different})
