"""The coverage table: what published checklists ask, against what is asked, judged and printed here."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files

from heaterapp.rules import CATALOGUE, catalog
from heaterapp.sheet.words import TOPICS


@dataclass(frozen=True, slots=True)
class Item:
    """One thing that checklists ask.

    group, asks   in our words
    questions     the questions that record it
    checks        the checks that judge it; none where no adopted book rules on it
    record_only   why it is not judged
    paper         where it stands on the paper
    """

    group: str
    asks: str
    questions: tuple[str, ...]
    checks: tuple[str, ...]
    record_only: str
    paper: str

    @property
    def labels(self) -> tuple[str, ...]:
        """The questions as a person reads them."""
        return tuple(CATALOGUE[name].label for name in self.questions)


def _paper(checks: tuple[str, ...]) -> str:
    topics = dict.fromkeys(TOPICS[name.partition(".")[0]].en for name in checks)
    return ", ".join(topics) if topics else "the answers attached to it"


@lru_cache(maxsize=1)
def items() -> tuple[Item, ...]:
    """Every row of the coverage table.

    raises  LookupError naming a question or a check that does not exist, or a row that is not covered
    """
    text = files(__package__).joinpath("matrix.toml").read_text(encoding="utf-8")
    known = {one.name for one in catalog.all_checks()}
    found = []
    for row in tomllib.loads(text)["item"]:
        questions, checks = tuple(row["questions"]), tuple(row.get("checks", ()))
        strangers = [one for one in questions if one not in CATALOGUE]
        strangers += [one for one in checks if one not in known]
        if strangers:
            raise LookupError(f"{row['asks']}: there is no {', '.join(strangers)}")
        if not questions or not (checks or row.get("record_only")):
            raise LookupError(f"{row['asks']}: neither judged nor said why not")
        why = row.get("record_only", "")
        found.append(Item(row["group"], row["asks"], questions, checks, why, _paper(checks)))
    return tuple(found)
