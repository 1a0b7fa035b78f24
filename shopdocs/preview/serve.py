"""Serves the preview of a build on this machine, and looks at the build again whenever its files are saved."""

from __future__ import annotations

import socket
import sys
from collections.abc import Iterable
from pathlib import Path
from threading import Event, Thread

from shopdocs.page.qr import modules
from shopdocs.pipeline.previewing import Preview

LOOPBACK = "127.0.0.1"
EVERYWHERE = "0.0.0.0"
MOST_AT_ONCE = 200  # requests
SETTLE_MS = 60  # an editor that writes in several strokes is waited for
NOWHERE_NEAR = ("192.0.2.1", 9)  # RFC 5737, for documentation: nothing is sent there


class PortTaken(OSError):
    """The port cannot be had; `wrong` and `right` in words for the maker."""

    def __init__(self, wrong: str, right: str) -> None:
        super().__init__(wrong)
        self.wrong, self.right = wrong, right


def listening(port: int, open_to_network: bool) -> socket.socket:
    """A socket on this port (0 for any that is free), on this machine alone unless `open_to_network`. Raises PortTaken
    where another program has it, or it needs rights that the maker has not."""
    # named as TCP, for only then does asyncio send short answers at once: else each takes 40 ms
    found = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    try:
        if sys.platform != "win32":  # there it would let two programs share a port
            found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        found.bind((EVERYWHERE if open_to_network else LOOPBACK, port))
        found.listen(128)
    except OSError as fault:
        found.close()
        wrong = f"port {port} cannot be used ({fault.strerror or fault})"
        raise PortTaken(wrong, "another preview may be running; end it, or choose another, such as --port 0") from fault
    return found


def network_address() -> str:
    """The address of this machine in its network, by which way a packet would leave it; the loopback's without one."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
        try:
            asked.connect(NOWHERE_NEAR)
            return str(asked.getsockname()[0])
        except OSError:
            return LOOPBACK


def serve(preview: Preview, port: int, open_to_network: bool) -> None:
    """Serve until stopped. Raises PortTaken."""
    import uvicorn

    from shopdocs.preview.app import LARGEST_HEAD, preview_app

    taken = listening(port, open_to_network)
    host = network_address() if open_to_network else LOOPBACK
    address = f"http://{host}:{taken.getsockname()[1]}/"
    config = uvicorn.Config(
        preview_app(preview, sorted({host, LOOPBACK, "localhost"})),
        http="h11",
        ws="none",
        lifespan="off",
        log_level="error",
        access_log=False,
        server_header=False,
        proxy_headers=False,
        limit_concurrency=MOST_AT_ONCE,
        timeout_graceful_shutdown=1,
        h11_max_incomplete_event_size=LARGEST_HEAD,
    )
    ended = Event()
    Thread(target=_keep_looking, args=(preview, ended), daemon=True).start()
    print("\n".join(said(address, open_to_network)), flush=True)
    try:
        uvicorn.Server(config).run(sockets=[taken])
    finally:
        ended.set()
        taken.close()


def said(address: str, open_to_network: bool) -> list[str]:
    """What the terminal says of the address; with a code for the phone where a phone can reach it."""
    if not open_to_network:
        return [f"preview at {address}", "for the phone: --open-to-network; end with Ctrl-C"]
    warned = "everyone on this network can read the build while this runs; end with Ctrl-C"
    return [f"preview at {address}", *in_blocks(modules(address)), warned]


def in_blocks(rows: Iterable[str], quiet: int = 2) -> list[str]:
    """A QR symbol for a terminal, light on dark letters: two rows of modules a line. Most readers want no more than two
    modules of quiet zone on a screen."""
    inner = ["0" * quiet + row + "0" * quiet for row in rows]
    empty = "0" * len(inner[0])
    whole = [empty] * quiet + inner + [empty] * quiet
    whole += [empty] * (len(whole) % 2)
    shown = {("0", "0"): "█", ("0", "1"): "▀", ("1", "0"): "▄", ("1", "1"): " "}
    return [
        "".join(shown[pair] for pair in zip(*two, strict=True)) for two in zip(whole[::2], whole[1::2], strict=True)
    ]


def _keep_looking(preview: Preview, ended: Event) -> None:
    """Look once, and again after every change. Folders are watched, not files, for many editors put a new file in the
    place of the old one."""
    from watchfiles import watch

    preview.look()
    names = {str(path.resolve()) for path in preview.files}
    folders = {path.resolve().parent for path in preview.files}
    seen = _contents(preview.files)
    for _ in watch(
        *sorted(folder for folder in folders if folder.is_dir()),
        watch_filter=lambda change, path: str(Path(path).resolve()) in names,
        debounce=400,
        step=SETTLE_MS,
        rust_timeout=1000,
        yield_on_timeout=True,  # now and then without a word: a change that nobody told is found, too
        stop_event=ended,
        recursive=False,
        raise_interrupt=False,
    ):
        now = _contents(preview.files)
        if now != seen:
            seen = now
            preview.look()


def _contents(files: Iterable[Path]) -> list[tuple[int, int] | None]:
    """By what one tells that a file was written: when, and how long it is."""
    found: list[tuple[int, int] | None] = []
    for path in files:
        try:
            stat = path.stat()
            found.append((stat.st_mtime_ns, stat.st_size))
        except OSError:
            found.append(None)
    return found
