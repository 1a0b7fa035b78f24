"""The numbered steps from a file to a folder of paper.

1 read the build and the shop, 2 check (`checking`) · 3 compute as asked (`asked`) · 4 make documents, 5 lay out pages
(`pages`) · 6 write every file (`files`) · 7 swap the folder in whole (`rendering`). A step that meets errors ends the
run; nothing is written then. `tallying` runs them for a receipt, `staging` the first three for a proposal of stages;
`starter` and `texts` need no build.
"""

from shopdocs.pipeline.batch import is_batch, render_all
from shopdocs.pipeline.checking import check_build
from shopdocs.pipeline.comparing import compare_builds
from shopdocs.pipeline.editions import render_customers
from shopdocs.pipeline.purchase import buy_together
from shopdocs.pipeline.rendering import render
from shopdocs.pipeline.request import Outcome, Progress, Request, Written
from shopdocs.pipeline.staging import propose_stages
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
    "render_customers",
    "schema_text",
    "tally",
    "write_starter",
]
