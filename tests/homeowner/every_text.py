"""Every fixed sentence of heaterapp.homeowner, found by looking through its modules: nobody keeps a list."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from functools import cache
from typing import Any

from heaterapp import homeowner
from heaterapp.homeowner import sale, still
from heaterapp.homeowner.said import Said


@cache
def every_text() -> dict[str, Said]:
    """Where it stands -> the sentence in both languages."""
    found: dict[str, Said] = {}
    for module in pkgutil.iter_modules(homeowner.__path__, f"{homeowner.__name__}."):
        for name, value in vars(importlib.import_module(module.name)).items():
            if name.isupper():
                for where, said in _within(value):
                    found[f"{module.name.rpartition('.')[2]}.{name}{where}"] = said
    found |= {f"asked.{check}": said for check, said in still.rules_in_words().items()}
    found |= {f"about.{check}": said for check, said in still.subjects_in_words().items()}
    found |= {f"sale.{place}": sale.law_words(law) for place, law in sale.laws().items()}
    return found


def _within(value: Any) -> Iterator[tuple[str, Said]]:
    if isinstance(value, Said):
        yield "", value
    elif isinstance(value, Mapping):
        for key, one in value.items():
            yield from ((f"[{key}]{where}", said) for where, said in _within(one))
    elif isinstance(value, tuple):
        for count, one in enumerate(value):
            yield from ((f"[{count}]{where}", said) for where, said in _within(one))
    elif is_dataclass(value):
        for field in fields(value):
            yield from (
                (f".{field.name}{where}", said) for where, said in _within(getattr(value, field.name))
            )
