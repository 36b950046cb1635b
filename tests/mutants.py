"""Breaks calculations and checks on purpose, one small change at a time, and counts what the tests notice.

    python tests/mutants.py [--only PART] [--shown 40]     bar: 95 of a hundred killed; exit 1 when missed

A mutant is one comparison, one sign, one number, one `and`, one `not`, one `min` or one verdict changed in a function, or one
number of a module's constants, put in place in a forked process. A check is tried with its own case table, then with every test that judges; a
calculation with its own tests and doctests. What changes nothing that can be told is listed in EQUIVALENT with why.
"""

from __future__ import annotations

import argparse
import ast
import contextlib
import copy
import functools
import importlib
import inspect
import io
import os
import resource
import signal
import sys
import time
import types
from collections import Counter
from collections.abc import Callable, Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parent.parent
sys.path.insert(0, str(ROOT))
RULES = ROOT / "heaterapp" / "rules"
BAR = 0.95
LIMIT_S = 30
COMPARES = {
    ast.Lt: (ast.LtE, ast.GtE), ast.LtE: (ast.Lt, ast.Gt), ast.Gt: (ast.GtE, ast.LtE), ast.GtE: (ast.Gt, ast.Lt), ast.Eq: (ast.NotEq,),
    ast.NotEq: (ast.Eq,), ast.Is: (ast.IsNot,), ast.IsNot: (ast.Is,), ast.In: (ast.NotIn,), ast.NotIn: (ast.In,),
}  # fmt: skip
SIGNS = {ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult}
NAMES = {
    "min": "max",
    "max": "min",
    "meets": "fails",
    "fails": "meets",
    "authority": "meets",
    "engineer": "meets",
}
EQUIVALENT: dict[tuple[str, str], str] = {}
"""(file, what was changed) -> why nobody could tell."""


def _changes(node: ast.AST) -> Iterator[tuple[str, Callable[[Any], None]]]:
    """Every way in which one node of a function's tree is broken: words for it, and what does it."""
    if isinstance(node, ast.Compare):
        for at, op in enumerate(node.ops):
            for other in COMPARES.get(type(op), ()):
                where = f", comparison {at + 1}" if at else ""
                yield (
                    f"{type(op).__name__} -> {other.__name__}{where}",
                    lambda n, i=at, o=other: n.ops.__setitem__(i, o()),
                )
    elif isinstance(node, ast.BinOp) and type(node.op) in SIGNS:
        other = SIGNS[type(node.op)]
        yield f"{type(node.op).__name__} -> {other.__name__}", lambda n: setattr(n, "op", SIGNS[type(n.op)]())
    elif isinstance(node, ast.BoolOp):
        swapped = ast.Or if isinstance(node.op, ast.And) else ast.And
        yield f"{type(node.op).__name__} -> {swapped.__name__}", lambda n, s=swapped: setattr(n, "op", s())
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
        yield (
            "not dropped",
            lambda n: (setattr(n, "op", ast.Not()), setattr(n, "operand", ast.UnaryOp(ast.Not(), n.operand))),
        )
    elif isinstance(node, ast.Constant) and type(node.value) is int:
        yield f"{node.value} -> {node.value + 1}", lambda n: setattr(n, "value", n.value + 1)
    elif isinstance(node, ast.Name) and isinstance(node.ctx, ast.Load) and node.id in NAMES:
        yield f"{node.id} -> {NAMES[node.id]}", lambda n: setattr(n, "id", NAMES[n.id])
    elif isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Decimal" and _written(node):
        other = _next_up(_written(node))
        yield f"{_written(node)} -> {other}", lambda n: setattr(n.args[0], "value", other)


def _written(call: ast.Call) -> str:
    """The digits of a Decimal("..."), or nothing."""
    held = call.args[0] if call.args else None
    return held.value if isinstance(held, ast.Constant) and isinstance(held.value, str) else ""


def _next_up(digits: str) -> str:
    """The number one unit of its last digit away from nothing."""
    sign, told, power = Decimal(digits).as_tuple()
    return str(Decimal((sign, tuple(int(one) for one in str(int("".join(map(str, told))) + 1)), power)))


def _functions(tree: ast.Module) -> list[ast.FunctionDef]:
    return [one for one in ast.walk(tree) if isinstance(one, ast.FunctionDef)]


def _told(function: ast.FunctionDef) -> Iterator[ast.AST]:
    """The nodes of a body, words of people and formatting left out: they are no arithmetic."""
    waiting: list[ast.AST] = list(function.body)
    while waiting:
        node = waiting.pop(0)
        if isinstance(node, (ast.JoinedStr, ast.Raise, ast.FunctionDef)):
            continue
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            continue
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") in ("plain", "against_most", "against_least", "tape_most", "tape_least", "clear_of", "eighths"):
            continue
        yield node
        waiting.extend(ast.iter_child_nodes(node))


def _constants(tree: ast.Module) -> list[ast.Assign]:
    """The module's own numbers: CAPITALS = ... with a Decimal in it."""
    return [
        one for one in tree.body
        if isinstance(one, ast.Assign) and isinstance(one.targets[0], ast.Name) and one.targets[0].id.strip("_").isupper()
        and any(isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Decimal" for node in ast.walk(one.value))
    ]  # fmt: skip


def _places(tree: ast.Module) -> list[tuple[str, int, list[ast.AST]]]:
    """What can be broken: a function's or a constant's name, its line, and its nodes."""
    bodies = [(one.name, one.lineno, list(_told(one))) for one in _functions(tree)]
    return bodies + [(one.targets[0].id, one.lineno, list(ast.walk(one.value))) for one in _constants(tree)]  # type: ignore[attr-defined]


def mutants(path: Path) -> Iterator[tuple[str, str, types.CodeType]]:
    """Every mutant of a file: function, words with the line, and the mutated module's code."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    for at, (name, first, nodes) in enumerate(_places(tree)):
        for count, node in enumerate(nodes):
            for words, _ in _changes(node):
                broken = copy.deepcopy(tree)
                target = _places(broken)[at][2][count]
                next(do for said, do in _changes(target) if said == words)(target)
                ast.fix_missing_locations(broken)
                yield name, f"{getattr(node, 'lineno', first)}: {words}", compile(broken, str(path), "exec")


def _put_in_place(module: types.ModuleType, code: types.CodeType) -> None:
    """Give the module's functions the code of the mutated ones; whoever holds them calls the mutant."""
    fresh = types.ModuleType(module.__name__)
    fresh.__package__ = module.__package__
    fresh.__file__ = module.__file__
    sys.modules[module.__name__], kept = fresh, module
    try:
        exec(code, fresh.__dict__)
    finally:
        sys.modules[module.__name__] = kept
    for name, thing in vars(fresh).items():
        own = vars(module).get(name)
        for new, old in _pairs(thing, own):
            old.__code__ = new.__code__
        if name.strip("_").isupper() and thing != own:
            _change_constant(name, own, thing)
        # What was worked out before the change must not answer for the mutant.
        if hasattr(own, "cache_clear"):
            own.cache_clear()


def _change_constant(name: str, own: Any, thing: Any) -> None:
    """Whoever took the constant by its name gets the changed one."""
    for module in [one for key, one in sys.modules.items() if key.startswith("heaterapp.rules.")]:
        if vars(module).get(name) is own:
            setattr(module, name, thing)


def _pairs(thing: Any, own: Any) -> Iterator[tuple[Any, Any]]:
    if isinstance(thing, type) and isinstance(own, type):
        for name, method in vars(thing).items():
            yield from _pairs(method, vars(own).get(name))
        return
    thing, own = (getattr(one, "work", one) for one in (thing, own))
    thing, own = (inspect.unwrap(one) if callable(one) else one for one in (thing, own))
    if isinstance(thing, types.FunctionType) and isinstance(own, types.FunctionType):
        yield thing, own


def _cases(check: str) -> Callable[[], bool]:
    """Whether the check's own case table comes out."""
    from tests import test_cases

    params = [one.values for one in test_cases._cases() if one.values[0] == check]

    def run() -> bool:
        try:
            for values in params:
                test_cases.test_the_case_comes_out_as_its_table_says(*values)
        except Exception:
            return False
        return True

    return run


@functools.cache
def _pytest(*paths: str) -> Callable[[], bool]:
    import pytest

    def run() -> bool:
        quiet = io.StringIO()
        with contextlib.redirect_stdout(quiet), contextlib.redirect_stderr(quiet):
            plugins = ("-p", "no:cacheprovider", "-p", "no:xdist", "-p", "no:cov")
            return pytest.main(["-x", "-q", *plugins, *paths]) == 0

    return run


def _tried(module: types.ModuleType, code: types.CodeType, stages: list[Callable[[], bool]]) -> str:
    """Try code in a process of its own: survived, killed, or stopped where it hung.

    raises  RuntimeError where the code could not even be put in place
    """
    child = os.fork()
    if not child:
        resource.setrlimit(resource.RLIMIT_CPU, (LIMIT_S, LIMIT_S + 1))
        try:
            _put_in_place(module, code)
        except BaseException:
            os._exit(3)
        try:
            os._exit(0 if all(stage() for stage in stages) else 1)
        except BaseException:
            os._exit(1)
    ended = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    if ended == 3:
        raise RuntimeError(f"{module.__name__}: changed code cannot be put in place")
    return "stopped" if ended == -signal.SIGXCPU else "killed" if ended else "survived"


def targets(only: str) -> Iterator[tuple[Path, list[Callable[[], bool]]]]:
    """Each file with what tries it, the quick before the slow."""
    judging = ("tests/test_jobs.py", "tests/rules/test_judgement.py")
    for path in sorted((RULES / "checks").glob("*/*.py")):
        name = f"{path.parent.name}.{path.stem}"
        if only in name and path.stem != "__init__":
            yield path, [_cases(name), _pytest(*judging)]
    for path in sorted((RULES / "calc").glob("*.py")):
        if only in f"calc.{path.stem}" and path.stem != "__init__":
            tests = sorted(
                str(one)
                for one in (ROOT / "tests" / "calc").glob("test_*.py")
                if path.stem in one.read_text(encoding="utf-8")
            )
            yield path, [_pytest(str(path), *tests), _pytest("tests/test_cases.py")]


def run(only: str) -> Iterator[tuple[str, Counter[str], list[str]]]:
    """Each file: how many mutants were killed, survived, or are known to be equal; and the survivors."""
    sound: set[Callable[[], bool]] = set()
    for path, stages in targets(only):
        name = path.relative_to(RULES).as_posix()
        module = importlib.import_module("heaterapp.rules." + name.removesuffix(".py").replace("/", "."))
        counts, left = Counter[str](), []
        # Every stage on the code as it stands: what fails anyway would kill every mutant.
        unchanged = compile(path.read_text(encoding="utf-8"), str(path), "exec")
        if _tried(module, unchanged, [one for one in stages if one not in sound]) != "survived":
            raise RuntimeError(f"{name}: its tests fail before anything is changed")
        sound.update(stages)
        for function, words, code in mutants(path):
            if (name, words) in EQUIVALENT:
                counts["equal"] += 1
            else:
                ended = _tried(module, code, stages)
                counts[ended] += 1
                if ended != "killed":
                    left.append(f"{function} {words}{', hung' if ended == 'stopped' else ''}")
        yield name, counts, left


def main(arguments: list[str]) -> int:
    """Run the command; returns 1 when fewer are killed than the bar asks."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0] if __doc__ else "")
    parser.add_argument("--only", default="", help="a part of the name, such as venting. or calc.")
    chosen = parser.parse_args(arguments)
    os.chdir(ROOT)
    total, began = Counter[str](), time.monotonic()
    for name, counts, left in run(chosen.only):
        total += counts
        print(
            f"{name}: {counts['killed']} killed, {counts['survived']} survived, {counts['stopped']} hung, {counts['equal']} equal",
            flush=True,
        )
        for one in left:
            print(f"    {one}", flush=True)
    tried = total["killed"] + total["survived"] + total["stopped"]
    share = total["killed"] / tried if tried else 0
    print(
        f"{total['killed']} of {tried} killed, {share:.1%}; {total['equal']} equal; {time.monotonic() - began:.0f} s"
    )
    return int(share < BAR)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
