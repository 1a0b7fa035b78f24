"""The records of the bench as they are used: scanned from a label, followed, ticked, kept for offline."""

from __future__ import annotations

import contextlib
import functools
import http.server
import json
import re
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from shopdocs.cli import main
from tests.browser.preview_run import ROOT

if TYPE_CHECKING:
    from playwright.sync_api import BrowserContext, Page

BUILD = ROOT / "sample_builds" / "threshold_bench" / "build.yaml"


@pytest.fixture(scope="module")
def hosted(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, Path]]:
    """The address of a plain static host of this machine and the folder of the set, its labels made for that host."""
    out = tmp_path_factory.mktemp("bench") / "set"
    (out / "records").mkdir(parents=True)
    handler = functools.partial(_Quiet, directory=str(out / "records"))
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        address = f"http://127.0.0.1:{server.server_address[1]}/"
        (out / "records").rmdir()
        assert main(["render", str(BUILD), "--out", str(out), "--records", address]) == 0
        thread = threading.Thread(target=server.serve_forever, daemon=True)
        thread.start()
        yield address, out
        server.shutdown()


class _Quiet(http.server.SimpleHTTPRequestHandler):
    def log_message(self, format: str, *args: object) -> None:
        pass


def addresses_on_labels(pdf: Path) -> list[str]:
    """What zxing reads from the printed label sheet, drawn by another PDF reader."""
    import pypdfium2
    import zxingcpp

    with contextlib.closing(pypdfium2.PdfDocument(pdf)) as document:
        image = document[0].render(scale=4).to_pil()
    return [found.text for found in zxingcpp.read_barcodes(image)]


def _reload(page: Page, shown: Callable[[], bool]) -> None:
    """Open the page anew until it shows what was kept: the browser keeps it beside the page's own process, when it
    finds time, and a page that is opened at once may come before it.
    """
    for wait in (100, 500, 1000, 2000, 4000):
        page.wait_for_timeout(wait)
        page.reload()
        if shown():
            return


def _tick_and_reload(page: Page, label: str) -> None:
    """Tick, and open the page anew. On a busy machine the browser has lost what a page kept just before it was closed:
    that is the browser's, so the tick is set again, a few times and no more.
    """
    for _ in range(3):
        page.get_by_label(label).check(force=True)
        _reload(page, lambda: page.get_by_label(label).is_checked())
        if page.get_by_label(label).is_checked():
            return


def test_from_the_label_to_the_mate_and_offline(hosted: tuple[str, Path], window: BrowserContext) -> None:
    from playwright.sync_api import expect

    address, out = hosted
    scanned = addresses_on_labels(out / "labels.pdf")
    (front_left,) = [one for one in scanned if one.endswith("tb-fl.html")]
    page = window.new_page()
    page.goto(front_left)
    expect(page.locator("h1")).to_have_text("FL")
    page.locator("table a", has_text="RF").first.click()  # the long rail is tenoned into the front left leg
    expect(page.locator("h1")).to_have_text("RF")
    page.locator("table a", has_text="FL").first.click()
    expect(page.locator("h1")).to_have_text("FL")

    page.evaluate("async () => { await navigator.serviceWorker.ready; }")
    page.wait_for_timeout(100)
    window.set_offline(True)
    for mark in ("ST", "T", "BR"):
        page.goto(f"{address}tb-{mark.lower()}.html")
        expect(page.locator("h1")).to_have_text(mark)
    page.goto(address)
    expect(page.locator("h1")).to_have_text("Threshold bench")
    window.set_offline(False)


def test_ticks_stay_on_this_phone_and_can_be_taken_along(hosted: tuple[str, Path], window: BrowserContext) -> None:
    from playwright.sync_api import expect

    folder = (hosted[1] / "records").as_uri()
    asked: list[str] = []
    page = window.new_page()
    page.goto(f"{folder}/tb-rl.html")
    page.on("request", lambda request: asked.append(request.url))
    page.get_by_label("Planed").check(force=True)
    page.get_by_label("Planed").uncheck(force=True)
    _tick_and_reload(page, "Sawn")
    expect(page.get_by_label("Sawn")).to_be_checked()
    expect(page.get_by_label("Planed")).not_to_be_checked()
    page.goto(f"{folder}/tb-rr.html")
    expect(page.get_by_label("Sawn")).not_to_be_checked()  # another piece
    page.goto(f"{folder}/index.html")
    expect(page.locator(".export dd").first).to_have_text("1 of 10")
    expect(page.get_by_role("link", name=re.compile("RL ?, sawn")).first).to_be_visible()
    with page.expect_download() as saved:
        page.get_by_role("button", name="Save as file").click()
    told = json.loads(Path(saved.value.path()).read_text("utf-8"))
    assert told["done"] == {"RL": ["sawn"]}
    assert told["revision"] == "C"
    assert all(url.startswith(("file:", "blob:")) for url in asked)


def test_ticks_of_another_phone_come_in_beside_those_that_are_here(
    hosted: tuple[str, Path], window: BrowserContext, tmp_path: Path
) -> None:
    from playwright.sync_api import expect

    folder = (hosted[1] / "records").as_uri()
    page = window.new_page()
    page.goto(f"{folder}/tb-rl.html")
    page.get_by_label("Sawn").check(force=True)
    page.goto(f"{folder}/index.html")
    status, file = page.locator(".export [role=status]"), tmp_path / "done.json"

    def take(text: str) -> None:
        file.write_text(text, "utf-8")
        with page.expect_file_chooser() as chooser:
            page.get_by_role("button", name="Load from a file").click()
        chooser.value.set_files(file)

    for text, said in (
        ("{", "no ticks"),
        ("null", "no ticks"),
        ('{"done": 3}', "no ticks"),
        ('{"build": "<img src=x onerror=alert(1)>", "done": {}}', "another build"),
        (
            '{"build": "TB · Threshold bench", "done": {"__proto__": ["sawn"], "RL": "sawn", "RR": {"0": "sawn"}}}',
            "0 ticks",
        ),
    ):
        take(text)
        expect(status).to_contain_text(said)
    expect(page.locator(".export dd").first).to_have_text("1 of 10")
    take('{"build": "TB · Threshold bench", "done": {"RL": ["sawn", "planed", "no"], "RR": ["sawn"], "X": []}}')
    expect(status).to_have_text("2 ticks taken over. 1 piece is no longer in this build.")
    expect(page.locator(".export dd").first).to_have_text("2 of 10")
    expect(page.get_by_role("link", name=re.compile("RL ?, sawn, planed")).first).to_be_visible()


def test_a_tick_of_an_earlier_text_says_so(hosted: tuple[str, Path], window: BrowserContext) -> None:
    from playwright.sync_api import expect

    page = window.new_page()
    page.goto(f"{(hosted[1] / 'records').as_uri()}/tb-fl.html")
    page.get_by_label("Sawn").check(force=True)
    expect(page.locator(".ticks [role=status]")).to_have_text("")
    page.evaluate(
        "() => { const k = localStorage.key(0); localStorage.setItem(k, JSON.stringify({ sawn: 'other' })); }"
    )
    _reload(page, lambda: page.get_by_label("Sawn").is_checked())
    expect(page.get_by_label("Sawn")).to_be_checked()
    expect(page.locator(".ticks [role=status]")).to_contain_text("earlier page of this build: sawn")


MEASURES = """() => ({
  beyond: document.documentElement.scrollWidth - innerWidth,
  small: [...document.querySelectorAll('a, button, summary, label')]
    .map((one) => [one.textContent.trim(), one.getBoundingClientRect()])
    .filter(([, box]) => box.width && (box.height < 44 || box.width < 44)).map(([words]) => words),
})"""


def test_axe_finds_nothing_serious_and_thumbs_fit(hosted: tuple[str, Path], window: BrowserContext) -> None:
    """axe-core's own rules, WCAG 2.0 to 2.2 levels A and AA among them; WCAG 2.2, 2.5.5: targets of 44 pixels."""
    from axe_playwright_python.sync_playwright import Axe

    page = window.new_page()
    for name, scheme in (("index", "dark"), ("tb-fl", "light"), ("tb-t", "dark")):
        page.emulate_media(color_scheme="dark" if scheme == "dark" else "light")
        page.goto(f"{(hosted[1] / 'records').as_uri()}/{name}.html")
        folded = page.locator("details:not([open]) summary")
        while folded.count():
            folded.first.click()
        found = Axe().run(page).response["violations"]
        assert [one["id"] for one in found if one["impact"] in ("serious", "critical")] == [], (name, found)
        measured = page.evaluate(MEASURES)
        assert measured["beyond"] <= 0, name
        assert measured["small"] == [], name
