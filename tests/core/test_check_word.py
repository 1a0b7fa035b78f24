"""The word that tells which state of a build a sheet was made from."""

from __future__ import annotations

import re
from itertools import pairwise

from shopdocs.core.check_word import check_word, fingerprint


def test_a_word_can_be_called_across_the_shop() -> None:
    """Consonant and vowel in turn, six letters."""
    for number in range(500):
        assert re.fullmatch("([bdhlmnprstvwz][aeiou]){3}", check_word((fingerprint(str(number).encode()),)))


def test_a_change_gives_another_word() -> None:
    words = [
        check_word((fingerprint(f"length: {number}/32".encode()), fingerprint(b"kerf: 1/8"))) for number in range(400)
    ]
    assert all(one != other for one, other in pairwise(words))
    # 400 words out of 65³ = 274,625: by the birthday rule 0.3 pairs alike are to be expected
    assert len(set(words)) >= 398


def test_the_shop_file_counts_too_and_line_ends_do_not() -> None:
    build, shop = fingerprint(b"a: 1\nb: 2\n"), fingerprint(b"kerf: 1/8")
    assert fingerprint(b"a: 1\r\nb: 2\r\n") == build
    assert check_word((build, shop)) != check_word((build, ""))
    assert check_word((build, shop)) == check_word((build, shop))


def test_what_was_read_from_no_file_has_none() -> None:
    assert check_word(("", "")) == ""
