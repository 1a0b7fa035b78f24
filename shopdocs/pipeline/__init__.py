"""The numbered steps from a file to a folder of paper.

1 read the build and the shop, 2 check (`checking`) · 3 compute as asked (`asked`) · 4 make documents, 5 lay out pages
(`pages`) · 6 write every file (`files`) · 7 swap the folder in whole (`rendering`). A step that meets errors ends the
run; nothing is written then. `tallying` runs them for a receipt, `proposal` the first three for a proposal of stages;
`starter` and `texts` need no build. Each is loaded when it is first asked for: a check needs few of them.
"""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from shopdocs.pipeline.batch import is_batch, render_all
    from shopdocs.pipeline.checking import check_build
    from shopdocs.pipeline.editions import render_customers
    from shopdocs.pipeline.proposal import propose_stages
    from shopdocs.pipeline.purchase import buy_together
    from shopdocs.pipeline.rendering import render, render_alone
    from shopdocs.pipeline.request import Outcome, Progress, Request, Written
    from shopdocs.pipeline.revisions import compare_builds
    from shopdocs.pipeline.staleness import check_set
    from shopdocs.pipeline.starter import write_starter
    from shopdocs.pipeline.tallying import tally
    from shopdocs.pipeline.texts import names_text, reference_text, schema_text

__all__ = [
    "Outcome",
    "Progress",
    "Request",
    "Written",
    "buy_together",
    "check_build",
    "check_set",
    "compare_builds",
    "is_batch",
    "names_text",
    "propose_stages",
    "reference_text",
    "render",
    "render_all",
    "render_alone",
    "render_customers",
    "schema_text",
    "tally",
    "write_starter",
]

_WHERE = {
    "Outcome": "request",
    "Progress": "request",
    "Request": "request",
    "Written": "request",
    "buy_together": "purchase",
    "check_build": "checking",
    "check_set": "staleness",
    "compare_builds": "revisions",
    "is_batch": "batch",
    "names_text": "texts",
    "propose_stages": "proposal",
    "reference_text": "texts",
    "render": "rendering",
    "render_all": "batch",
    "render_alone": "rendering",
    "render_customers": "editions",
    "schema_text": "texts",
    "tally": "tallying",
    "write_starter": "starter",
}


def __getattr__(name: str) -> object:
    """What a name stands for, its module loaded."""
    from importlib import import_module

    if name not in _WHERE:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_WHERE[name]}"), name)
