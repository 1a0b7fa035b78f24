"""Break builds, shop files and receipts at random and see that each is answered: no traceback, no message without its
place, nothing that takes longer than LONGEST.

    python tests/bench/fuzz.py [CASES] [--seed N] [--keep FOLDER]

Seeds are the samples and two builds of its own that use what they lack: runs with wildcards, mirrored places,
crossing holes, slots; what leans, crosses and is tipped, in inches, three times as often as the others. A case takes
one of them and changes one to four things: words for words of the same file or for hostile ones, numbers, signs,
lines taken out, twice or elsewhere, indents, bytes. Cases are numbered, and each has its own random numbers, so that
one can be run again alone (`--only N`). What went wrong is kept as files with `--keep`.
"""

from __future__ import annotations

import argparse
import re
import signal
import sys
import tempfile
import time
import traceback
from collections import Counter
from pathlib import Path
from random import Random

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from shopdocs.core.problems import Problem
from shopdocs.pipeline import Request, check_build, render, tally

ROOT = Path(__file__).resolve().parents[2]
LONGEST = 5.0  # seconds of processor time
RENDERED = 40  # every so manieth accepted build is rendered too
PLACE = re.compile(r".*:[1-9]\d*:[1-9]\d*: .", re.S)
MANY = """\
build: {title: Rack, mark: RK, units: in, overall: 40 x 12 x 30-1/2}
materials: {oak: {kind: hardwood, rough: 8/4, price: 7 per bf}, ply: {kind: sheet, thickness: 1/2}}
dimensions: {w: 40, d: 12, leg: 1-1/2, bay: (w - 2 * leg) / 3}
parts:
  leg:
    material: oak
    size: leg x leg x 30
    runs: {length: z, width: x}
    pieces:
      L1: {x: 0, y: 0, z: 0}
      L2: {mirror: L1 across x at w / 2}
      L3: {x: 0, y: to d, z: 0, face side: front, end A: bottom}
      L4: {mirror: L3 across x at w / 2}
  rail:
    material: oak
    thickness: 3/4
    width: 2-1/2
    runs: {length: x, width: z}
    strips: 2
    pieces:
      R1: {x: L1.right to L2.left, y: L1.front + 3/8, z: to L1.top}
      R2: {x: L3.right to L4.left, y: L3.front + 3/8, z: to L3.top}
  slat:
    material: oak
    size: 1/2 x 2 x d
    runs: {length: y, width: x}
    one board: yes
    chamfer: [face and edge]
    pieces:
      S1..S8: {x: evenly from L1.right to L2.left, y: 0, z: L1.top}
  shelf: {material: ply, size: 1/2 x 8 x 30, count: 2, turns: yes, note: "sand last"}
joints:
  rails: {kind: mortise and tenon, from: rail, into: leg, thickness: 3/8, length: 1, room: 1/16, haunch: 1/4}
hardware:
  pins:
    holes: [{bit: 1/4, depth: 7/8}]
    on: [{piece: L1, face: face, along: [28, length - 1], across: width / 2}]
    crosses: [rails]
    offset: 1/32
  screws:
    holes: [{screw: '#8 x 1-1/4', as: clearance, depth: through, countersunk: yes, slot: 3/8}]
    on: [{piece: S1..S8, face: face, along: [3/4, d - 3/4], across: 1}]
gluing:
  adhesive: slow epoxy
  stages:
    - {title: Ends, pieces: [L1, L3]}
    - {title: All, uses: [Ends], pieces: [L2, L4, R1, R2]}
finish: {kind: hardwax oil, coats: 2, grits: [120, 180]}
buy: [wax, rags]
"""
LEANING = """\
build: {title: Lectern stool, mark: LS, units: in}
materials: {ash: {kind: hardwood, species: white ash, rough: 10/4}}
dimensions: {w: 20, d: 14, high: 18, splay: 2}
parts:
  leg:
    material: ash
    thickness: 1-1/2
    width: 1-1/2
    runs: {length: z, width: x}
    pieces:
      FL: {x: centred on 3, y: centred on 3, z: 0 to S.bottom, lean: {splay: 10, rake: 1 in 8}}
      FR: {mirror: FL across x at w / 2}
      BL: {mirror: FL across y at d / 2}
      BR: {mirror: FR across y at d / 2}
  stretcher:
    material: ash
    thickness: 3/4
    width: 1-1/4
    runs: {length: y, width: z}
    pieces:
      SL: {x: centred on 1.2, y: FL.back to BL.front, z: centred on 6}
      SR: {mirror: SL across x at w / 2}
  middle:
    material: ash
    thickness: 3/4
    width: 1
    runs: {length: x, width: z}
    pieces:
      M: {x: SL.right to SR.left, y: centred on d / 2, z: centred on 6}
  seat: {material: ash, size: 1-1/2 x d x w, runs: {length: x, width: y}, strips: 3,
    pieces: {S: {x: 0, y: 0, z: high - 1-1/2}}}
  cross leg:
    material: ash
    thickness: 1-1/4
    width: 2-1/2
    runs: {length: z, width: x}
    pieces:
      XA: {x: centred on 40, y: 0, z: 0 to 30, lean: {splay: 28 right}}
      XB: {x: centred on 55.95, y: 0, z: 0 to 30, lean: {splay: 28 left}}
  strut:
    material: ash
    thickness: 3/4
    width: 1-1/2
    runs: {length: z, width: x}
    pieces:
      T: {x: centred on 91, y: centred on 1, z: 0 to 20, lean: {splay: 45 right}}
  post: {material: ash, size: 2 x 2 x 30, runs: {length: z, width: x}, pieces: {P: {x: 89, y: 0, z: 0}}}
  board:
    material: ash
    thickness: 3/4
    width: 4
    runs: {length: z, width: x}
    pieces:
      B1: {x: 120, y: centred on 8, z: 0 to 24, lean: {rake: 12 front}}
      B2: {x: 124-1/2, y: centred on 8, z: 0 to 24, lean: {rake: 12 front}}
  cleat: {material: ash, size: 1 x 2 x 8-1/2, runs: {length: x, width: z},
    pieces: {C: {x: 120, y: B1.back, z: centred on 14, tilt: 12 rear}}}
  side: {material: ash, size: 3/4 x 12 x 30, runs: {length: z, width: y},
    pieces: {L: {x: 150, y: 0, z: 0}, R: {mirror: L across x at 160}}}
  shelf: {material: ash, thickness: 3/4, width: 8, runs: {length: x, width: y},
    pieces: {H: {x: L.right to R.left, y: centred on 6, z: centred on 15, tilt: 1 in 4 rear}}}
  lip: {material: ash, thickness: 1/2, width: 2, runs: {length: x, width: z},
    pieces: {K: {x: L.right to R.left, y: to H.front, z: H.bottom, tilt: with H}}}
  a leg:
    material: ash
    thickness: 1-1/2
    width: 3
    runs: {length: z, width: x}
    pieces:
      AL: {x: centred on 70, y: 20, z: 0 to 28, lean: {splay: 15 left}}
  other a leg:
    material: ash
    thickness: 1-1/2
    width: 2-3/4
    runs: {length: z, width: x}
    pieces:
      AR: {x: centred on 70, y: 20, z: 0 to 28, lean: {splay: 15 right}}
  beam:
    material: ash
    thickness: 1-1/2
    width: 2
    length: 30
    runs: {length: x, width: z}
    pieces:
      AB: {x: 55, y: 20, z: 0}
joints:
  legs: {kind: round tenon, from: leg, into: seat, thickness: 1}
  stretchers: {kind: mortise and tenon, from: stretcher, into: leg, thickness: 1/4, length: 3/4}
  across: {kind: dowels, from: middle, into: stretcher, thickness: 1/4, length: 3/4, count: 2}
  crossing: {kind: half lap, from: cross leg, into: cross leg}
  apex: {kind: bridle, pieces: [AL into AR], thickness: 1/2}
  astride: {kind: bridle, from: beam, into: [a leg, other a leg], thickness: 1/2}
  struts: {kind: loose tenon, pieces: [T into P], thickness: 1/4, width: 3/4, length: 1-1/2}
  screws: {kind: screwed butt, from: cleat, into: board, count: 2, length: 1-1/4, thickness: 3/16}
  shelves: {kind: housing, from: shelf, into: side, depth: 1/4}
  lips: {kind: edge joint, from: lip, into: shelf}
cuts:
  leg round: {kind: round, on: [{piece: M}], diameters: ['3, 3/4', '8, 1/2', '10, 3/4']}
  hand hole: {kind: cut-out, radius: 1/2, on: [{piece: S, face: face side, along: 8 to 12, across: 6 to 8}]}
hardware:
  glide: {holes: [{bit: 5/16, depth: 3/4}], on: [{piece: leg, face: A, along: width / 2, across: thickness / 2}]}
  bolt: {holes: [{screw: '#8 x 3', as: clearance, depth: through}],
    on: [{piece: FL, face: face, along: 6-1/4, across: width / 2, meets: SL}]}
gluing:
  adhesive: slow epoxy
  stages:
    - {title: Left, pieces: [FL, BL, SL]}
    - {title: Right, pieces: [FR, BR, SR]}
    - {title: Whole, pieces: [M, S], uses: [Left, Right]}
    - {title: Cross, pieces: [XA, XB]}
    - {title: Shelf, pieces: [L, R, H, K]}
"""
BENCH = """\
shop:
  name: Corner bench
  units: in
  kerf: 1/16
  milling: {thickness: 1/4, width: 1/4, length: 1}
  waste: 20 %
  clamps: {bar 36: 6, bar 24: 4}
  bits: [1/8, 1/4, 3/8]
  printer: {across: 100 mm, up: 100.2 mm}
  paper: a4
  labels: a4-21
  yard: [{material: oak, width: 6-1/4, length: 96, count: 4}]
  rack: [{mark: K1, material: oak, width: 5, length: 50, defects: [0 to 1-1/4, 20 to 24 across 0 to 1]}]
"""
BILL = """\
receipt:
  seller: Two Rivers Yard
  currency: $
  board feet: 14
  total: 106.40
  boards:
    - {mark: W1, material: oak, width: 6-1/2, length: 8 ft 2 in, count: 2, board feet: 8.85, amount: 61.95}
    - {material: oak, thickness: 8/4, width: 5, length: 40, defects: [0 to 3, 10 to 12 across 0 to 1]}
"""
TABLE = (
    'mark,material,thickness,width,length,count,board feet,defects\r\nW1,oak,8/4,6-1/2,98,2,8.85,"0 to 3; 5 to 9"\r\n'
)
HOSTILE = (
    "",
    "~",
    "no",
    "yes",
    "-1",
    "0",
    "1/0",
    "0/0",
    "1e9",
    "999999999999",
    "1/999983",
    "w / 425",
    "1-3/4",
    "4'-6\"",
    "1,5",
    "½",
    "٣",
    "¹⁄₃",
    "-",
    "--",
    "''",
    "S*",
    "*",
    "L*",
    "S1..S8",
    "S9..S1",
    "S1..S99999",
    "L1.left",
    "L1.rigth",
    "L1.left.top",
    "x.y.z",
    "to",
    "to to to",
    "from",
    "evenly from",
    "evenly from 0 to 0",
    "spread from w to 0",
    "centred on",
    "a to b",
    "L1.right to L1.left",
    "mirror",
    "L1 across q at 3",
    "L1 across x at L2.left",
    "through",
    "R1 into L1",
    "R1 into R1 at C",
    "*a",
    "&a b",
    "!!python/object:x",
    "<<",
    "{",
    "}",
    "[",
    "]",
    ":",
    "#",
    "'",
    '"',
    "|",
    ">",
    "%",
    "@",
    "`",
    "\\",
    "\t",
    "\u202e",
    "\ufeff",
    "\x00",
    "\ud7ff",
    "é" * 40,
    "a" * 700,
    "(" * 30 + "1" + ")" * 30,
    "-" * 80 + "1",
    "d / d / d / d",
    "w * w",
    "w * w * w * w",
    "all",
    "A and B",
    "face and back",
    "#8 x 9",
    "#99 x 1",
    "M6",
    "10 per bf",
    "per",
    "=cmd|'/C calc'!A0",
    "http://",
    "0 to 0",
    "3 to 1",
    "10 left",
    "10 outward",
    "1 in 0",
    "44.999",
    "89 rear",
    "with H",
    "{splay: 12 left, rake: 3 rear}",
    "{splay: 45, rake: 45}",
    "0 to 999 across 9 to 1",
    "100 %",
    "101 %",
    "mm",
    "cm",
    "furlong",
    "2x4",
    "0x0",
    "99/4",
    "0/4",
)
WORD = re.compile(r"[^\s{}\[\],:#]+")
NUMBER = re.compile(r"\d+")


def seeds() -> list[tuple[str, str, str]]:
    """Build, shop file and receipt of every seed."""
    found = [(MANY, BENCH, BILL), (MANY, BENCH, TABLE), (MANY, "", BILL), *[(LEANING, "", BILL)] * 3]
    for build in sorted((ROOT / "sample_builds").glob("*/build.yaml")):
        texts = [(build.parent / name) for name in ("shop.yaml", "receipt.yaml")]
        shop, bill = (path.read_text("utf-8") if path.exists() else "" for path in texts)
        found.append((build.read_text("utf-8"), shop, bill))
    return found


def broken(text: str, rng: Random) -> str:
    """The text with one change."""
    words = [match.span() for match in WORD.finditer(text)] or [(0, 0)]
    numbers = [match.span() for match in NUMBER.finditer(text)] or [(0, 0)]
    lines = text.split("\n")
    way = rng.randrange(9)
    low, high = rng.choice(words)
    if way == 0:
        return text[:low] + rng.choice(HOSTILE) + text[high:]
    if way == 1:
        one, other = rng.choice(words)
        return text[:low] + text[one:other] + text[high:]
    if way == 2:
        low, high = rng.choice(numbers)
        return text[:low] + str(rng.choice((0, 1, 2, 7, 40, 1000, 10**7, 10**13, rng.randrange(100)))) + text[high:]
    if way == 3:
        del lines[rng.randrange(len(lines))]
    elif way == 4:
        lines.insert(rng.randrange(len(lines)), rng.choice(lines))
    elif way == 5:
        at = rng.randrange(len(lines))
        lines[at] = rng.choice(("  ", " ", "", "\t", "- ", "    ")) + lines[at].lstrip()
    elif way == 6:
        at = rng.randrange(len(text) or 1)
        return text[:at] + rng.choice(("\n", " ", ",", ":", "{", "}", "'", "/", "-", ".", "*", "\x07", "ß")) + text[at:]
    elif way == 7:
        at = rng.randrange(len(text) or 1)
        return text[:at] + text[at + rng.randrange(1, 6) :]
    else:
        one, other = sorted(rng.randrange(len(text) + 1) for _ in range(2))
        return text[: min(one, other)] + text[max(one, min(other, one + 200)) :]
    return "\n".join(lines)


class Case:
    """One case, by its number: the files it writes and what came of it."""

    def __init__(self, seed: int, number: int, every: list[tuple[str, str, str]]) -> None:
        self.rng = Random(f"{seed} {number}")
        texts = list(self.rng.choice(every))
        self.receipt = self.rng.random() < 0.25
        for _ in range(self.rng.choice((1, 1, 2, 4))):
            which = 2 if self.receipt and self.rng.random() < 0.7 else int(self.rng.random() < 0.15)
            texts[which] = broken(texts[which], self.rng)
        self.build, self.shop, self.bill = texts

    def write(self, folder: Path) -> tuple[Path, Path]:
        build = folder / "build.yaml"
        bill = folder / ("receipt.csv" if self.bill.startswith("mark,") else "receipt.yaml")
        for path, text in ((build, self.build), (folder / "shop.yaml", self.shop), (bill, self.bill)):
            if text or path == build:
                path.write_bytes(text.encode("utf-8", "surrogatepass"))
        return build, bill

    def run(self, folder: Path, whole: bool) -> tuple[Problem, ...]:
        build, bill = self.write(folder)
        if self.receipt:
            return tally(Request(str(build)), str(bill), str(folder / "set")).problems
        if whole:
            return render(Request(str(build)), str(folder / "set")).problems
        return check_build(str(build))[2]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("cases", nargs="?", type=int, default=2000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", type=int)
    parser.add_argument("--keep", type=Path)
    asked = parser.parse_args()
    every = seeds()
    found: Counter[str] = Counter()
    traces: Counter[str] = Counter()
    accepted, slowest = 0, (0.0, -1)
    stop: list[int] = []
    signal.signal(signal.SIGINT, lambda *_: stop.append(1))  # ends after the case at hand, with the count so far
    for number in range(asked.cases) if asked.only is None else [asked.only]:
        if stop:
            break
        case = Case(asked.seed, number, every)
        kinds = set()
        with tempfile.TemporaryDirectory() as folder:
            began = time.process_time()
            problems: tuple[Problem, ...] = ()
            try:
                problems = case.run(Path(folder), False)
                if not case.receipt and not any(problem.severity == 0 for problem in problems):
                    accepted += 1
                    if accepted % RENDERED == 0:
                        problems = case.run(Path(folder), True)
                        began = time.process_time()  # how long a set takes is measured elsewhere
            except Exception:
                kinds.add("traceback")
                lines = traceback.format_exc().strip().splitlines()
                traces[f"{lines[-1][:160]} | {lines[-3].strip()[-110:]}"] += 1
            taken = time.process_time() - began
            slowest = max(slowest, (taken, number))
            if taken > LONGEST:
                kinds.add("hang")
            if any(PLACE.match(str(problem)) is None for problem in problems):
                kinds.add("no place")
                traces[next(str(p)[:200] for p in problems if PLACE.match(str(p)) is None)] += 1
            if any((Path(folder) / "set").glob("*")) and any(p.severity == 0 for p in problems):
                kinds.add("half a set")
        found.update(kinds)
        found["cases"] += 1
        if kinds:
            print(f"case {number}: {', '.join(sorted(kinds))}, {taken:.1f} s", flush=True)
            if asked.keep is not None:
                target = asked.keep / f"{asked.seed}-{number}"
                target.mkdir(parents=True, exist_ok=True)
                case.write(target)
    print(
        f"{found['cases']} cases (seed {asked.seed}), {accepted} builds accepted, every {RENDERED}th of them rendered"
    )
    for kind in ("traceback", "hang", "no place", "half a set"):
        print(f"  {kind:12} {found[kind]}")
    print(f"  slowest {slowest[0]:.1f} s of processor time, case {slowest[1]}")
    for trace, count in traces.most_common():
        print(f"  {count} x {trace}")


if __name__ == "__main__":
    main()
