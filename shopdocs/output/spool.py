"""Files by their names, before they are written: many pages of a large set are put aside on the disk meanwhile."""

from __future__ import annotations

import weakref
from collections.abc import Callable, Iterator, Mapping
from tempfile import TemporaryFile
from typing import IO

Places = dict[str, bytes | tuple[int, int]]  # the content of each file, or from where to where it lies on the disk
MOST_HELD = 2_000_000  # bytes of what is put aside that stay in memory, so that only large sets go to the disk twice


class Files(Mapping[str, bytes]):
    """The content of each file by its name, in the order in which they were put in. To read one that was put aside
    raises OSError where the disk fails."""

    def __init__(self) -> None:
        self._contents: Places = {}
        self._held = 0
        self._aside: IO[bytes] | None = None
        self._end = 0
        self._full = False  # no file could be opened: it is not tried again

    def open_aside(self) -> None:
        """Open the file on the disk now: what a copy of this process puts aside is found in it by `placed`."""
        try:
            self._aside = TemporaryFile()  # noqa: SIM115 closed with this object
            weakref.finalize(self, self._aside.close)
        except OSError:
            self._full = True

    def places(self) -> Places:
        """Where the content of each file is."""
        return self._contents

    def placed(self, places: Places) -> Files:
        """These files with those `places` of a copy of them."""
        self._contents.update(places)
        return self

    def preceded_by(self, contents: Mapping[str, bytes]) -> Files:
        """These files behind others."""
        self._contents = {**contents, **self._contents}
        return self

    def __setitem__(self, name: str, content: bytes) -> None:
        self._contents[name] = content

    def put_aside(self, name: str, content: bytes) -> None:
        """Keep a content that is not read before all is made; in memory still where the disk has no room."""
        self._contents[name] = content if self._held + len(content) <= MOST_HELD else self._on_disk(content)
        self._held += len(content)

    def put_aside_as_made(self, name: str, make: Callable[[], Iterator[bytes]]) -> None:
        """Keep what is made piece by piece; where much is kept already, each piece goes to the disk as it comes. Where
        the disk fails, it is made again."""
        if self._held <= MOST_HELD or self._aside is None:
            self.put_aside(name, b"".join(make()))
            return
        start = self._end
        try:
            self._aside.seek(start)
            length = sum(map(self._aside.write, make()))
            self._aside.flush()
        except OSError:
            self._contents[name] = b"".join(make())
            return
        self._contents[name] = (start, start + length)
        self._end = start + length

    def _on_disk(self, content: bytes) -> bytes | tuple[int, int]:
        if self._aside is None and not self._full:
            self.open_aside()
        if self._aside is None:
            return content
        try:
            self._aside.seek(self._end)
            self._aside.write(content)
            self._aside.flush()
        except OSError:
            return content
        place = (self._end, self._end + len(content))
        self._end = place[1]
        return place

    def __getitem__(self, name: str) -> bytes:
        found = self._contents[name]
        if isinstance(found, bytes):
            return found
        assert self._aside is not None
        self._aside.seek(found[0])
        return self._aside.read(found[1] - found[0])

    def __iter__(self) -> Iterator[str]:
        return iter(self._contents)

    def __len__(self) -> int:
        return len(self._contents)
