"""`python tests/sealing/random_tampering.py 300`: files spoilt at random, told alike by program and check page.

A real paper and its sealed copy are changed, cut, put together, saved again by other programs and added to, the
one after the other. What the two tell differently is named with its seed; exit 1 then.
"""

from __future__ import annotations

import io
import logging
import random
import sys
import tempfile
from collections import Counter
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

import pikepdf
import pypdf

from heaterapp.sealing import Stored, new_key, seal
from tests.certificate import specimens
from tests.sealing.asking import Both, alike
from tests.sealing.conftest import AT, added_to, forged
from tests.sealing.test_tampered import ADDED

NAME, NUMBER = "gas storage, California", "C-000012"
AT_ONCE = 50
MOST_STEPS = 3


def _place(body: bytes, by: random.Random) -> tuple[int, int]:
    at = by.randrange(len(body) + 1)
    return at, min(len(body), at + int(2 ** by.uniform(0, 14)))


def _flipped(body: bytes, by: random.Random) -> bytes:
    found = bytearray(body)
    for _ in range(int(2 ** by.uniform(0, 9)) if found else 0):
        found[by.randrange(len(found))] ^= 1 << by.randrange(8)
    return bytes(found)


def _taken_out(body: bytes, by: random.Random) -> bytes:
    at, to = _place(body, by)
    return body[:at] + body[to:]


def _put_in(body: bytes, by: random.Random) -> bytes:
    at, to = _place(body, by)
    return body[:at] + by.randbytes(to - at) + body[at:]


def _written_over(body: bytes, by: random.Random) -> bytes:
    at, to = _place(body, by)
    return body[:at] + by.randbytes(to - at) + body[to:]


def _cut(body: bytes, by: random.Random) -> bytes:
    return body[: _place(body, by)[0]]


def _moved(body: bytes, by: random.Random) -> bytes:
    at, to = _place(body, by)
    return body[:at] + body[to:] + body[at:to]


def _saved_again(body: bytes, by: random.Random) -> bytes:
    modes = list(pikepdf.ObjectStreamMode.__members__.values())
    how = {"object_stream_mode": by.choice(modes), "linearize": by.random() < 0.3, "qdf": by.random() < 0.2}
    if by.random() < 0.2:
        how = {"encryption": pikepdf.Encryption(owner="a", user="")}
    out = io.BytesIO()
    with pikepdf.open(io.BytesIO(body)) as pdf:
        pdf.save(out, **how)
    return out.getvalue()


def _by_another(body: bytes, by: random.Random) -> bytes:
    out = io.BytesIO()
    pypdf.PdfWriter(clone_from=io.BytesIO(body)).write(out)
    return out.getvalue()


def _titled(body: bytes, by: random.Random) -> bytes:
    out = io.BytesIO()
    with pikepdf.open(io.BytesIO(body)) as pdf:
        pdf.docinfo["/Title"] = by.choice(["Certificate C-000999", "\u017b C-000012", "F-7)\\(", ""])
        if by.random() < 0.5:
            del pdf.trailer["/ID"]
        pdf.save(out)
    return out.getvalue()


def _added(body: bytes, by: random.Random) -> bytes:
    return added_to(body, by.choice([change for change, _ in ADDED.values()]))


def _forged(body: bytes, by: random.Random) -> bytes:
    return forged(body[: len(body) * by.randrange(32, 65) // 64])


WAYS: list[Callable[[bytes, random.Random], bytes]] = [
    _flipped, _taken_out, _put_in, _written_over, _cut, _moved, _saved_again, _by_another, _titled, _added, _forged
]  # fmt: skip


def spoilt(bodies: list[bytes], seed: int) -> bytes:
    """Return one of the files, spoilt as the seed says."""
    by = random.Random(seed)
    body = by.choice(bodies)
    for _ in range(by.randint(1, MOST_STEPS)):
        try:
            body = by.choice(WAYS)(body, by)
        except Exception:
            # Another program cannot read what was spoilt before: that step is left out.
            continue
    return body


def main(count: int, first: int = 0) -> int:
    """Try `count` files from seed `first` on."""
    logging.disable()
    papers = [Stored(NUMBER, name, body) for name, body in specimens.made(NAME).items()]
    key = new_key("Harborlight Plumbing", AT)
    sealed = seal(papers[-1].body, key)
    seen: Counter[str] = Counter()
    amiss = 0
    with tempfile.TemporaryDirectory() as folder:
        both = Both(Path(folder))
        for begin in range(first, first + count, AT_ONCE):
            seeds = range(begin, min(begin + AT_ONCE, first + count))
            bodies = [spoilt([*(one.body for one in papers), sealed], seed) for seed in seeds]
            for seed, body, (looked, told) in zip(seeds, bodies, both(bodies, [key], papers), strict=True):
                seen[looked.kind] += 1
                untouched = looked.sound and body not in (sealed, *(one.body for one in papers))
                if untouched or not alike(looked, told, body):
                    amiss += 1
                    print(f"seed {seed}: program {looked.kind} {looked.number!r}, page {told}")
    print(f"{count} files, {amiss} amiss: {dict(seen.most_common())}")
    return 1 if amiss else 0


if __name__ == "__main__":
    sys.exit(main(*(int(one) for one in sys.argv[1:] or ["300"])))
