"""Where a file differs from the stored paper that it once was, for who has both."""

from __future__ import annotations

from collections.abc import Iterator

FEW = 0.05
"""Of a file's bytes: no more differ where single ones were changed."""
LIKE = 0.5
"""Of a stored file's bytes: so many in a row at both ends show that another was made from it."""
BEGINNING = 1 / 16
"""Of a stored file's bytes: so many show of a file that is nothing else that it is its beginning."""
STEP = 4096
MOST_NAMED = 3


def difference(body: bytes, stored: bytes) -> str:
    """Say where a file differs from a stored one that it is like."""
    shared = min(len(body), len(stored))
    first, count = [], 0
    for place in _differing(body, stored, shared):
        count += 1
        if count > FEW * shared:
            break
        if count <= MOST_NAMED:
            first.append(place)
    if not first:
        return ""
    if count > FEW * shared:
        return f"Bytes were put in, taken out or changed from place {first[0]:,} on (counted from 0)."
    named = ", ".join(f"{one:,}" for one in first)
    more = f" and {count - MOST_NAMED:,} more" if count > MOST_NAMED else ""
    says = f"{count:,} byte{'s' if count != 1 else ''} of the paper changed"
    return f"{says}, at place {named}{more} (counted from 0)."


def likeness(body: bytes, stored: bytes) -> float:
    """Return how much of a stored file stands at a file's beginning and end, 0 to 1; a beginning counts 1."""
    shared = min(len(body), len(stored))
    ahead = next(_differing(body, stored, shared), shared)
    if ahead == len(body):
        return 1.0 if ahead >= BEGINNING * len(stored) else 0.0
    behind = next(_differing(body[-shared:][::-1], stored[-shared:][::-1], shared), shared)
    return min(1.0, (ahead + behind) / len(stored))


def _differing(body: bytes, stored: bytes, shared: int) -> Iterator[int]:
    for start in range(0, shared, STEP):
        ours, theirs = stored[start : min(start + STEP, shared)], body[start : min(start + STEP, shared)]
        if ours != theirs:
            yield from (start + at for at, (a, b) in enumerate(zip(ours, theirs, strict=True)) if a != b)
