"""The preview in a real browser, and what it refuses."""

from __future__ import annotations

import http.client
import shutil
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

import pytest

from shopdocs.preview.serve import in_blocks, listening
from tests.browser.preview_run import ROOT, running

if TYPE_CHECKING:
    from playwright.sync_api import BrowserContext

BENCH = ROOT / "sample_builds" / "threshold_bench"
SOON = 30_000  # milliseconds; on a busy machine. How long it takes is measured in tests/bench/preview.py


@pytest.fixture(scope="module")
def build(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("written")
    for name in ("build.yaml", "shop.yaml"):
        shutil.copy(BENCH / name, folder / name)
    return folder / "build.yaml"


@pytest.fixture(scope="module")
def address(build: Path) -> Iterator[str]:
    with running(build) as found:
        yield found


def test_edit_break_and_mend(build: Path, address: str, window: BrowserContext) -> None:
    from playwright.sync_api import expect

    good = (BENCH / "build.yaml").read_text("utf-8")
    build.write_text(good, "utf-8")
    page = window.new_page()
    page.set_default_timeout(SOON)
    page.goto(address)
    title, paper = page.locator("h1"), page.locator("#paper")
    expect(title).to_have_text("Threshold bench", timeout=SOON)
    expect(paper.locator("svg")).to_have_count(1, timeout=SOON)
    first = paper.inner_html()

    longer = good.replace("title: Threshold bench", "title: Long bench").replace("44", "64")
    build.write_text(longer, "utf-8")
    expect(title).to_have_text("Long bench", timeout=SOON)
    expect(paper).to_have_attribute("data-good", str(page.request.get(f"{address}shown").json()["good"]), timeout=SOON)
    second = paper.inner_html()
    assert second != first

    build.write_text(good.replace("build:", "build: [", 1), "utf-8")
    expect(page.locator("body")).to_have_class("old", timeout=SOON)
    expect(page.locator("#problems code").first).to_contain_text("build.yaml:")
    assert paper.inner_html() == second  # the last good picture stays

    build.write_text(good, "utf-8")
    expect(title).to_have_text("Threshold bench", timeout=SOON)
    expect(page.locator("body")).not_to_have_class("old", timeout=SOON)

    page.get_by_role("button", name="cut list").click()
    expect(paper.locator("figure.page svg").first).to_contain_text("Cut list", timeout=SOON)
    page.wait_for_function("document.documentElement.scrollWidth <= innerWidth", timeout=SOON)  # once it is laid out


def ask(address: str, raw: bytes) -> tuple[int, bytes]:
    """What comes back for these very bytes: the status and everything after it."""
    parts = urlsplit(address)
    with socket.create_connection((parts.hostname, parts.port), 20) as line:
        found = b""
        with suppress(OSError):  # refused before all of it was sent
            line.sendall(raw)
        with suppress(ConnectionResetError):
            while more := line.recv(65536):
                found += more
    head = found.split(b" ", 2)
    return int(head[1]) if len(head) > 1 else 0, found


def request(path: str, method: str = "GET", host: str = "127.0.0.1", more: str = "") -> bytes:
    return f"{method} {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n{more}\r\n".encode("latin-1")


TRAVERSALS = (
    "/../build.yaml", "/..%2fbuild.yaml", "/%2e%2e/%2e%2e/etc/passwd", "/picture/../../etc/passwd",
    "/picture/..%2f..%2fetc%2fpasswd.svg", "/sheet/..%5c..%5cbuild.yaml.pdf", "/sheet/%00.pdf", "//etc/passwd",
    "/preview.css/../preview.html", "/sheet/nothing.pdf", "/picture/nothing.svg", "/build.yaml", "/shop.yaml",
    "http://127.0.0.1/../etc/passwd", "/fonts/SourceSansPro-Bold.ttf",
)  # fmt: skip


@pytest.mark.parametrize("path", TRAVERSALS)
def test_only_what_was_made_is_served(address: str, path: str) -> None:
    status, found = ask(address, request(path))
    assert status == 404, found[:200]
    assert b"root:" not in found
    assert b"materials:" not in found


@pytest.mark.parametrize(
    ("raw", "wanted"),
    [
        (request("/", "POST", more="Content-Length: 2\r\n") + b"ab", {405}),
        (request("/shown", "DELETE"), {405}),
        (request("/", host="plans.example"), {400}),
        (b"GET / HTTP/1.1\r\n\r\n", {400}),  # no Host: RFC 9112, 3.2
        (b"\x16\x03\x01\x02\x00\x01\x00" * 30, {0, 400}),
        (b"GET / HTTP/9.9\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n", {0, 400, 505}),
        (request("/" + "a" * 100_000), {0, 400, 414}),
        (request("/", more="X-Long: " + "a" * 1_000_000 + "\r\n"), {0, 400, 431}),
        (request("/", "POST", more="Content-Length: 99999999999\r\n") + b"x" * 100_000, {0, 400, 405}),
        (request("/", more="Content-Length: 1\r\nContent-Length: 2\r\n") + b"ab", {400}),
    ],
)
def test_malformed_and_oversized_requests_are_refused(address: str, raw: bytes, wanted: set[int]) -> None:
    status, found = ask(address, raw)
    assert status in wanted, found[:200]
    assert ask(address, request("/shown"))[0] == 200  # and it goes on


def test_every_answer_carries_the_policy(address: str) -> None:
    parts = urlsplit(address)
    for path in ("/", "/shown", "/preview.js", "/nothing"):
        line = http.client.HTTPConnection(parts.hostname or "", parts.port, timeout=20)
        line.request("GET", path)
        answer = line.getresponse()
        assert "default-src 'none'" in (answer.getheader("Content-Security-Policy") or "")
        assert answer.getheader("X-Content-Type-Options") == "nosniff"
        answer.read()
        line.close()


def test_it_listens_on_this_machine_alone_unless_asked() -> None:
    with listening(0, False) as here, listening(0, True) as everywhere:
        assert here.getsockname()[0] == "127.0.0.1"
        assert everywhere.getsockname()[0] == "0.0.0.0"


def test_a_port_that_is_taken_gets_a_clear_message(build: Path) -> None:
    with listening(0, False) as taken:
        port = str(taken.getsockname()[1])
        command = [sys.executable, "-m", "shopdocs", "preview", str(build), "--port", port]
        done = subprocess.run(command, capture_output=True, text=True, cwd=ROOT, timeout=60, check=False)
    assert done.returncode == 2
    assert f"port {port} cannot be used" in done.stderr
    assert "--port 0" in done.stderr
    assert "Traceback" not in done.stderr


def test_the_code_in_the_terminal_is_read_by_a_decoder() -> None:
    """zxing reads the block letters, each two pixels high, as a terminal with dark paper shows them."""
    import zxingcpp
    from PIL import Image

    from shopdocs.page.qr import modules

    lines = in_blocks(modules("http://192.0.2.7:8427/"))
    pixels = {"█": (255, 255), "▀": (255, 0), "▄": (0, 255), " ": (0, 0)}
    image = Image.new("L", (len(lines[0]), 2 * len(lines)))
    for y, line in enumerate(lines):
        for x, letter in enumerate(line):
            for k in (0, 1):
                image.putpixel((x, 2 * y + k), pixels[letter][k])
    larger = image.resize((image.width * 6, image.height * 6), Image.Resampling.NEAREST)
    (found,) = zxingcpp.read_barcodes(larger)
    assert found.text == "http://192.0.2.7:8427/"
