"""Other words for the same things: `hood = "bonnet"`.

In: the entries of a ruleset's `words`, and any text for people. Out: the text as this ruleset says it. A text is read
once, from left to right, the longest phrase first, and what was put in is not read again.

- A phrase is replaced where it stands as whole words, in any capitals if it is written without capitals; a phrase with
  capitals only where the text has them too, so that `US` is not found in "tell us".
- `tires` is `tire` with an s, and gets one: "tyres".
- Addresses, words with `://` in them, and a name between backticks stay as they are; a quoted sentence does not.
- "Hood" becomes "Bonnet" and "HOOD" becomes "BONNET"; what is written with capitals itself keeps its own.
- "a" and "an" before the phrase go with the first sound of what is put in, as far as `_article` knows it.
"""

from __future__ import annotations

import re
from functools import lru_cache

__all__ = ["Words", "found_in", "said"]

Words = tuple[tuple[str, str], ...]
"""Phrases and what is said for each, every phrase once."""

_VOWELS = frozenset("aeiouAEIOU")
_FIRST = re.compile(r"[^\W_]+")
_READ_OUT = frozenset("AEFHILMNORSX")
"""Capitals whose names begin with a vowel: an HGV, an MOT, but a V5C."""
_SILENT_H = re.compile(r"hour|honest|hono|heir", re.IGNORECASE)
_NO_VOWEL = re.compile(r"ones?\Z|once\Z|eu|ewe|ute|us[aeu]|uni[coqtv]|unif|util", re.IGNORECASE)
"""Beginnings that sound like "you" or "one": used, user, usual, unit, union, unique, uniform, European."""
_NUMBER = re.compile(r"8\d*|1[18]")
"""Eight, eighty, eight hundred, eleven, eighteen; longer numbers with these are rare in front of a thing."""
_KEPT = r"(?P<kept>`[^`\s]*`|(?<!\S)[^\s`]*://\S*)"
"""Names and code between backticks, and addresses; a quoted sentence has spaces, and is put in other words too."""
_SENTENCE = re.compile(r"(?:\A|[.!?:]\s+)\Z")


def said(text: str, words: Words) -> str:
    """A text with the words of a ruleset."""
    if not words or not text:
        return text
    pattern, instead = _reader(words)
    return pattern.sub(lambda found: _replaced(found, instead), text)


def found_in(text: str, words: Words) -> set[str]:
    """The phrases that are replaced in a text."""
    if not words:
        return set()
    pattern, instead = _reader(words)
    return {_phrase(found, instead) for found in pattern.finditer(text) if found["kept"] is None}


@lru_cache(maxsize=16)
def _reader(words: Words) -> tuple[re.Pattern[str], dict[str, str]]:
    """What finds the phrases, the longest first, and what stands for each."""
    parts = []
    for phrase, _ in sorted(words, key=lambda w: len(w[0]), reverse=True):
        spaced = r"\s+".join(map(re.escape, phrase.split()))
        parts.append(f"(?i:{spaced})" if phrase == phrase.lower() else spaced)
    article = r"(?:(?<!\w)(?P<article>[Aa]n?)(?P<gap>\s+))?"
    text = article + r"(?<!\w)(?P<phrase>" + "|".join(parts) + r")(?P<many>[sS]?)(?!\w)(?!\S*://)"
    return re.compile(_KEPT + "|" + text), {_key(phrase): other for phrase, other in words}


def _key(phrase: str) -> str:
    return " ".join(phrase.split())


def _phrase(found: re.Match[str], instead: dict[str, str]) -> str:
    """The phrase of the entry that was found."""
    written = _key(found["phrase"])
    return written if written in instead else written.lower()


def _replaced(found: re.Match[str], instead: dict[str, str]) -> str:
    if found["kept"] is not None:
        return found[0]
    phrase = _phrase(found, instead)
    other = instead[phrase]
    if found["many"] and not other.endswith("s"):
        other += "s"
    written = found["phrase"]
    begins = found["article"] is None and bool(_SENTENCE.search(found.string, 0, found.start("phrase")))
    if phrase == phrase.lower() and written.isupper() and sum(c.isalpha() for c in written) > 1:
        other = other.upper()
    elif written[:1].isupper() and (phrase == phrase.lower() or begins):
        other = other[:1].upper() + other[1:]
    if found["article"] is None:
        return other
    return _article(found["article"], instead[phrase]) + found["gap"] + other


def _article(article: str, other: str) -> str:
    """`a` or `an`, in the capital of the one that stood there, by the first sound of the entry's words.

    A house rule for the ear: letters, but for a few beginnings that sound otherwise, and the names of the letters
    where capitals are read out. It cannot tell that SORN is said as a word, or that "unissued" is no "unit".
    """
    first = _FIRST.search(other)
    word = first[0] if first else ""
    if word.isdigit():
        vowel = bool(_NUMBER.fullmatch(word))
    elif word.isupper():
        vowel = word[0] in _READ_OUT
    else:
        vowel = bool(_SILENT_H.match(word)) or (word[0] in _VOWELS and not _NO_VOWEL.match(word)) if word else False
    return article[0] + ("n" if vowel else "")
