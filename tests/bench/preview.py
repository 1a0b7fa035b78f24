"""How soon the preview shows a change of the bench, and whether it bears 500 requests a second.

    python tests/bench/preview.py [SECONDS]

Prints the time from the save of a text until the new picture, or the new problem, can be had; then asks at a steady 500
requests a second over kept lines for SECONDS (10) and prints how many were answered wrong or late.
"""

from __future__ import annotations

import http.client
import json
import shutil
import statistics
import sys
import threading
import time
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory
from urllib.parse import urlsplit

ROOT = Path(__file__).parent.parent.parent
sys.path.insert(0, str(ROOT))

from tests.browser.preview_run import running  # noqa: E402

RATE, LINES = 500, 10
LONGEST = 60  # seconds to wait for a change
PATHS = ("/shown", "/", "/preview.js", "/picture/as-it-stands.svg", "/nothing")


def main() -> int:
    seconds = int(sys.argv[1]) if len(sys.argv) > 1 else 10
    with TemporaryDirectory() as folder:
        build = Path(folder) / "build.yaml"
        for name in ("build.yaml", "shop.yaml"):
            shutil.copy(ROOT / "sample_builds" / "threshold_bench" / name, folder)
        with running(build) as address:
            until(address, lambda shown: shown["current"])
            good = build.read_text("utf-8")
            pictures = [save(address, build, good.replace("44", str(45 + n)), True) for n in range(10)]
            problems = [save(address, build, good.replace("leg:", f"leg{n}: [", 1), False) for n in range(10)]
            print(f"picture after a save: median {statistics.median(pictures):.2f} s, most {max(pictures):.2f} s")
            print(f"problem after a save: median {statistics.median(problems):.2f} s, most {max(problems):.2f} s")
            build.write_text(good, "utf-8")
            until(address, lambda shown: shown["current"])
            return load(address, seconds)


def shown_at(address: str) -> dict[str, object]:
    parts = urlsplit(address)
    line = http.client.HTTPConnection(parts.hostname or "", parts.port, timeout=60)
    line.request("GET", "/shown")
    found: dict[str, object] = json.loads(line.getresponse().read())
    line.close()
    return found


def until(address: str, wanted: Callable[[dict[str, object]], object]) -> dict[str, object]:
    began = time.monotonic()
    while time.monotonic() - began < LONGEST:
        found = shown_at(address)
        if wanted(found):
            return found
        time.sleep(0.02)
    raise SystemExit(f"nothing came within {LONGEST} s")


def save(address: str, build: Path, text: str, good: bool) -> float:
    before = shown_at(address)
    began = time.monotonic()
    build.write_text(text, "utf-8")
    if good:
        until(address, lambda shown: shown["good"] != before["good"])
    else:
        until(address, lambda shown: shown["run"] != before["run"] and not shown["busy"])
    return time.monotonic() - began


def load(address: str, seconds: int) -> int:
    """`LINES` kept lines, each asking at its share of the rate."""
    parts = urlsplit(address)
    late: list[float] = []
    wrong: list[str] = []
    start = time.monotonic() + 0.2

    def ask(number: int) -> None:
        line = http.client.HTTPConnection(parts.hostname or "", parts.port, timeout=30)
        for n in range(RATE * seconds // LINES):
            due = start + (n * LINES + number) / RATE
            time.sleep(max(0.0, due - time.monotonic()))
            path = PATHS[n % len(PATHS)]
            try:
                line.request("GET", path)
                answer = line.getresponse()
                answer.read()
            except OSError as fault:
                wrong.append(f"{path}: {fault!r}")
                line.close()
                continue
            if answer.status != (404 if path == "/nothing" else 200):
                wrong.append(f"{path}: {answer.status}")
            late.append(time.monotonic() - due)

    threads = [threading.Thread(target=ask, args=(number,)) for number in range(LINES)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    took = time.monotonic() - start
    late.sort()
    print(f"{len(late)} answers in {took:.1f} s, {len(late) / took:.0f} a second, {len(wrong)} wrong {wrong[:3]}")
    print(f"answered after {late[len(late) // 2] * 1000:.1f} ms in the middle, {late[-1] * 1000:.0f} ms at most")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
