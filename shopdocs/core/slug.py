"""The stable address of a piece's record: a file name made from its full mark.

The same mark always gives the same name, whatever else is in the build, so that a printed code stays true. Two marks
never share a name, not even on a file system that takes upper and lower case for the same. Names are ASCII letters,
digits, hyphen and underscore, begin with a letter or digit, and need no escaping in an address.

Plain marks (letters, digits, hyphens) are written in lower case; an underscore says where the case changes, one at the
end says that the mark began in lower case: HB-FL gives `hb-fl`, HB-FLa `hb-fl_a`, hb-fl `hb-fl_`. Every other mark
keeps what is readable of it and adds two underscores and a digest of the whole: HB-木 gives `hb__` and twelve
characters.

The anchor `piece-NAME` stands for the piece in links between blocks: on paper it leads to whatever row or heading
carries that anchor, on the record pages to the file `NAME.html`.
"""

from __future__ import annotations

import hashlib
import re
import unicodedata
from base64 import b32encode

ANCHOR = "piece-"
INDEX = "index"

_PLAIN = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9-]*[A-Za-z0-9])?")
_NAME = re.compile(r"[a-z0-9][a-z0-9_-]{0,199}")
# RFC 3986, section 3: scheme, host (a name or an IP literal), port and path. No user name or password, no query and
# no fragment: the name of a record is put at the end.
_ADDRESS = re.compile(
    r"https?://(?:[\w-]+(?:\.[\w-]+)*\.?|\[[0-9a-f:.]+\])(?::(?P<port>[0-9]{1,5}))?"
    r"(?:/(?:[\w.~!$&'()*+,;=:@/-]|%[0-9a-f]{2})*)?",
    re.IGNORECASE | re.ASCII,
)
_PORTS = range(1, 65536)
_LONGEST = 64
_DIGEST = 12  # of 32 letters: 60 bits
# Names that a file may not have on some systems whatever its ending, and the name of the list of all pieces.
_TAKEN = frozenset(
    {INDEX, "con", "prn", "aux", "nul"} | {f"{port}{number}" for port in ("com", "lpt") for number in range(10)}
)


def record_slug(full_mark: str) -> str:
    """The name of the record of the piece with this full mark ("HB-FL"), without ending.

    Marks that differ only in how Unicode composes their characters (NFC) are the same mark.
    """
    mark = unicodedata.normalize("NFC", full_mark)
    if _PLAIN.fullmatch(mark) and len(mark) <= _LONGEST and mark.lower() not in _TAKEN:
        return _with_case(mark)
    return f"{_readable(mark)}__{_digest(mark)}"


def record_anchor(full_mark: str) -> str:
    """The link target that stands for this piece in every document and on the record pages."""
    return ANCHOR + record_slug(full_mark)


def record_file(slug: str) -> str:
    """The file of the record with this name."""
    return f"{slug}.html"


def is_record_name(text: str) -> bool:
    """Whether a record may be called so: what `record_slug` gives, and never the list of all pieces."""
    return _NAME.fullmatch(text) is not None and text != INDEX


def address_base(text: str) -> str | None:
    """The web address under which records stand, with a slash at its end, or None: only http and https with a host, no
    password, query or fragment, nothing that would need escaping, and short enough to be coded on a label."""
    found = _ADDRESS.fullmatch(text) if len(text) <= 200 else None
    if found is None or (found["port"] is not None and int(found["port"]) not in _PORTS):
        return None
    return text if text.endswith("/") else text + "/"


def _with_case(mark: str) -> str:
    """Lower case with an underscore before each letter whose case differs from the letter before it."""
    letters = [char for char in mark if char.isalpha()]
    began_lower = bool(letters) and letters[0].islower()
    lower = began_lower
    out: list[str] = []
    for char in mark:
        if char.isalpha() and char.islower() != lower:
            out.append("_")
            lower = not lower
        out.append(char.lower())
    return "".join(out) + ("_" if began_lower else "")


def _readable(mark: str) -> str:
    return plain_name(mark, "piece")


def plain_name(text: str, otherwise: str) -> str:
    """A short file name of what plain letters and digits can say of the text; `otherwise` where that is nothing."""
    ascii_only = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode("ascii").lower()
    words = re.sub(r"[^a-z0-9]+", "-", ascii_only).strip("-")
    return words[:32].strip("-") or otherwise


def _digest(mark: str) -> str:
    found = hashlib.sha256(mark.encode("utf-8", "surrogatepass")).digest()
    return b32encode(found).decode("ascii").lower()[:_DIGEST]
