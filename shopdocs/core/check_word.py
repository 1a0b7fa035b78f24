"""A short word that stands for what sheets were made from: two papers with the same word belong together."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable

# Letters that are not taken for others when the word is called across a shop or read in pencil.
CONSONANTS, VOWELS = "bdhlmnprstvwz", "aeiou"
SYLLABLES = 3  # 65³: of 274,625 changes to a build one gives the same word


def fingerprint(data: bytes) -> str:
    """The fingerprint (SHA-256) of a file's bytes; Windows and Unix line ends give the same."""
    return hashlib.sha256(data.replace(b"\r\n", b"\n")).hexdigest()


def check_word(contents: Iterable[str]) -> str:
    """The check word of all files a set is made from, by their fingerprints in order; "" where there are none."""
    known = [content for content in contents if content]
    if not known:
        return ""
    number = int.from_bytes(hashlib.sha256("\n".join(known).encode()).digest(), "big")
    letters = []
    for _ in range(SYLLABLES):
        number, vowel = divmod(number, len(VOWELS))
        number, consonant = divmod(number, len(CONSONANTS))
        letters.append(CONSONANTS[consonant] + VOWELS[vowel])
    return "".join(letters)
