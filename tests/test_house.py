"""The architecture, kept by tests: who may import whom, where numbers live, what every clause carries."""

from __future__ import annotations

import ast
import re
import sys
from collections.abc import Iterator
from decimal import Decimal
from functools import cache
from itertools import chain
from pathlib import Path

import pytest

from heaterapp.rules import book, catalog
from heaterapp.rules.book import CONFIDENCE, Clause, Table
from heaterapp.rules.questions import CATALOGUE
from heaterapp.rules.report import TOPICS

PACKAGE = Path(__file__).parent.parent / "heaterapp"
RULES = PACKAGE / "rules"
LONGEST_FILE = 300
PLACES = sorted(set(book.place_names().values()))

# A package may import itself and what stands before it in its row.
MAY_IMPORT = {
    "rules.writing": set(),
    "rules.against": {"rules.writing"},
    "rules.units": {"rules.against", "rules.writing"},
    "rules.when": set(),
    "rules.calc": {"rules.units"},
    "rules.question": {"rules.when"},
    "rules.questions": {"rules.question", "rules.when"},
    "rules.report": {"rules.units"},
    "rules.book": set(),
    "rules.figure": {"rules.report", "rules.units", "rules.when", "rules.writing"},
    "rules.redone": {"rules.writing"},
    "rules.figures": {"rules.units", "rules.when", "rules.calc", "rules.figure", "rules.redone", "rules.report", "rules.book", "rules.questions", "rules.catalog"},
    "rules.checks": {"rules.units", "rules.when", "rules.calc", "rules.report", "rules.book", "rules.questions", "rules.catalog"},
    "languages.patterns": set(),
    "languages.typeset": {"languages.patterns"},
    "languages.laying": {"languages.patterns"},
    "languages.sentences": {"languages.laying", "languages.patterns"},
    "sheet": {"languages", "rules"},
    "filling": {"languages", "rules", "sheet"},
    "forms": {"languages", "rules", "filling"},
    "manual": {"rules", "sheet", "certificate", "fonts"},
    "crew": set(),
    "certificate": {"languages", "rules", "sheet", "filling", "fonts", "font_faces", "font_fractions", "crew", "firm_clock", "firm_days"},
    "archive": {"firm_days"},
    "firm_days": set(),
    "firm_clock": {"languages", "sheet"},
    "homeowner": {"rules", "sheet", "firm_days"},
    "photo": {"crew"},
    "sealing": set(),
    "sealed_papers": {"archive", "sealing"},
    "mailing": {"archive", "firm_days", "homeowner", "sealed_papers"},
}  # fmt: skip


def _sources(folder: Path) -> list[Path]:
    return sorted(folder.rglob("*.py"))


def _module(path: Path) -> str:
    parts = path.relative_to(PACKAGE.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


@cache
def _imports(path: Path) -> tuple[str, ...]:
    return tuple(_imported(path))


def _imported(path: Path) -> Iterator[str]:
    package = _module(path) if path.name == "__init__.py" else _module(path).rpartition(".")[0]
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            if not node.level:
                yield node.module or ""
                continue
            base = ".".join(package.split(".")[: len(package.split(".")) - node.level + 1])
            whole = f"{base}.{node.module}" if node.module else base
            for alias in node.names:
                target = PACKAGE.parent.joinpath(*whole.split("."), f"{alias.name}.py")
                folder = PACKAGE.parent.joinpath(*whole.split("."), alias.name)
                yield f"{whole}.{alias.name}" if target.exists() or folder.is_dir() else whole


def test_rules_import_only_the_standard_library_and_themselves() -> None:
    for path in _sources(RULES):
        for name in _imports(path):
            own = name.startswith("heaterapp.rules")
            assert own or name.split(".")[0] in sys.stdlib_module_names, f"{path.name} imports {name}"


@pytest.mark.parametrize("part", sorted(MAY_IMPORT))
def test_the_import_arrow_points_one_way(part: str) -> None:
    base = PACKAGE.joinpath(*part.split("."))
    paths = _sources(base) if base.is_dir() else [base.with_suffix(".py")]
    assert paths, part
    allowed = {part, *MAY_IMPORT[part]}
    for path in paths:
        for name in _imports(path):
            if name.startswith("heaterapp."):
                short = name.removeprefix("heaterapp.")
                assert any(short == a or short.startswith(a + ".") for a in allowed), f"{path} imports {name}"


def test_a_migration_goes_by_nothing_that_changes_after_it() -> None:
    folder = PACKAGE / "archive" / "migrations"
    allowed = ("heaterapp.archive.dialect", "heaterapp.archive.migrations")
    found = [path for path in _sources(folder) if path.name != "env.py"]
    assert len(found) > 6
    for path in found:
        for name in _imports(path):
            known = name == "heaterapp.archive" or name.startswith(allowed)
            assert not name.startswith("heaterapp") or known, f"{path.name} imports {name}"


def test_the_web_never_imports_a_check_or_a_table_of_the_archive() -> None:
    for path in _sources(PACKAGE / "web"):
        for name in _imports(path):
            assert not name.startswith(
                ("heaterapp.rules.checks", "heaterapp.archive.models", "heaterapp.archive.tables")
            ), f"{path} imports {name}"


def test_no_file_of_the_program_or_its_tests_is_longer_than_three_hundred_lines() -> None:
    static, tests = PACKAGE.parent / "static", Path(__file__).parent
    places = (_sources(PACKAGE), _sources(tests), sorted(static.rglob("*.js")), sorted(static.rglob("*.css")))
    assert all(places)
    long = {
        str(path.relative_to(PACKAGE.parent)): lines
        for path in chain.from_iterable(places)
        if (lines := len(path.read_text(encoding="utf-8").splitlines())) > LONGEST_FILE
    }
    assert not long


def test_no_number_but_nought_and_one_stands_in_a_check() -> None:
    for path in _sources(RULES / "checks"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if (
                isinstance(node, ast.Constant)
                and isinstance(node.value, (int, float))
                and not isinstance(node.value, bool)
            ):
                assert node.value in (0, 1), f"{path}:{node.lineno} holds {node.value}"
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Decimal":
                said = node.args and isinstance(node.args[0], ast.Constant) and node.args[0].value
                assert said in (0, 1, "0", "1", False), f"{path}:{node.lineno} holds Decimal({said})"


def _every_clause() -> Iterator[tuple[str, Clause]]:
    for place in PLACES:
        for ident, clause in book.place(place).clauses.items():
            yield f"{place} {ident}", clause


def test_every_clause_says_where_when_and_how_surely_it_was_read() -> None:
    for name, clause in _every_clause():
        assert all((clause.section, clause.says, clause.where)), name
        assert clause.on >= "2026-11-25", name
        assert clause.confidence in CONFIDENCE, name
        assert clause.confidence != "carried" or clause.carried_from, f"{name}: carried from which edition?"


def test_a_section_number_from_memory_is_marked_as_not_surely_read() -> None:
    for name, clause in _every_clause():
        if "from memory" in clause.where:
            assert clause.confidence not in ("read", "two_sources"), name


def test_every_table_cell_is_known_with_a_stated_confidence() -> None:
    for path in sorted((RULES / "codes" / "tables").glob("*.toml")):
        held: Table = book.table(path.name.removesuffix(".toml"))
        assert held.confidence in CONFIDENCE
        assert held.rows, path.name
        for row in held.rows:
            assert row.get("confidence", held.confidence) in CONFIDENCE, f"{path.name} {dict(row)}"


@pytest.mark.parametrize("place", PLACES)
def test_a_place_states_every_clause_or_says_that_it_is_silent(place: str) -> None:
    held = book.place(place)
    wanted = [c.contract for c in catalog.all_checks()] + [n for _, n in catalog.figure_contracts().values()]
    for needs in wanted:
        for ident in needs.clauses:
            assert ident in held.clauses or ident in held.silent, (
                f"{place}: {ident} is neither stated nor silent"
            )


@pytest.mark.parametrize("place", PLACES)
def test_a_clause_gives_values_in_the_unit_the_signature_says(place: str) -> None:
    held = book.place(place)
    wanted = [c.contract for c in catalog.all_checks()] + [n for _, n in catalog.figure_contracts().values()]
    for needs in wanted:
        for value in needs.values:
            for ident in needs.clauses:
                clause = held.clauses.get(ident)
                if clause and value.name in clause.values and isinstance(clause.values[value.name], Decimal):
                    assert clause.units[value.name] == value.unit, f"{place} {ident}.{value.name}"


def test_no_two_clauses_of_a_check_state_a_value_of_the_same_name() -> None:
    for place in PLACES:
        held = book.place(place)
        for one in catalog.all_checks():
            for value in one.contract.values:
                holders = [
                    c
                    for c in one.contract.clauses
                    if c in held.clauses and value.name in held.clauses[c].values
                ]
                assert len(holders) <= 1, f"{place} {one.name}: {value.name} stands in {holders}"


def test_a_check_or_figure_reads_a_question_in_the_question_s_unit() -> None:
    figures = catalog.figure_contracts()
    wanted = [(c.name, c.contract) for c in catalog.all_checks()] + [(n, c) for n, (_, c) in figures.items()]
    for name, needs in wanted:
        for argument in needs.arguments:
            if argument.figure:
                declared = figures[argument.name][0].unit
                assert argument.mode == "worked" or argument.unit in ("", declared), (
                    f"{name}: {argument.name}"
                )
            else:
                question = CATALOGUE[argument.name]
                assert argument.unit == question.unit, f"{name}: {argument.name} is in {question.unit}"
                assert (argument.mode in ("bool", "raw")) == (
                    question.kind == "yes_no"
                ) or question.kind == "choice", f"{name}: {argument.name}"


def test_a_check_decides_only_by_clauses_it_names() -> None:
    for one in catalog.all_checks():
        path = RULES.joinpath("checks", *one.name.split(".")).with_suffix(".py")
        named = {
            node.value
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
            if isinstance(node, ast.Constant) and isinstance(node.value, str)
            if re.fullmatch(rf"{one.topic}\.[a-z_0-9]+", node.value)
        }
        assert named <= set(one.contract.clauses), f"{one.name}: {named - set(one.contract.clauses)}"


def test_a_check_s_file_has_no_constant_that_nothing_reads() -> None:
    """A misspelt HAZARD or MUST_MEASURE would be silence."""
    for path in _sources(RULES / "checks"):
        allowed = {"MUST_MEASURE"} if path.name == "__init__.py" else {"CLAUSES", "WHEN", "HAZARD", "MUST_MEASURE", "KIND"}
        beside = " ".join(one.read_text(encoding="utf-8") for one in path.parent.glob("*.py") if one != path)
        for word in re.findall(r"^([A-Z][A-Z_0-9]*)\b[^=\n]*=", path.read_text(encoding="utf-8"), re.MULTILINE):
            assert word in allowed or f"import {word}" in beside, f"{path}: nothing reads {word}"


def test_a_value_that_a_signature_asks_for_is_stated_somewhere() -> None:
    every = [book.place(place).clauses for place in PLACES]
    wanted = [(c.name, c.contract) for c in catalog.all_checks()]
    wanted += [(name, needs) for name, (_, needs) in catalog.figure_contracts().items()]
    for name, needs in wanted:
        stated = {value for held in every for c in needs.clauses if c in held for value in held[c].values}
        asked = {value.name for value in needs.values if value.required}
        assert asked <= stated, f"{name}: no book states {asked - stated}"


def test_every_check_says_what_why_and_what_to_do() -> None:
    for one in catalog.all_checks():
        assert one.topic in TOPICS
        assert one.title.endswith("."), one.name
        assert one.reason, f"{one.name} has no Why:"
        assert one.remedy, f"{one.name} has no Fix:"


def test_a_when_names_only_questions_and_figures() -> None:
    figures = set(catalog.figure_contracts())
    for question in CATALOGUE.values():
        assert set(question.when.names) <= set(CATALOGUE), question.name
    for one in catalog.all_checks():
        assert set(one.contract.when.names) <= set(CATALOGUE) | figures, one.name


def test_every_public_calculation_states_its_arguments_and_source() -> None:
    for path in _sources(RULES / "calc"):
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
                said = ast.get_docstring(node) or ""
                for argument in (*node.args.args, *node.args.kwonlyargs):
                    assert argument.arg in said or "as for `" in said, (
                        f"{path.name} {node.name}: {argument.arg} is not described"
                    )
