"""Finds the data files of `layouts/`: beside the package in an installed wheel, at the top of a source checkout."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

_PACKAGE = Path(__file__).resolve().parent.parent
_PLACES = (_PACKAGE / "layouts", _PACKAGE.parent / "layouts")


def layouts_folder() -> Path:
    """The folder that holds the layout data. Raises FileNotFoundError when the installation lacks it."""
    for place in _PLACES:
        if place.is_dir():
            return place
    raise FileNotFoundError("the data folder 'layouts' is missing from this installation of shopdocs")


@cache
def layout_table(name: str) -> dict[str, Any]:
    """The TOML file `layouts/NAME.toml` as plain data, read once. Callers must not change it."""
    import tomllib

    with (layouts_folder() / f"{name}.toml").open("rb") as file:
        return tomllib.load(file)
