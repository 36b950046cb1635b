"""How hard a text is to read, by the measures published for English and for Spanish.

English: the Flesch-Kincaid grade of Kincaid, Fishburne, Rogers and Chissom (1975), 0.39 words a sentence +
11.8 syllables a word - 15.59, read at en.wikipedia.org/wiki/Flesch-Kincaid_readability_tests and
readabilityformulas.com. Spanish: Fernandez Huerta, "Medidas sencillas de lecturabilidad", Consigna 214 (1959),
206.84 - 0.60 P - 1.02 F with P the syllables of a hundred words and F the words of a sentence, as corrected by
Gwillim Law (2011), read at legible.es/blog/lecturabilidad-fernandez-huerta; 70 to 80 is "somewhat easy".
Neither original was opened. Syllables are those of pyphen's hyphenation or the groups of vowels, whichever are
more: hyphenation leaves out the first and last letters, so alone it would call a text too easy.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache

import pyphen

PATTERNS = {
    "en": pyphen.Pyphen(lang="en_US", left=1, right=1),
    "es": pyphen.Pyphen(lang="es", left=1, right=1),
}
WORD = re.compile(r"[^\W\d_]+(?:['’][^\W\d_]+)?")
END = re.compile(r"(?<=[.!?;])\s+")
STRONG, WEAK = "aeoáéíóú", "iuü"


def words_of(text: str) -> list[str]:
    """The words of a text; numbers are none."""
    return WORD.findall(text)


def sentences_of(texts: Iterable[str]) -> list[str]:
    """The sentences of texts, each of which ends one; "EE. UU." does not."""
    parts = (part for text in texts for part in END.split(text.replace("EE. UU.", "EEUU")))
    return [part for part in parts if words_of(part)]


@cache
def syllables(word: str, language: str) -> int:
    """How many syllables a word has, rather one too many."""
    low = word.lower()
    hyphens = len(PATTERNS[language].positions(low)) + 1
    groups = re.findall(r"[aeiouyáéíóúü]+", low)
    if language == "en":
        silent = low.endswith("e") and not low.endswith("le") and len(groups) > 1
        return max(hyphens, len(groups) - silent, 1)
    # Two strong vowels side by side are two syllables; the u of que, qui, gue, gui is mute.
    heard = [group for group in re.findall(r"[aeiouáéíóúü]+", re.sub(r"(?<=[qg])u(?=[eiéí])", "", low))]
    return max(hyphens, sum(max(1, sum(letter in STRONG for letter in group)) for group in heard), 1)


def grade(texts: Iterable[str]) -> float:
    """The Flesch-Kincaid grade of English texts."""
    sentences = sentences_of(texts)
    words = [word for one in sentences for word in words_of(one)]
    heard = sum(syllables(word, "en") for word in words)
    return 0.39 * len(words) / len(sentences) + 11.8 * heard / len(words) - 15.59


def lecturabilidad(texts: Iterable[str]) -> float:
    """The measure of Fernandez Huerta of Spanish texts: the more, the easier."""
    sentences = sentences_of(texts)
    words = [word for one in sentences for word in words_of(one)]
    heard = sum(syllables(word, "es") for word in words)
    return 206.84 - 0.60 * 100 * heard / len(words) - 1.02 * len(words) / len(sentences)
