"""Each caution beside what it is about: an item to fix or open, else the topic in the list of what meets."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import Any

from . import wording
from .paper import Caution
from .parties import Answers
from .saying import own


def cautions_for(answers: Answers) -> tuple[wording.Caution, ...]:
    """The cautions that belong to this heater, the gravest first."""
    kind = str(answers.get("heater_kind") or "")
    has = {
        "all": True,
        # Of a heater that nobody named every one is said.
        "gas": not kind or "gas" in kind or kind == "indirect",
        "fuel": not kind or "gas" in kind or kind == "indirect",
        "electric": not kind or "electric" in kind or kind == "heat_pump_storage",
        "storage": not kind or "storage" in kind or kind == "indirect",
        "strapped": answers.get("strap_kind") not in (None, "", "none"),
    }
    return tuple(one for one in wording.CAUTIONS if has[one.about])


def placed(
    answers: Answers, items: Sequence[Mapping[str, Any]], topics: Collection[str]
) -> tuple[Mapping[int, tuple[Caution, ...]], Mapping[str, tuple[Caution, ...]], tuple[Caution, ...]]:
    """Place each caution once.

    items    findings that are told in full, in their order on the paper
    topics   topics of the findings that meet
    returns  by id() of an item; by topic, for the list; and those that have no place
    """
    by_item: dict[int, tuple[Caution, ...]] = {}
    by_topic: dict[str, tuple[Caution, ...]] = {}
    left: list[Caution] = []
    for one in cautions_for(answers):
        said = (own(one.lead), own(one.text))
        item = next((id(find) for name in one.topics for find in items if find["topic"] == name), None)
        topic = next((name for name in one.topics if name in topics), None)
        if item is not None:
            by_item[item] = (*by_item.get(item, ()), said)
        elif topic is not None:
            by_topic[topic] = (*by_topic.get(topic, ()), said)
        else:
            left.append(said)
    return by_item, by_topic, tuple(left)
