"""The record pages in a real browser, opened from files, in a window as large as a small phone (360 by 740 pixels).

Least sizes: WCAG 2.2, success criterion 1.4.10 (no scrolling in two directions at 320 pixels) and 2.5.5 (targets of 44
pixels, links within a sentence or a line of text excepted); 16 pixels for text is the default size of browsers (CSS
Fonts 4, `medium`, common practice).
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from dataclasses import dataclass
from html import unescape
from pathlib import Path
from typing import Any

import pytest

from shopdocs.blocks.record_pages import Records
from shopdocs.records.site import record_site
from tests.browser.sample_site import IMPRINT, index, pages

WIDTHS = (320, 360)
HEIGHT = 740
FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--allow-file-access-from-files",
    "--virtual-time-budget=5000",
)
# Each page stands in a frame of the wanted width, so that no least width of a browser window matters.
MEASURE = """
<script>
window.onload = () => {
  const found = [...document.querySelectorAll("iframe")].map((frame) => {
    const page = frame.contentDocument, view = frame.contentWindow, root = page.documentElement;
    const spoken = [...page.body.querySelectorAll("*")].filter((one) => !one.closest("svg")
      && [...one.childNodes].some((node) => node.nodeType === 3 && node.data.trim()));
    const beyond = [...page.body.querySelectorAll("*")].filter((one) => {
      const box = one.getBoundingClientRect();
      const cut = one.closest("thead") || one.parentElement.closest("nav bdi");  // hidden, or ended by an ellipsis
      return box.width > 0 && !cut && (box.right > view.innerWidth + 0.5 || box.left < -0.5);
    });
    return {
      name: frame.getAttribute("src"), wide: view.innerWidth, scroll: root.scrollWidth, title: page.title,
      beyond: beyond.map((one) => one.outerHTML.slice(0, 120)),
      smallest: Math.min(...spoken.map((one) => parseFloat(view.getComputedStyle(one).fontSize))),
      taps: [...page.querySelectorAll("a")].map((one) => one.getBoundingClientRect())
        .map((box) => [Math.round(box.width), Math.round(box.height)]),
      mark: page.querySelector("h1").getBoundingClientRect().top,
      paper: view.getComputedStyle(page.body).backgroundColor, ink: view.getComputedStyle(page.body).color,
      mode: page.compatMode,
    };
  });
  document.body.innerHTML = "<pre id=found></pre>";
  document.getElementById("found").textContent = JSON.stringify(found);
};
</script>
"""


@dataclass(frozen=True)
class Shown:
    """Pages as the browser shows them at one width."""

    pages: tuple[dict[str, Any], ...]


def show(folder: Path, names: list[str], width: int) -> Shown:
    frames = "".join(
        f'<iframe src="{name}" style="width:{width}px;height:{HEIGHT}px;border:0"></iframe>' for name in names
    )
    wrapper = folder / f"all-{width}.html"
    wrapper.write_text(f"<!DOCTYPE html><meta charset=utf-8><body>{frames}{MEASURE}", "utf-8")
    browser = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
    assert browser, "these tests need the browser chromium (Debian: apt-get install chromium)"
    profile = folder / f"profile-{width}"
    command = [browser, *FLAGS, f"--user-data-dir={profile}", "--dump-dom", wrapper.as_uri()]
    done = subprocess.run(
        command, capture_output=True, text=True, timeout=60, check=False, env={**os.environ, "HOME": str(folder)}
    )
    _, begin, rest = done.stdout.partition('<pre id="found">')
    assert begin, f"the browser measured nothing: {done.stderr[-500:]}"
    return Shown(tuple(json.loads(unescape(rest.partition("</pre>")[0]))))


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[str]]:
    folder = tmp_path_factory.mktemp("records")
    files = dict(record_site(Records(pages(), index()), IMPRINT))
    for name, content in files.items():
        (folder / name).write_bytes(content)
    return folder, [name for name in files if name.endswith(".html")]


@pytest.fixture(scope="module", params=WIDTHS)
def shown(request: pytest.FixtureRequest, site: tuple[Path, list[str]]) -> Shown:
    folder, names = site
    return show(folder, names, request.param)


def test_every_page_opens_from_a_file(shown: Shown, site: tuple[Path, list[str]]) -> None:
    assert [page["name"] for page in shown.pages] == site[1]
    assert all(page["title"] and page["mode"] == "CSS1Compat" for page in shown.pages)


def test_nothing_runs_over_the_edge(shown: Shown) -> None:
    for page in shown.pages:
        assert page["scroll"] <= page["wide"], page["name"]
        assert page["beyond"] == [], page["name"]


def test_words_are_large_and_black_on_white(shown: Shown) -> None:
    for page in shown.pages:
        assert page["smallest"] >= 16, page["name"]
        assert (page["ink"], page["paper"]) == ("rgb(0, 0, 0)", "rgb(255, 255, 255)")


def test_links_are_large_enough_for_a_thumb(shown: Shown) -> None:
    for page in shown.pages:
        assert page["taps"]
        assert all(wide >= 44 and high >= 44 for wide, high in page["taps"]), (page["name"], page["taps"])


def test_the_mark_stands_at_the_top(shown: Shown) -> None:
    assert all(page["mark"] < HEIGHT / 5 for page in shown.pages)


def test_a_page_that_is_too_wide_is_noticed(site: tuple[Path, list[str]]) -> None:
    folder, _ = site
    (folder / "wide.html").write_text("<!DOCTYPE html><title>x</title><h1 style='width:400px'>x</h1><a>x</a>", "utf-8")
    (page,) = show(folder, ["wide.html"], 360).pages
    assert page["scroll"] > page["wide"]
    assert page["beyond"]
