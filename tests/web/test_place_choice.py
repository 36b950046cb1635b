"""The choice of codes: every place once, the invented example towns last."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from heaterapp.rules import place, place_names


def test_the_example_towns_stand_last_and_say_what_they_are(visit: Callable[..., Any]) -> None:
    page = visit("installer").get("/jobs/new").text
    select = re.search(r'<select[^>]*name="place".*?</select>', page, re.S)
    assert select
    offered = [name for name in re.findall(r'<option value="(\w+)"', select[0]) if name]
    assert sorted(offered) == sorted(set(place_names().values()))
    examples = [name for name in offered if place(name).title.startswith("Example town ")]
    assert examples
    assert offered[-len(examples) :] == examples
