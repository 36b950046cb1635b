"""What one job says on every question and figure: each worked once, and gathered for whoever asks."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal, NamedTuple

from .binding import Bound
from .catalog import Argument, Contract, figure_contracts, questions_read
from .figure import carried
from .impossible import impossible
from .job import Job
from .report import Worked
from .when import NOT_ASKED, When

Status = Literal["ok", "open", "could_not_measure", "absent", "silent"]
Worst = dict[Status, list[str]]

_CALLED: dict[str, Any] = {}
_BY_WEIGHT: tuple[Status, ...] = ("open", "could_not_measure", "silent")


class Got(NamedTuple):
    """What is known of one argument: its value, or why there is none and on which questions that rests."""

    status: Status
    value: Any = None
    names: tuple[str, ...] = ()


ABSENT, SILENT = Got("absent"), Got("silent")


class Known(dict[str, Any]):
    """Questions and figures as conditions see them: None while open, NOT_ASKED where this job has none.

    A figure is worked when it is first looked at. Conditions look hundreds of times at the same few, so
    they look here, in a dict, and what a condition says is kept too: nothing that is known of a job changes.

    nonsense  question -> what it contradicts
    """

    def __init__(self, job: Job, figures: Mapping[str, Bound]) -> None:
        questions, held = job.seen(questions_read())
        super().__init__(questions)
        self.job = job
        self.nonsense = impossible(job.values, job.look)
        self.update(dict.fromkeys(self.nonsense))
        self._figures = figures
        self._got: dict[str, Got] = {}
        self._held: dict[When, bool | None] = {} if self.nonsense else held.copy()

    def __missing__(self, name: str) -> Any:
        if name in self._figures:
            self._worked(name)
        else:
            self[name] = self.job.look(name)
        return self[name]

    def got(self, name: str) -> Got:
        """What is known of a question or a figure."""
        return self._got.get(name) or self._worked(name)

    def holds(self, when: When) -> bool | None:
        """What a condition says of this job."""
        if when not in self._held:
            self._held[when] = when.holds(self.__getitem__)
        return self._held[when]

    def _worked(self, name: str) -> Got:
        if name not in self._figures:
            got = self._got[name] = self._question(name)
            return got
        got = self._figure(name)
        if got.status == "ok":
            self[name] = got.value.value
        else:
            self[name] = NOT_ASKED if got.status == "absent" else None
        self._got[name] = got
        return got

    def _question(self, name: str) -> Got:
        """What this job says on a question."""
        value = self[name]
        if value is NOT_ASKED:
            return Got("absent", None, (name,))
        if value is not None:
            return Got("ok", value)
        tried = self.job.state.get(name) == "could_not_measure"
        return Got("could_not_measure" if tried else "open", None, (name,))

    def _figure(self, name: str) -> Got:
        """A figure's worked value, or what keeps it from being computed."""
        rule, needs = figure_contracts()[name]
        bound = self._figures[name]
        got, arguments = self.gather(needs, bound)
        if got is not None:
            return got
        assert bound.values is not None
        for one in needs.arguments:
            if one.figure:
                arguments[one.name] = _carried(one.name, arguments[one.name])
        work = rule.work(**arguments, **bound.values)
        waits = tuple(self.open(*work.needs)) if work.needs else ()
        if not waits:
            return Got("ok", work)
        return Got("could_not_measure" if self.tried(waits) else "open", None, waits)

    def gather(self, needs: Contract, bound: Bound) -> tuple[Got | None, dict[str, Any]]:
        """What a check or a figure is called with; or, in its place, why it cannot be called."""
        holds = self.holds(needs.when)
        if holds is False:
            return ABSENT, _CALLED
        if bound.values is None:
            return SILENT, _CALLED
        arguments: dict[str, Any] = {}
        worst: Worst = {}
        for wanted in needs.arguments:
            name = wanted.name
            got = self._got.get(name) or self._worked(name)
            if got.status == "ok" and wanted.plain:
                arguments[name] = got.value == "yes" if wanted.mode == "bool" else got.value
            else:
                self._take(wanted, got, arguments, worst)
        if holds and not worst:
            return None, arguments
        if "absent" in worst:
            return Got("absent", None, tuple(worst["absent"])), _CALLED
        if holds is None:
            for name in needs.when.waited_for:
                got = self.got(name)
                if got.status in ("open", "could_not_measure"):
                    worst.setdefault(got.status, []).extend(got.names)
        if worst:
            status = next(one for one in _BY_WEIGHT if one in worst)
            return Got(status, None, tuple(dict.fromkeys(worst[status]))), _CALLED
        return None, arguments

    def _take(self, wanted: Argument, got: Got, arguments: dict[str, Any], worst: Worst) -> None:
        """Put one argument, or what keeps it back, where it belongs."""
        name, value = wanted.name, got.value
        if wanted.given and name in self.job.assumed:
            got = Got("open", None, (name,))
        if got.status != "ok":
            if got.status == "open" and wanted.mode == "raw" and self.job.values.get(name) == "unknown":
                arguments[name] = "unknown"
                return
            if wanted.required and not (got.status == "absent" and wanted.or_not_here):
                worst.setdefault(got.status, []).extend(got.names or (name,))
            arguments[name] = None
        elif wanted.mode == "bool":
            arguments[name] = value == "yes"
        elif wanted.figure and wanted.mode != "worked":
            if value.value is None and wanted.required:
                worst.setdefault("absent", []).append(name)
            arguments[name] = value.value
        else:
            arguments[name] = value

    def open(self, *names: str) -> list[str]:
        """The questions that these wait for."""
        got = (self.got(one) for one in names)
        return [name for one in got if one.status in ("open", "could_not_measure") for name in one.names]

    def tried(self, names: tuple[str, ...]) -> bool:
        """Whether each of these was said to be out of reach."""
        return all(self.got(one).status == "could_not_measure" for one in names)


def _carried(name: str, given: Any) -> Any:
    """A figure as the next one is given it: its printed number."""
    rule = figure_contracts()[name][0]
    if isinstance(given, Worked):
        return given._replace(value=carried(given.value, rule))
    return carried(given, rule)
