"""The command line: arguments in, exit code out. Everything else is asked of the pipeline.

Exit codes: 0 done, 1 warnings where --strict was asked for, 2 bad input and nothing written, 130 or 143 stopped
(128 and the signal's number, as shells count). Only the standard library
is imported before a command runs, so that --help answers at once; argparse, not a richer parser, for the same reason.
"""

from __future__ import annotations

import argparse
import gc
import io
import os
import sys
import time
from collections.abc import Callable, Sequence

from shopdocs.core.limits import MOST_ROUNDS
from shopdocs.core.terminal import Parser

TYPE_CHECKING = False  # type checkers know the name; importing typing would take a quarter of the time of --help
if TYPE_CHECKING:
    from shopdocs.pipeline import Outcome, Request

# A set is made of many small objects that live until it is written; to look for rings among them each time 700 more
# were made, as is usual, takes a tenth of the time and frees next to nothing.
OBJECTS_BETWEEN = 1_000_000
MOST_SHOWN = 100  # problems; nobody reads on, and the first ones are often what the others come from
PREVIEW_PORT = 8427
PROGRESS_AFTER = 0.8  # seconds before progress is shown: a quick run says nothing but its result


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; the exit code."""
    parser = _parser()
    asked = parser.parse_args(arguments)
    _print_any_letter()
    if asked.version:
        from shopdocs import __version__

        print(f"shopdocs {__version__}")
        return 0
    if asked.command is None:
        parser.print_help()
        return 2
    command: Callable[[argparse.Namespace], int] = asked.command
    asked.written = False
    from shopdocs.core.stops import watch_for_stop  # --help needs none

    gc.set_threshold(OBJECTS_BETWEEN)
    stopped: list[int] = []
    watched: list[Callable[[], object]] = []
    try:
        watched.append(watch_for_stop(stopped))
        code = command(asked)
        sys.stdout.flush()
        return code
    except BrokenPipeError:  # the reader of a pipe has seen enough; nothing more can be said to it
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except BaseException as fault:
        if not stopped and not isinstance(fault, KeyboardInterrupt):
            raise
        print(f"stopped; {'the new set stands' if asked.written else 'nothing was changed'}", file=sys.stderr)
        return 128 + (stopped[0] if stopped else 2)
    finally:
        for as_before in watched:
            as_before()


def _print_any_letter() -> None:
    """A title in another script must not end the run on a terminal that lacks its letters."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")


def _parser() -> argparse.ArgumentParser:
    parser = Parser(
        prog="shopdocs",
        description="From one description of a piece of furniture to everything that must be on paper at the bench.",
        epilog="Begin with: shopdocs start my-build, then shopdocs render my-build/build.yaml --out my-build/set",
    )
    parser.add_argument("--version", action="store_true", help="print the version")
    parser.set_defaults(command=None)
    commands = parser.add_subparsers(title="commands", metavar="COMMAND")
    _add_render(commands)

    why = "hold a receipt against the rules, and the boards bought against the build"
    tally = commands.add_parser("tally", help=why)
    _add_build(tally)
    tally.add_argument("receipt", metavar="RECEIPT", help="the receipt, YAML or CSV")
    tally.add_argument("--out", required=True, metavar="DIR", help="folder for tally.pdf, its tables and figures")
    tally.add_argument("--paper", choices=("letter", "a4"), help="paper; by default the shop's, or by the units")
    tally.set_defaults(command=_tally)

    stages = commands.add_parser("stages", help="propose the stages of the glue-up, as text to paste into the build")
    _add_build(stages)
    stages.set_defaults(command=_stages)

    check = commands.add_parser("check", help="say what is wrong or doubtful in a build, or stale in a set")
    _add_build(check)
    check.add_argument("--set", metavar="DIR", help="say which sheets of this set are no longer those of the build")
    check.set_defaults(command=_check)

    preview = commands.add_parser("preview", help="show problems, pictures and sheets in the browser while you write")
    preview.add_argument("build", metavar="BUILD", help="the build file, such as build.yaml")
    preview.add_argument("--shop", metavar="FILE", help="the shop file; by default shop.yaml beside the build")
    preview.add_argument("--port", type=_port, default=PREVIEW_PORT, metavar="N", help="port; 0 for any that is free")
    preview.add_argument(
        "--open-to-network", action="store_true", help="let the phone, and everyone in this network, read it"
    )
    preview.set_defaults(command=_preview)

    compare = commands.add_parser("compare", help="say what changed between two revisions of a build")
    compare.add_argument("old", metavar="OLD", help="the earlier build file, set folder or figures.json")
    compare.add_argument("new", metavar="NEW", help="the later one")
    compare.add_argument("--shop", metavar="FILE", help="the shop file of builds; by default shop.yaml beside each")
    compare.set_defaults(command=_compare)

    start = commands.add_parser("start", help="write a small commented build to begin with")
    start.add_argument("folder", metavar="DIR", help="a new folder for build.yaml and shop.yaml")
    start.set_defaults(command=_start)

    schema = commands.add_parser("schema", help="print the build file's JSON Schema, for editors")
    schema.add_argument("--shop", action="store_true", help="of the shop file instead")
    schema.add_argument("--receipt", action="store_true", help="of a receipt instead")
    schema.set_defaults(command=_schema)

    reference = commands.add_parser("reference", help="print every key of the build language with its meaning")
    reference.set_defaults(command=_reference)

    listing = commands.add_parser("list", help="print the names that options and files may use")
    listing.set_defaults(command=_list)
    return parser


def _add_render(commands: argparse._SubParsersAction[Parser]) -> None:
    render = commands.add_parser("render", help="make the set of a build: PDFs, record pages, tables, figures")
    _add_build(render, many=True)
    render.add_argument("--out", required=True, metavar="DIR", help="folder for the set; swapped in whole")
    render.add_argument(
        "--only", nargs="+", default=[], metavar="NAME", help="only these documents (see shopdocs list)"
    )
    render.add_argument(
        "--paper",
        type=str.lower,
        choices=("letter", "a4"),
        help="paper; by default the shop's, or by the units",
    )
    render.add_argument("--units", choices=("in", "mm"), help="print in these units; by default the build's")
    render.add_argument("--labels", metavar="SHEET", help="label sheet (see shopdocs list)")
    render.add_argument("--used", type=_count, metavar="N", help="labels already used on the first sheet")
    render.add_argument("--records", type=_address, metavar="URL", help="web address where the record pages will be")
    render.add_argument("--effort", type=_rounds, metavar="N", help="search N rounds for cheaper boards, say 100000")
    render.add_argument("--date", type=_date, metavar="DATE", help="date on every page; by default the build's")
    render.add_argument(
        "--since", metavar="OLD", help="an earlier build, set or figures.json: a sheet tells what changed"
    )
    render.add_argument(
        "--one-purchase", action="store_true", help="of several builds: lay the pieces of all out on one purchase too"
    )
    render.add_argument(
        "--edition", choices=("customer",), help="the plan to sell: all papers and units, nothing of your own shop"
    )
    render.set_defaults(command=_render)


def _add_build(parser: argparse.ArgumentParser, many: bool = False) -> None:
    if many:
        right = "the build file; several, or a folder of them, get a set each, in folders below DIR"
        parser.add_argument("builds", metavar="BUILD", nargs="+", help=right)
    else:
        parser.add_argument("build", metavar="BUILD", help="the build file, such as build.yaml")
    parser.add_argument("--shop", metavar="FILE", help="the shop file; by default shop.yaml beside the build")
    parser.add_argument("--strict", action="store_true", help="exit with 1 when there are warnings")


def _count(text: str) -> int:
    """A count from the command line."""
    if not text.isascii() or not text.isdecimal() or len(text) > 6:
        raise argparse.ArgumentTypeError(f"'{text}' is not a count; write 0 or more")
    return int(text)


def _port(text: str) -> int:
    """A port from the command line."""
    if not text.isascii() or not text.isdecimal() or len(text) > 5 or int(text) > 65535:
        raise argparse.ArgumentTypeError(f"'{text}' is not a port; write 0 to 65535")
    return int(text)


def _address(text: str) -> str:
    """A web address from the command line; an empty one asks for labels without an address."""
    from shopdocs.core.slug import address_base

    base = address_base(text) if text else ""
    if base is None:
        raise argparse.ArgumentTypeError(f"'{text}' is not a web address; write https://example.org/records/")
    return base


def _date(text: str) -> str:
    """A date, as it is to be printed."""
    shown = " ".join(text.split())
    if not shown.isprintable() or not 0 < len(shown) <= 40:
        wrong = "a date is printed as it is written, such as '12 May 2031'; 40 letters at most"
        raise argparse.ArgumentTypeError(wrong)
    return shown


def _rounds(text: str) -> int:
    """A number of search rounds from the command line."""
    if not text.isascii() or not text.isdecimal() or int(text) > MOST_ROUNDS:
        raise argparse.ArgumentTypeError(f"'{text}' is not a number of rounds; write 0 to {MOST_ROUNDS}")
    return int(text)


def _render(asked: argparse.Namespace) -> int:
    from shopdocs.documents.catalogue import NAMES
    from shopdocs.pipeline import Request, is_batch, render_alone, render_customers

    only = tuple(name for item in asked.only for name in item.split(",") if name)
    if asked.only and not only:
        print(f"--only:1:1: no document is named; known: {', '.join(NAMES)}", file=sys.stderr)
        return 2
    unknown = [name for name in only if name not in NAMES]
    if unknown:
        from difflib import get_close_matches

        close = get_close_matches(unknown[0], NAMES, 1)
        hint = f"did you mean '{close[0]}'?" if close else f"known: {', '.join(NAMES)}"
        print(f"--only:1:1: no document is called '{unknown[0]}'; {hint}", file=sys.stderr)
        return 2
    if only and asked.since:
        print("--since:1:1: changes are shown in a whole set only; leave out --only", file=sys.stderr)
        return 2
    if asked.edition and (only or asked.since or asked.labels or asked.used):
        right = "leave out --only, --since, --labels and --used"
        print(f"--edition:1:1: a customer edition is a whole set for any printer; {right}", file=sys.stderr)
        return 2
    many = is_batch(asked.builds)
    if asked.one_purchase and not many:
        print("--one-purchase:1:1: this is one build; name several, or a folder of them", file=sys.stderr)
        return 2
    if many and (asked.edition or asked.since):
        print("BUILD:1:1: --edition and --since are for one build; name one", file=sys.stderr)
        return 2
    request = Request(
        build=asked.builds[0],
        shop=asked.shop,
        only=only,
        paper=asked.paper,
        units=asked.units,
        labels=asked.labels,
        labels_used=asked.used,
        records=asked.records,
        effort=asked.effort,
        date=asked.date or "",
        since=asked.since or "",
        edition=asked.edition or "",
    )
    if many:
        return _render_all(request, asked)
    progress = _Progress()
    outcome = (render_customers if asked.edition else render_alone)(request, asked.out, progress)
    asked.written = bool(outcome.written)
    progress.clear()
    code = _report(outcome.problems, asked.strict)
    _show_written(outcome, asked.out)
    return code


def _render_all(request: Request, asked: argparse.Namespace) -> int:
    """A set for each build; the worst exit code of all, when every one has had its turn."""
    from shopdocs.pipeline import buy_together, render_all

    progress = _Progress()
    results, problems = render_all(
        request, asked.builds, asked.out, lambda done, of, name: progress(f"{done} of {of}: {name}")
    )
    asked.written = any(result.status == "made" for result in results)
    progress.clear()
    codes = [_report(problems, asked.strict)]
    for result in results:
        codes.append(_report(result.problems, asked.strict))
    if results and asked.one_purchase:
        outcome = buy_together(request, [result.build for result in results], asked.out, progress)
        progress.clear()
        codes.append(_report(outcome.problems, asked.strict))
        _show_written(outcome, f"{asked.out}/one-purchase")
    if results:
        wide = max(len(result.set) for result in results)
        print(f"written to {asked.out}")
        for result in results:
            pages = _many(result.pages, "page") if result.pages else ""
            doubts = _many(result.warnings, "warning") if result.warnings else ""
            wrong = _many(result.errors, "error") if result.errors else ""
            told = ", ".join(filter(None, (result.status, pages, wrong, doubts)))
            print(f"  {result.set:<{wide}}  {told}")
    return max(codes)


def _show_written(outcome: Outcome, out: str) -> None:
    """The closing table."""
    if outcome.written:
        wide = max(len(line.name) for line in outcome.written)
        many = max(len(line.count) for line in outcome.written)
        print(f"written to {out}")
        for line in outcome.written:
            print(f"  {line.name:<{wide}}  {line.count:>{many}}  {line.size / 1000:>8.1f} kB")


def _tally(asked: argparse.Namespace) -> int:
    from shopdocs.pipeline import Request, tally

    progress = _Progress()
    outcome = tally(Request(build=asked.build, shop=asked.shop, paper=asked.paper), asked.receipt, asked.out, progress)
    asked.written = bool(outcome.written)
    progress.clear()
    code = _report(outcome.problems, asked.strict)
    for line in outcome.said:
        print(line)
    _show_written(outcome, asked.out)
    return code


def _compare(asked: argparse.Namespace) -> int:
    from shopdocs.pipeline import compare_builds

    progress = _Progress()
    outcome = compare_builds(asked.old, asked.new, asked.shop, progress)
    progress.clear()
    code = _report(outcome.problems, False)
    for line in outcome.said:
        print(line)
    return code


def _preview(asked: argparse.Namespace) -> int:
    from shopdocs.preview.run import run_preview

    return run_preview(asked.build, asked.shop, asked.port, asked.open_to_network)


def _many(count: int, word: str) -> str:
    return f"{count} {word}{'' if count == 1 else 's'}"


def _check(asked: argparse.Namespace) -> int:
    from shopdocs.pipeline import check_build

    if asked.set is not None or os.path.isdir(asked.build):
        from shopdocs.pipeline import check_set

        progress = _Progress()
        folder, build = (asked.build, "") if asked.set is None else (asked.set, asked.build)
        outcome = check_set(folder, build, asked.shop, progress)
        progress.clear()
        code = _report(outcome.problems, asked.strict)
        for line in outcome.said:
            print(line)
        return code
    build, _, problems = check_build(asked.build, asked.shop)
    code = _report(problems, asked.strict)
    if code == 0 and build is not None:
        pieces = sum(len(part.pieces) for part in build.parts)
        count = f", {_many(len(problems), 'warning')}" if problems else ""
        print(f"{asked.build}: {build.title}, {_many(pieces, 'piece')} of {_many(len(build.parts), 'part')}{count}")
        stageless = build.gluing is not None and not build.gluing.stages and any(joint.glued for joint in build.joints)
        if stageless and all(each.code != "no-order" for each in problems):
            print(f"no glue-up stages yet: shopdocs stages {asked.build} proposes some")
    return code


def _stages(asked: argparse.Namespace) -> int:
    from shopdocs.pipeline import propose_stages

    problems, proposed = propose_stages(asked.build, asked.shop)
    code = _report(problems, asked.strict)
    if proposed:
        print(proposed, end="")
    return code


def _report(problems: Sequence[object], strict: bool) -> int:
    """Print the problems in reading order; the exit code they ask for."""
    from shopdocs.core.problems import Problem, has_errors

    found = [problem for problem in problems if isinstance(problem, Problem)]
    bad = [problem for problem in found if has_errors([problem])]
    shown = (bad if len(found) > MOST_SHOWN and bad else found)[:MOST_SHOWN]
    for problem in shown:
        print(problem, file=sys.stderr)
    if len(shown) < len(found):
        errors = len(bad) - sum(has_errors([problem]) for problem in shown)
        warnings = len(found) - len(shown) - errors
        rest = [_many(count, word) for count, word in ((errors, "error"), (warnings, "warning")) if count]
        print(f"and {' and '.join(rest)} more; mend these first", file=sys.stderr)
    answers = [problem.answer for problem in shown if problem.answer]
    if answers:
        print(
            f"to keep what is right as it is, write in the build: meant: [{', '.join(map(_in_list, answers))}]",
            file=sys.stderr,
        )
    if has_errors(found):
        return 2
    return 1 if found and strict else 0


def _in_list(text: str) -> str:
    """A text as it is written in a list between brackets: in quotes where a sign in it would end it there."""
    return "'" + text.replace("'", "''") + "'" if any(sign in text for sign in ",:{}[]#'\"&*") else text


def _start(asked: argparse.Namespace) -> int:
    from shopdocs.pipeline import write_starter

    problems, written = write_starter(asked.folder)
    code = _report(problems, False)
    for name in written:
        print(f"written {name}")
    return code


def _schema(asked: argparse.Namespace) -> int:
    from shopdocs.pipeline import schema_text

    print(schema_text(asked.shop, asked.receipt))
    return 0


def _reference(asked: argparse.Namespace) -> int:
    from shopdocs.pipeline import reference_text

    print(reference_text())
    return 0


def _list(asked: argparse.Namespace) -> int:
    from shopdocs.pipeline import names_text

    print(names_text())
    return 0


class _Progress:
    """One line on the terminal that says what is being done; silent unless that is a terminal."""

    def __init__(self) -> None:
        self.began = time.monotonic()
        self.shown = False

    def __call__(self, step: str) -> None:
        if sys.stderr.isatty() and time.monotonic() - self.began > PROGRESS_AFTER:
            self.shown = True
            print(f"\r\033[K{step} …", end="", file=sys.stderr, flush=True)

    def clear(self) -> None:
        if self.shown:
            print("\r\033[K", end="", file=sys.stderr, flush=True)
