"""Finds the checks and figures, and reads each one's contract off its signature.

Ordinary arguments are questions or figures; keyword-only arguments are values of
the clauses the check names; annotations are units; a default of None makes an
argument optional. `bool` asks for a yes/no answer, `YesNoUnknown` takes "unknown"
as an answer, `Foot | NotHere` takes "not here" as None, `Worked` takes a figure with its reason
when it has no value.
"""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import sys
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import lru_cache
from types import ModuleType
from typing import Any, Literal, NewType, get_args, get_type_hints

from . import checks as checks_package
from . import figures as figures_package
from .figure import FigureRule
from .questions import CATALOGUE, ORDER
from .report import TOPICS, Kind, Worked
from .units import Unit
from .when import ALWAYS, When

YesNoUnknown = NewType("YesNoUnknown", str)


class NotHere:
    """In an annotation, `Foot | NotHere`: an answer is needed, and "not here" is one (given as None)."""


_READ = frozenset({"CLAUSES", "WHEN", "HAZARD", "MUST_MEASURE", "KIND"})

class Given:
    """In an annotation, `Annotated[Foot, Given]`: only an answer counts, never the question's default."""


Mode = Literal["value", "bool", "raw", "worked"]


@dataclass(frozen=True, slots=True)
class Argument:
    """One ordinary argument: a question or a figure.

    plain  an answer to it, or the figure with its reason, is passed on whatever else is known
    """

    name: str
    figure: bool
    required: bool
    mode: Mode
    unit: str
    or_not_here: bool
    given: bool
    plain: bool = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "plain", not self.given and (not self.figure or self.mode == "worked"))


@dataclass(frozen=True, slots=True)
class ClauseValue:
    """One keyword-only argument: a value of one of the named clauses."""

    name: str
    required: bool
    unit: str


@dataclass(frozen=True, slots=True)
class Contract:
    """What a function needs before it can be called."""

    arguments: tuple[Argument, ...]
    values: tuple[ClauseValue, ...]
    clauses: tuple[str, ...]
    when: When


@dataclass(frozen=True, slots=True)
class Check:
    """One check, as its file declares it."""

    name: str
    topic: str
    title: str
    reason: str
    remedy: str
    hazard: bool
    must_measure: bool
    kind: Kind
    contract: Contract
    run: Callable[..., Any]
    questions: tuple[str, ...]


def _unit_of(hint: Any) -> str:
    for part in (hint, *get_args(hint)):
        for extra in getattr(part, "__metadata__", ()):
            if isinstance(extra, Unit):
                return str(extra)
    return ""


def _mode_of(hint: Any) -> Mode:
    kinds = (hint, *get_args(hint))
    if Worked in kinds:
        return "worked"
    if YesNoUnknown in kinds:
        return "raw"
    return "bool" if bool in kinds else "value"


def contract(
    work: Callable[..., Any], clauses: tuple[str, ...], when: When, figures: frozenset[str]
) -> Contract:
    """Read a check's or a figure's contract off its signature.

    raises  TypeError naming an argument that is neither a question nor a figure, or has a default of its own
    """
    hints = get_type_hints(work, include_extras=True)
    arguments, values = [], []
    for name, parameter in inspect.signature(work).parameters.items():
        hint = hints.get(name)
        required = parameter.default is inspect.Parameter.empty
        if parameter.kind is inspect.Parameter.KEYWORD_ONLY:
            values.append(ClauseValue(name, required, _unit_of(hint)))
            continue
        if name not in CATALOGUE and name not in figures:
            raise TypeError(f"{work.__module__}: {name} is neither a question nor a figure")
        if not required and parameter.default is not None:
            # What is not answered comes as None whatever stands here.
            raise TypeError(f"{work.__module__}: {name} has a default that is never used: None, or none")
        arguments.append(
            Argument(
                name, name in figures, required, _mode_of(hint), _unit_of(hint),
                NotHere in get_args(hint),
                any(Given in getattr(part, "__metadata__", ()) for part in (hint, *get_args(hint))),
            )
        )
    return Contract(tuple(arguments), tuple(values), clauses, when)


def _figure_rules() -> dict[str, FigureRule]:
    found: dict[str, FigureRule] = {}
    for info in sorted(pkgutil.iter_modules(figures_package.__path__), key=lambda one: one.name):
        module = importlib.import_module(f"{figures_package.__name__}.{info.name}")
        for thing in vars(module).values():
            if isinstance(thing, FigureRule) and thing.work.__module__ == module.__name__:
                found[thing.name] = thing
    return found


@lru_cache(maxsize=1)
def figure_contracts() -> dict[str, tuple[FigureRule, Contract]]:
    """Every figure with its contract, in name order of module, then as written."""
    rules = _figure_rules()
    names = frozenset(rules)
    return {name: (rule, contract(rule.work, rule.clauses, rule.when, names)) for name, rule in rules.items()}


def figure_questions(name: str) -> tuple[str, ...]:
    """Every question a figure rests on, through other figures too."""
    rule, needs = figure_contracts()[name]
    asked: list[str] = []
    for one in (*(a.name for a in needs.arguments), *rule.when.names):
        asked.extend(figure_questions(one) if one in figure_contracts() else (one,))
    return tuple(dict.fromkeys(asked))


def _said(module: ModuleType) -> tuple[str, str, str]:
    text = inspect.cleandoc(module.__doc__ or "")
    title = text.split("\n", 1)[0]
    reason = " ".join(text.partition("\nWhy:")[2].partition("\nFix:")[0].split())
    remedy = " ".join(text.partition("\nFix:")[2].split())
    return title, _sentence(reason), _sentence(remedy)


def _sentence(said: str) -> str:
    return said[:1].upper() + said[1:]


def _unread(module: ModuleType) -> list[str]:
    """A check's constants that neither the catalog reads nor another module of the rules shares with it."""
    rules = __name__.rpartition(".")[0] + "."
    others = [
        vars(one) for name, one in list(sys.modules.items()) if name.startswith(rules) and one is not module
    ]
    own = (name for name in vars(module) if name.isupper() and not name.startswith("_"))
    return [name for name in own if name not in _READ and not any(name in one for one in others)]


def _check(topic: str, package: ModuleType, module: ModuleType) -> Check:
    """Read a check's file; MUST_MEASURE may stand in its topic's package, for all of them.

    raises  TypeError naming a folder that is no topic, a check that has no CLAUSES, or
            a constant that nothing reads: a misspelt HAZARD would be silence
    """
    if topic not in TOPICS:
        raise TypeError(f"checks/{topic} is no topic: report.TOPICS has {', '.join(TOPICS)}")
    if not hasattr(module, "CLAUSES"):
        raise TypeError(f"{module.__name__} names no CLAUSES")
    unread = _unread(module)
    if unread:
        raise TypeError(f"{module.__name__}: nothing reads {', '.join(unread)}")
    name = f"{topic}.{module.__name__.rpartition('.')[2]}"
    when = getattr(module, "WHEN", ALWAYS)
    needs = contract(module.check, tuple(module.CLAUSES), when, frozenset(figure_contracts()))
    asked: list[str] = []
    for one in (*(a.name for a in needs.arguments), *when.names):
        asked.extend(figure_questions(one) if one in figure_contracts() else (one,))
    title, reason, remedy = _said(module)
    return Check(
        name,
        topic,
        title,
        reason,
        remedy,
        hazard=getattr(module, "HAZARD", False),
        # A hazard is never left to the authority because nobody looked.
        must_measure=getattr(module, "HAZARD", False)
        or getattr(module, "MUST_MEASURE", getattr(package, "MUST_MEASURE", False)),
        kind=getattr(module, "KIND", "rule"),
        contract=needs,
        run=module.check,
        questions=tuple(dict.fromkeys(asked)),
    )


def _first_own_question(one: Check) -> int:
    own = [ORDER[a.name] for a in one.contract.arguments if a.name in ORDER]
    rest = [ORDER[q] for q in one.questions]
    return min(own or rest, default=0)


@lru_cache(maxsize=1)
def all_checks() -> tuple[Check, ...]:
    """Every check there is, by topic, then in the order in which their questions are measured."""
    found = []
    for info in pkgutil.iter_modules(checks_package.__path__):
        package = importlib.import_module(f"{checks_package.__name__}.{info.name}")
        for one in pkgutil.iter_modules(package.__path__):
            module = importlib.import_module(f"{package.__name__}.{one.name}")
            found.append(_check(info.name, package, module))
    return tuple(sorted(found, key=lambda one: (TOPICS.index(one.topic), _first_own_question(one), one.name)))


@lru_cache(maxsize=1)
def questions_read() -> frozenset[str]:
    """Every question that a check, a figure, or the asking of another question rests on."""
    asked: set[str] = set()
    for one in all_checks():
        asked.update(one.questions)
    for name in figure_contracts():
        asked.update(figure_questions(name))
    return frozenset(asked)
