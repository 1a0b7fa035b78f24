"""Names of cuts in the plural, as English forms it after s and ch."""

from __future__ import annotations

import pytest

from shopdocs.model.joint_names import FeatureKind, plural


@pytest.mark.parametrize(
    ("one", "several"), [("recess", "recesses"), ("notch", "notches"), ("mortise", "mortises"), ("groove", "grooves")]
)
def test_several(one: str, several: str) -> None:
    assert plural(one) == several


def test_no_kind_has_an_s_too_many() -> None:
    assert not [kind for kind in FeatureKind if "sss" in kind.plural or kind.plural.endswith("chs")]
