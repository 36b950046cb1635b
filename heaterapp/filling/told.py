"""What a few changed answers mean: read one by one, held together, judged, and told section by section."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from typing import Any

from ..languages import say
from ..languages import told as in_words
from ..rules import CATALOGUE, BadAnswer, Job
from ..rules.reading import accepted_words
from ..sheet import live as sheet
from ..sheet.groups import Group, groups
from . import usual
from .judging import judged, without
from .typed import questions_of, read_typed, shown
from .ways import following, sections_of, way_on_words

Codes = Callable[[Any], Mapping[str, Any]]


def read_changes(
    changes: Mapping[str, Any], codes: Mapping[str, Codes]
) -> tuple[dict[str, Any], dict[str, str], dict[str, list[str]]]:
    """Read changes one by one, so that what cannot be read holds nothing else back.

    changes  question -> as typed, None to take the answer away
    codes    name -> what reads it in place of `read_typed`: the codes a job is judged by
    returns  the readable ones as they are stored; question -> what was expected; question -> the words
             that are taken, for a machine
    """
    readable: dict[str, Any] = {}
    errors: dict[str, str] = {}
    accepted: dict[str, list[str]] = {}
    for name, given in changes.items():
        try:
            readable |= codes[name](given) if name in codes else {name: read_typed(name, given)}
        except BadAnswer as bad:
            errors[name[:60]] = in_words("common", bad.said)
            words = accepted_words(CATALOGUE[name]) if name in CATALOGUE else []
            if words:
                accepted[name] = words
    return readable, errors, accepted


def told(
    answers: Mapping[str, Any],
    unread: Collection[str],
    section: str | None,
    sections: tuple[str, ...],
    job: Job | None = None,
    presets: Any = None,
) -> dict[str, Any]:
    """What `sheet.live` tells of these answers, and of one section also what its page shows.

    answers   the stored answers that this version reads
    unread    questions whose field holds something that cannot be read: no verdict rests on the old answer
    section   the one on the page, if one is
    sections  those whose HTML is wanted
    job       the answers as read, where they were read already
    presets   the firm's own, as `usual.presets_of` takes them
    """
    answered = without(answers, dict.fromkeys(unread))
    read = Job(answered) if job is None or len(answered) < len(answers) else job
    now = sheet.live(answered, judged(answered, read), sections, read)
    if not section:
        return now
    order = sections_of(now["asked"])
    return now | {
        "order": order,
        "onward": way_on_words(following(section, order, now)),
        "boxes": {q.name: shown(q, answers.get(q.name)) for q in questions_of(section)},
        "usual": usual.told(usual.offered(section, read, now["asked"], now["spare"], presets)),
    }


def parts(
    section: str, now: Mapping[str, Any], answers: Mapping[str, Any], wrong: Collection[str]
) -> list[Group]:
    """A section's questions that do not stay behind, under their headings.

    now    what `told` told
    wrong  names of those whose answer could not be saved
    """
    in_view = [q.name for q in questions_of(section) if q.name in wrong or q.name not in now["spare"]]
    return groups(section, in_view, now, answers, wrong)


def folded_words(group: Group) -> str:
    """What a folded heading says of the questions behind it: `2 to answer`, `4 answered, 1 as usual`."""
    if group.waits:
        said = say("{count} to answer", count=group.waits)
    elif group.left:
        said = say("{count} empty", count=group.left)
    else:
        said = group.shown or say("1 answered" if group.asked == 1 else "{count} answered", count=group.asked)
    return say("{said}, {count} as usual", said=said, count=group.usual) if group.usual else said
