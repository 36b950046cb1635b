"""The homeowner's page as one plain text: what tests read of it."""

from __future__ import annotations

from collections.abc import Iterator

from heaterapp.homeowner import Page


def as_text(page: Page) -> str:
    """Return the whole page as plain text with an empty line between its parts."""
    return "\n\n".join("\n".join(lines) for lines in _parts(page) if lines) + "\n"


def _parts(page: Page) -> Iterator[list[str]]:
    yield [page.title.upper()]
    yield list(page.notices)
    yield [page.emergency_title.upper(), *(f"{when}: {do}" for when, do in page.emergencies)]
    for one in page.still:
        yield [one.heading, *(f"- {rule}" for rule in one.rules)]
    yield [page.whom_to_ask] if page.whom_to_ask else []
    yield [page.what_title.upper(), " ".join(page.what), *_labelled(page.facts)]
    yield [page.numbers_title.upper(), *(f"- {one.sentence}" for one in page.numbers)] if page.numbers else []
    yield [page.advised_title.upper(), page.advised_first, *(f"- {one}" for one in page.advised)] if page.advised else []
    yield [page.watch_title.upper(), *(f"- {one}" for one in page.signs), *page.leave_alone]
    yield [page.care_title.upper(), page.care_first, *(f"- {what}: {often}." for what, often in page.care)]
    yield [page.warranty_title.upper(), *page.warranty] if page.warranty else []
    yield [page.calls_title.upper(), *_labelled(page.calls)]
    yield [page.sale_title.upper(), *page.sale] if page.sale else []
    yield [page.caution]


def _labelled(facts: tuple[tuple[str, str], ...]) -> Iterator[str]:
    for label, value in facts:
        yield f"{label}: {value.replace(chr(10), ', ')}"
