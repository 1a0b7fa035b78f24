"""Random builds that are made as a bench makes them: every piece is brought to what stands in one straight line, past
wood, and its joints are written where it meets it. So an order exists, and one is known. Seeds make them repeatable."""

from __future__ import annotations

import random
from dataclasses import dataclass, field

Box = tuple[tuple[int, int, int], tuple[int, int, int]]  # low and high corner in millimetres
POST, RAIL_THICK, RAIL_WIDE, PANEL = 60, 24, 40, 6
TENON, TONGUE = 20, 8
AXES = "xyz"


def overlap(one: Box, two: Box) -> bool:
    return all(one[0][k] < two[1][k] and two[0][k] < one[1][k] for k in range(3))


@dataclass
class Piece:
    mark: str
    box: Box
    axes: tuple[int, int, int]  # the axes its length, width and thickness follow

    def size(self, way: int) -> int:
        axis = self.axes[way]
        return self.box[1][axis] - self.box[0][axis]


@dataclass
class Assembled:
    """A build on the bench: pieces in the order they were put on, joints as (entering, receiving)."""

    rnd: random.Random
    pieces: list[Piece] = field(default_factory=list)
    tenons: list[tuple[str, str]] = field(default_factory=list)
    tongues: list[tuple[str, str]] = field(default_factory=list)
    dowels: list[tuple[str, str]] = field(default_factory=list)
    posts: list[Piece] = field(default_factory=list)
    shoulder: int = 10  # a panel's groove is 9.5 deep: a tenon with less above it would lose wood to the groove

    def add(self, letter: str, box: Box, axes: tuple[int, int, int]) -> Piece:
        piece = Piece(f"{letter}{len(self.pieces)}", box, axes)
        self.pieces.append(piece)
        return piece

    def comes_in(self, box: Box, axis: int, high: bool) -> bool:
        """Whether a piece can come to its place from the high or low side of an axis, and stands clear there."""
        lo, hi = list(box[0]), list(box[1])
        if high:
            hi[axis] = 10**6
        else:
            lo[axis] = -(10**6)
        path = ((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2]))
        return not any(overlap(path, piece.box) for piece in self.pieces)

    def post(self) -> None:
        axis = self.rnd.randrange(3)
        size = [POST] * 3
        size[axis] = self.rnd.randrange(240, 480, 20)
        others = [k for k in range(3) if k != axis]
        self.posts.append(self.add("P", ((0, 0, 0), (size[0], size[1], size[2])), (axis, others[0], others[1])))

    def bay(self) -> bool:
        """Rails side by side on a face of a post, often with a panel between two of them, and a second post over the
        far ends of all."""
        post = self.rnd.choice(self.posts)
        along = post.axes[0]
        out, high = self.rnd.choice([k for k in range(3) if k != along]), self.rnd.random() < 0.5
        third = 3 - along - out
        long = self.rnd.randrange(120, 300, 20)
        count = self.rnd.randint(1, 4)
        room = post.size(0)
        spots = [s for s in range(20, room - RAIL_WIDE - 19, 10)]
        starts: list[int] = []
        for _ in range(count):
            free = [s for s in spots if all(abs(s - other) >= RAIL_WIDE + 20 for other in starts)]
            if free:
                starts.append(self.rnd.choice(free))
        starts.sort()
        face = post.box[1][out] if high else post.box[0][out]
        boxes = []
        for start in starts:
            lo, hi = [0] * 3, [0] * 3
            lo[along] = post.box[0][along] + start
            hi[along] = lo[along] + RAIL_WIDE
            lo[third] = post.box[0][third] + (POST - RAIL_THICK) // 2
            hi[third] = lo[third] + RAIL_THICK
            lo[out], hi[out] = (face, face + long) if high else (face - long, face)
            boxes.append(((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2])))
        shift = long + POST if high else -long - POST
        far = tuple(tuple(v + (shift if k == out else 0) for k, v in enumerate(corner)) for corner in post.box)
        if not starts or not all(self.comes_in(box, out, high) for box in (*boxes, far)):  # type: ignore[arg-type]
            return False
        rails = [self.add("R", box, (out, along, third)) for box in boxes]
        self.tenons += [(rail.mark, post.mark) for rail in rails]
        panel = None
        if len(rails) > 1 and self.rnd.random() < 0.6:
            one, two = rails[0], rails[1]
            lo, hi = list(one.box[0]), list(one.box[1])
            lo[along], hi[along] = one.box[1][along], two.box[0][along]
            lo[third] += (RAIL_THICK - PANEL) // 2
            hi[third] = lo[third] + PANEL
            panel = self.add("D", ((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2])), (out, along, third))
            self.tongues += [(panel.mark, mate.mark) for mate in (one, two, post)]
        if self.rnd.random() < 0.85 or panel is not None:
            second = self.add("P", far, post.axes)  # type: ignore[arg-type]
            self.tenons += [(rail.mark, second.mark) for rail in rails]
            if panel is not None:
                self.tongues.append((panel.mark, second.mark))
            self.posts.append(second)
        return True

    def interlocked(self) -> tuple[str, str, str]:
        """Three blocks at the top, each dowelled to the other two along another axis: whatever is drawn off leaves two
        joints that open different ways. One of them stands on a rail of the rest."""
        top = max(piece.box[1][2] for piece in self.pieces)
        mast = max(self.posts, key=lambda piece: piece.box[1][2])
        x, y = mast.box[0][0], mast.box[0][1]
        z = top + 200
        stem = self.add("S", ((x + 10, y + 18, mast.box[1][2]), (x + 50, y + 42, z)), (2, 0, 1))
        one = self.add("A", ((x, y, z), (x + 60, y + 60, z + 60)), (0, 1, 2))
        two = self.add("B", ((x + 60, y - 30, z), (x + 120, y + 30, z + 120)), (2, 1, 0))
        three = self.add("C", ((x, y + 30, z + 60), (x + 120, y + 90, z + 120)), (0, 1, 2))
        self.tenons += [(stem.mark, mast.mark), (stem.mark, one.mark)]
        self.dowels += [(one.mark, two.mark), (two.mark, three.mark), (three.mark, one.mark)]
        return one.mark, two.mark, three.mark

    def text(self) -> str:
        """The build file."""
        parts = ["parts:"]
        for piece in sorted(self.pieces, key=lambda piece: (piece.mark[0], self.rnd.random())):
            runs = f"{{length: {AXES[piece.axes[0]]}, width: {AXES[piece.axes[1]]}}}"
            x, y, z = piece.box[0]
            parts += [
                f"  {piece.mark.lower()} part:",
                f"    material: {'ply' if piece.mark[0] == 'D' else 'ash'}",
                f"    thickness: {piece.size(2)}",
                f"    width: {piece.size(1)}",
                f"    length: {piece.size(0)}",
                f"    runs: {runs}",
                f"    pieces: {{{piece.mark}: {{x: {x}, y: {y}, z: {z}}}}}",
            ]
        kinds = (
            (self.tenons, f"mortise and tenon, thickness: 8, length: {TENON}, shoulder: {self.shoulder}"),
            (self.tongues, f"tongue and groove, thickness: {PANEL}, length: {TONGUE}, glued: no"),
            (self.dowels, "dowels, thickness: 8, length: 30, count: 1"),
        )
        joints = ["joints:"]
        for number, (pairs, kind) in enumerate(kinds):
            if pairs:
                named = ", ".join(f"{one} into {two}" for one, two in pairs)
                joints.append(f"  joint {number}: {{kind: {kind}, pieces: [{named}]}}")
        head = [
            "build: {title: Rack, mark: RK, units: mm, free standing: no}",
            "materials:",
            "  ash: {kind: hardwood, rough: 100}",
            *(["  ply: {kind: sheet, thickness: 6, sheet: 1525 x 1525}"] if self.tongues else []),
        ]
        return "\n".join([*head, *parts, *joints, "gluing:", "  adhesive: slow epoxy"]) + "\n"


def assembled(seed: int, bays: int = 0) -> Assembled:
    """A build of a few posts, rails and panels, put on one after the other."""
    rnd = random.Random(seed)
    build = Assembled(rnd, shoulder=rnd.choice((10, 12)))
    build.post()
    for _ in range(bays or rnd.randint(1, 5)):
        for _ in range(20):
            if build.bay():
                break
    return build
