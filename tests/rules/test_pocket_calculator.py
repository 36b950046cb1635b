"""Every printed working, put into a pocket calculator, gives the number printed behind it."""

from __future__ import annotations

import json
import math
import re
from collections import Counter
from pathlib import Path

import pytest

from heaterapp.rules import assess

JOBS = sorted((Path(__file__).parents[1] / "jobs").glob("*.json"))
NUMBER = r"-?\d[\d,]*(?:\.\d+)?"
EQUAL = re.compile(rf"([^:;=]*?) = ({NUMBER})(?= |$|,|;)")
LEADS = re.compile(r"^(?:third|clear above the controls from|yield|rupture|sideways|[\d.]+ to)\s+")


def keyed(text: str) -> float:
    """What a pocket calculator in degrees shows for a printed expression."""
    keys = text.replace(",", "").replace(" x ", " * ").replace("^", "**")
    keys = re.sub(r"\b(cos|sin|tan) ([\d.]+)", r"\1(\2)", re.sub(r"(?<=\d) (?=cos|sin|tan)", " * ", keys))
    assert re.fullmatch(r"(?:[\d.\s()+*/-]|e-|cos|sin|tan)+", keys), text
    turned = {name: lambda deg, of=of: of(math.radians(deg)) for name, of in
              (("cos", math.cos), ("sin", math.sin), ("tan", math.tan))}  # fmt: skip
    return float(eval(keys, {"__builtins__": {}}, turned))


def wrong(worked: str) -> tuple[int, list[str]]:
    """How many sums a working has, and those whose printed result is more than a unit of its last place off."""
    sums, off, before = 0, [], ""
    for text, result in EQUAL.findall(worked):
        text = LEADS.sub("", text.strip().lstrip(",").strip())
        # what a name is said to be, and worked on from there
        text, before = f"{before} {text}" if text.startswith(("x ", "/ ")) else text, result
        if not re.search(r" [x/+-] |\^", text) or re.search(r"\b(?!cos|sin|tan)[A-Za-z]{2,}", text):
            continue
        sums += 1
        unit = 10.0 ** -len(result.partition(".")[2])
        shown = keyed(text)
        if abs(shown - float(result.replace(",", ""))) > unit + 1e-9:
            off.append(f"{text} = {result}, calculator {shown}")
    return sums, off


@pytest.mark.parametrize(
    "worked",
    [
        "0.745 / (1 - (73 + 14.632) / (80 + 14.632)) = 10.078 gal, rounded up",
        "0.0239 x (0.75 - 0.312) x 45,000 / 2 = 234 lb",
        "664 x 140 / (664 x (19.8 / 74.8)^2 + 140 x (72.2 / 74.8)^2) = 527 lb",
        "112.2 / (2 cos 24.5) = 61.9 lb",
    ],
)
def test_a_working_that_a_calculator_does_not_give_is_told(worked: str) -> None:
    assert wrong(worked)[1]


def test_every_working_of_the_whole_jobs_is_what_a_calculator_gives() -> None:
    seen, told, off = Counter[str](), set[str](), []
    for path in JOBS:
        for name, one in assess(json.loads(path.read_text("utf-8"))["answers"]).as_json()["figures"].items():
            if one["worked"] and one["worked"] not in told:
                told.add(one["worked"])
                sums, bad = wrong(one["worked"])
                seen[name] += sums
                off += [f"{path.stem} {name}: {text}" for text in bad]
    assert off == []
    assert len([name for name, count in seen.items() if count]) > 20, seen
