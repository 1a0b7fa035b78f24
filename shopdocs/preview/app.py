"""What the preview answers to a browser: its one page, what there is to see, pictures, and sheets as they print.

Every answer is looked up by its whole address among what was made here; no address is ever taken for the name of a
file. Only GET and HEAD are known, and only under the names that this server was given (a page from elsewhere that
gives its own name to this machine's address is refused).
"""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Awaitable, Callable, Sequence
from pathlib import PurePosixPath

from msgspec import to_builtins
from msgspec.structs import asdict
from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.middleware import Middleware
from starlette.middleware.trustedhost import TrustedHostMiddleware
from starlette.requests import Request
from starlette.responses import JSONResponse, PlainTextResponse, Response, StreamingResponse
from starlette.routing import Route
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from shopdocs.core.assets import layouts_folder
from shopdocs.pipeline.previewing import Preview

LOOK_EVERY = 0.05  # seconds between looks at whether there is something new to tell
STILL_THERE = 15.0  # seconds after which an open line is used, so that a closed one is noticed
LARGEST_HEAD = 16_384  # bytes of a request's head; ours take a few hundred
MOST_LINES = 32  # kept open at a time
HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; font-src 'self'; "
        "img-src 'self' data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "no-store",
}
# The files of the page, read once: what they are called here, where they lie, what they are.
FILES = {
    "/": ("preview.html", "text/html"),
    "/preview.css": ("preview.css", "text/css"),
    "/preview.js": ("preview.js", "text/javascript"),
    "/regular.ttf": ("fonts/SourceSansPro-Regular.ttf", "font/ttf"),
    "/semibold.ttf": ("fonts/SourceSansPro-Semibold.ttf", "font/ttf"),
    "/bold.ttf": ("fonts/SourceSansPro-Bold.ttf", "font/ttf"),
}


def preview_app(preview: Preview, hosts: Sequence[str]) -> ASGIApp:
    """The application; `hosts` are the names and addresses under which it may be asked."""
    lines = _Lines(preview)

    async def shown(request: Request) -> Response:
        state = preview.shown
        return JSONResponse(to_builtins({**asdict(state), "pictures": [name for name, _ in state.pictures]}))

    async def picture(request: Request) -> Response:
        found = dict(preview.shown.pictures).get(request.path_params["name"])
        return _missing() if found is None else Response(found, media_type="image/svg+xml")

    async def pages(request: Request) -> Response:
        found = await run_in_threadpool(preview.pages, request.path_params["name"])
        return _missing() if found is None else JSONResponse({"pages": found})

    async def pdf(request: Request) -> Response:
        name = request.path_params["name"]
        found = await run_in_threadpool(preview.pdf, name)
        if found is None:
            return _missing()
        return Response(
            found, media_type="application/pdf", headers={"Content-Disposition": f'inline; filename="{name}.pdf"'}
        )

    routes = [Route(path, _file(*named)) for path, named in FILES.items()]
    routes += [
        Route("/shown", shown),
        Route("/changes", lines.open),
        Route("/picture/{name}.svg", picture),
        Route("/sheet/{name}.json", pages),
        Route("/sheet/{name}.pdf", pdf),
    ]
    app = Starlette(routes=routes, middleware=[Middleware(TrustedHostMiddleware, allowed_hosts=list(hosts))])
    app.router.redirect_slashes = False
    return _guarded(app)


def _missing() -> Response:
    return PlainTextResponse("there is nothing here", 404)


def _file(name: str, kind: str) -> Callable[[Request], Awaitable[Response]]:
    content = layouts_folder().joinpath(*PurePosixPath(name).parts).read_bytes()

    async def answer(request: Request) -> Response:
        return Response(content, media_type=kind)

    return answer


def _guarded(app: ASGIApp) -> ASGIApp:
    """Refuses heads that are too large to be meant and versions of the protocol that are not ours; every answer,
    refusals too, carries the headers above."""
    fixed = [(name.lower().encode(), value.encode()) for name, value in HEADERS.items()]

    async def wrapped(scope: Scope, receive: Receive, send: Send) -> None:
        async def sending(message: Message) -> None:
            if message["type"] == "http.response.start":
                message["headers"] = [*message.get("headers", ()), *fixed]
            await send(message)

        await (_refusal(scope) or app)(scope, receive, sending)

    return wrapped


def _refusal(scope: Scope) -> Response | None:
    if scope["http_version"] not in ("1.0", "1.1"):
        return PlainTextResponse("HTTP 1.1 is spoken here", 505)  # RFC 9110, 15.6.6
    if len(scope["raw_path"]) + len(scope["query_string"]) > LARGEST_HEAD // 4:
        return PlainTextResponse("no address here is so long", 414)  # RFC 9110, 15.5.15
    if sum(len(name) + len(value) for name, value in scope["headers"]) > LARGEST_HEAD:
        return PlainTextResponse("too much before the request", 431)  # RFC 6585, 5
    return None


class _Lines:
    """Open lines to browsers, on which each step of the preview is told (server-sent events, HTML Living Standard)."""

    def __init__(self, preview: Preview) -> None:
        self.preview = preview
        self.count = 0

    async def open(self, request: Request) -> Response:
        if self.count >= MOST_LINES:
            return PlainTextResponse("too many pages are open", 503)
        return StreamingResponse(self._told(request), media_type="text/event-stream")

    async def _told(self, request: Request) -> AsyncIterator[str]:
        self.count += 1
        told, waited = -1, 0.0
        try:
            while not await request.is_disconnected():
                run = self.preview.shown.run
                if run != told or waited >= STILL_THERE:
                    told, waited = run, 0.0
                    yield f"data: {run}\n\n"
                await asyncio.sleep(LOOK_EVERY)
                waited += LOOK_EVERY
        finally:
            self.count -= 1
