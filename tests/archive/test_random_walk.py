"""5,000 random steps against the model, 20,000 by `--whole`; more by `python tests/archive/random_walk.py --steps 1000000`."""

import pytest

from heaterapp.archive import answered, erasure, holds, issuing, sweeping
from tests.archive import random_walk
from tests.grids import WHOLE

STEPS = 10_000 if WHOLE else 2_500


@pytest.mark.soak
@pytest.mark.parametrize("seed", [1, 1001])
def test_random_steps_break_nothing(seed):
    counted = random_walk.walk(STEPS, seed)
    assert sum(counted.values()) == STEPS
    assert set(counted) == set(random_walk.WEIGHTS)


BROKEN = {
    "a hold that nobody heeds": (holds, "refuse_held", lambda *_: None),
    "marks that outlive an erasure": (sweeping, "drop", lambda *_: None),
    "a search that forgets": (issuing, "words_of", lambda *_: "nothing"),
    "a key that is not found again": (issuing, "issued_by_key", lambda *_: None),
    "content that outlives an erasure": (erasure, "empty", lambda *_: None),
    "a retry that names another": (answered, "issued", None),
}


@pytest.mark.parametrize("what", BROKEN)
def test_what_is_broken_is_noticed_with_its_seed(monkeypatch, what):
    where, name, instead = BROKEN[what]
    if instead is None:
        right = getattr(where, name)
        instead = lambda row, repeated, finished: right(row, False, finished)  # noqa: E731
    monkeypatch.setattr(where, name, instead)
    with pytest.raises(AssertionError, match=r"seed \d+, step \d+"):
        random_walk.walk(700, seed=13)
