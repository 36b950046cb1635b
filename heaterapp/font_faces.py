"""The faces by name: those of every page and paper, and those that only a name in another script wants.

B612 and DejaVu Sans letter everything. The others are for papers alone (a browser
has its own), and only for those papers that have a letter which neither of the two
has: each by the scripts that Unicode's Script property gives its letters.
Chosen are the scripts that UAX 31, tables 5 and 7, calls recommended or in limited
use, as far as DejaVu Sans lacks them: no dead ones, no emoji.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Face:
    """One style of one family: how it is named here and where Debian keeps it."""

    family: str
    weight: int
    stem: str
    package: str
    sources: tuple[str, ...]


FAMILY = "Heaterapp B612"
FALLBACK = "Heaterapp DejaVu Sans"
FACES = (
    Face(FAMILY, 400, "B612-Regular", "fonts-b612", ("B612-Regular.otf", "B612-Regular.ttf")),
    Face(FAMILY, 700, "B612-Bold", "fonts-b612", ("B612-Bold.otf", "B612-Bold.ttf")),
    Face(FALLBACK, 400, "DejaVuSans", "fonts-dejavu-core", ("DejaVuSans.ttf",)),
    Face(FALLBACK, 700, "DejaVuSans-Bold", "fonts-dejavu-core", ("DejaVuSans-Bold.ttf",)),
)

COMMON = ("Zyyy", "Zinh")
"""Signs and marks of no script alone."""
EAST_ASIAN = ("Hani", "Hira", "Kana", "Hang", "Bopo", *COMMON)
_ALSO_BOLD = {
    "NotoSans": ("Latn", "Cyrl", "Grek", *COMMON),
    "NotoSansDevanagari": ("Deva",), "NotoSansBengali": ("Beng",), "NotoSansGurmukhi": ("Guru",),
    "NotoSansGujarati": ("Gujr",), "NotoSansOriya": ("Orya",), "NotoSansTamil": ("Taml",),
    "NotoSansTelugu": ("Telu",), "NotoSansKannada": ("Knda",), "NotoSansMalayalam": ("Mlym",),
    "NotoSansSinhala": ("Sinh",), "NotoSansThai": ("Thai",), "NotoSansLao": ("Laoo",),
    "NotoSansKhmer": ("Khmr",), "NotoSansMyanmar": ("Mymr",), "NotoSerifTibetan": ("Tibt",),
    "NotoSansEthiopic": ("Ethi",), "NotoSansArabic": ("Arab",), "NotoSansThaana": ("Thaa",),
    "NotoSansGeorgian": ("Geor",), "NotoSansCherokee": ("Cher",), "NotoSansAdlam": ("Adlm",),
    "NotoSansBalinese": ("Bali",), "NotoSansBamum": ("Bamu",), "NotoSansCanadianAboriginal": ("Cans",),
    "NotoSansCham": ("Cham",), "NotoSansHanifiRohingya": ("Rohg",), "NotoSansJavanese": ("Java",),
    "NotoSansKayahLi": ("Kali",), "NotoSansMeeteiMayek": ("Mtei",), "NotoSansOlChiki": ("Olck",),
    "NotoSansSundanese": ("Sund",), "NotoSansTaiTham": ("Lana",),
    "NotoSerifNyiakengPuachueHmong": ("Hmnp",),
}  # fmt: skip
_REGULAR_ALONE = {
    "NotoSansBatak": ("Batk",), "NotoSansChakma": ("Cakm",), "NotoSansLepcha": ("Lepc",),
    "NotoSansLimbu": ("Limb",), "NotoSansMandaic": ("Mand",), "NotoSansMiao": ("Plrd",),
    "NotoSansMongolian": ("Mong",), "NotoSansNewa": ("Newa",), "NotoSansNewTaiLue": ("Talu",),
    "NotoSansOsage": ("Osge",), "NotoSansSaurashtra": ("Saur",), "NotoSansSylotiNagri": ("Sylo",),
    "NotoSansSyriac": ("Syrc",), "NotoSansTaiLe": ("Tale",), "NotoSansTaiViet": ("Tavt",),
    "NotoSansVai": ("Vaii",), "NotoSansWancho": ("Wcho",), "NotoSansYi": ("Yiii",),
}  # fmt: skip
_EAST_ASIAN = ("DroidSansFallback", "DroidSansFallbackFull")
"""Of one package: the first has Korean, the second the rarer Chinese characters (extension A)."""


def _family(stem: str) -> str:
    return f"Heaterapp {stem}"


def _noto(stem: str, weight: int) -> Face:
    styled = f"{stem}-{'Bold' if weight > 400 else 'Regular'}"
    return Face(_family(stem), weight, styled, "fonts-noto-core", (f"{styled}.ttf",))


SCRIPTS: dict[str, tuple[str, ...]] = {
    _family(stem): scripts
    for stem, scripts in [
        *((stem, EAST_ASIAN) for stem in _EAST_ASIAN), *_ALSO_BOLD.items(), *_REGULAR_ALONE.items(),
    ]
}  # fmt: skip
"""Further family -> the scripts it is asked for, in the order in which families are asked."""
FURTHER = (
    *(Face(_family(stem), 400, stem, "fonts-droid-fallback", (f"{stem}.ttf",)) for stem in _EAST_ASIAN),
    *(_noto(stem, weight) for stem in _ALSO_BOLD for weight in (400, 700)),
    *(_noto(stem, 400) for stem in _REGULAR_ALONE),
)
LEVELED = frozenset(map(_family, _EAST_ASIAN))
"""Families whose letters are no higher than B612's and whose lines are made so; others need their room."""


def faces_of(families: tuple[str, ...]) -> list[Face]:
    """The faces of further families, in the order of the families."""
    return [face for family in families for face in FURTHER if face.family == family]
