"""Edits of small builds, by name: the build, and what is written instead of what. Each is what a maker changes between
two revisions: a size, a joint, a hole, a cut, a place, the wood, the glue-up, what is bought."""

from __future__ import annotations

EDITS: dict[str, tuple[str, tuple[tuple[str, str], ...]]] = {
    "thicker-and-wider": (
        "box_with_a_divider",
        (("1/2 x 4-1/2 x 14", "1/2 x 5 x 14"), ("1/2 x 4-1/2 x 9", "1/2 x 5 x 9")),
    ),
    "revision": ("box_with_a_divider", (("revision: B", "revision: C"), ("4/4, price: 12.40", "4/4, price: 13"))),
    "title": ("box_with_a_divider", (("title: Nail box", "title: Screw box"), ("copies: 2", "copies: 3"))),
    "thinner-fingers": (
        "box_with_a_divider",
        (("finger joint, from: side, into: end, count: 5", "finger joint, from: side, into: end, count: 7"),),
    ),
    "deeper-slide": ("box_with_a_divider", (("depth: 1/8, thickness: 3/8", "depth: 3/16, thickness: 3/8"),)),
    "divider-moved": ("box_with_a_divider", (("x: centred on 7", "x: centred on 5"),)),
    "divider-housed": (
        "box_with_a_divider",
        (
            ("kind: sliding dovetail, from: divider", "kind: housing, from: divider"),
            ("[Slide the divider in dry]", "[Wax the grooves]"),
        ),
    ),
    "hinge-moved": ("box_with_a_divider", (("along: [3, 11]", "along: [2-1/2, 11-1/2]"),)),
    "hinge-added": (
        "box_with_a_divider",
        (("along: [3, 11]", "along: [3, 7, 11]"), ("buy: [wax, ", "buy: [beeswax, ")),
    ),
    "other-wood": (
        "box_with_a_divider",
        (("cherry 4/4", "maple 4/4"), ("species: black cherry", "species: sugar maple")),
    ),
    "chamfer": ("box_with_a_divider", (("chamfer: [back and far edge]", "chamfer: [back and edge]"),)),
    "other-stages": (
        "box_with_a_divider",
        (
            ("uses: [Bottom], pieces: [F, R, L, G]", "pieces: [F, R, L, G]"),
            ("bar clamp 12 in: 3}", "bar clamp 12 in: 2}"),
        ),
    ),
    "taller-legs": ("table_of_shapes", (("40 x 40 x 500", "40 x 40 x 520"),)),
    "thicker-legs": ("table_of_shapes", (("40 x 40 x 500", "44 x 44 x 500"),)),
    "longer-tenons": (
        "table_of_shapes",
        (("thickness: 7, length: 12, shoulder: 12", "thickness: 7, length: 16, shoulder: 12"),),
    ),
    "thicker-tenons": (
        "table_of_shapes",
        (("thickness: 7, length: 12, width: 56", "thickness: 8, length: 12, width: 50"),),
    ),
    "smaller-rung": (
        "table_of_shapes",
        (
            ("round tenon, from: rung, into: leg, thickness: 16", "round tenon, from: rung, into: leg, thickness: 14"),
            ("'0, 16'", "'0, 14'"),
            ("'length, 16'", "'length, 14'"),
        ),
    ),
    "rung-moved": ("table_of_shapes", (("y: centred on 50, z: 300", "y: centred on 50, z: 280"),)),
    "taper": ("table_of_shapes", (("{kind: taper, to: 26", "{kind: taper, to: 24"),)),
    "arch": ("table_of_shapes", (("{kind: arch, depth: 14", "{kind: arch, depth: 18"),)),
    "no-arch": (
        "table_of_shapes",
        (("  arch: {kind: arch, depth: 14, on: [{piece: RF, face: edge, along: 40 to length - 40}]}\n", ""),),
    ),
    "strips": ("table_of_shapes", (("strips: 4", "strips: 5"),)),
    "steeper-shelf": ("tipped_shelf", (("tilt: 1 in 4 rear", "tilt: 1 in 5 rear"),)),
    "wider-splay": ("tipped_shelf", (("splay: 28 right", "splay: 26 right"), ("splay: 28 left", "splay: 26 left"))),
    "deeper-housing": ("tipped_shelf", (("depth: 1/4}", "depth: 5/16}"),)),
    "more-screws": ("tipped_shelf", (("count: 2, length: 1-1/4", "count: 3, length: 1-1/4"),)),
    "fewer-sides": ("hexagon_frame", (("19 x 60 x 320, count: 6", "19 x 60 x 320, count: 5"),)),
    "other-angle": ("hexagon_frame", (("angle: 30, tilt: 10", "angle: 35, tilt: 10"),)),
    "insert-deeper": ("hexagon_frame", (("with: {hole: 9, depth: 20}", "with: {hole: 9, depth: 24}"),)),
    "deeper-lap": ("hexagon_frame", (("pieces: [A into B], depth: 19", "pieces: [A into B], depth: 18"),)),
    "rounder-hand": (
        "table_of_shapes",
        (("radius: 12", "radius: 10"), ("depth: 5, on: [{piece: tray", "depth: 6, on: [{piece: tray")),
    ),
    "other-outline": (
        "table_of_shapes",
        (("rise 5", "rise 6"), ("radius 60", "radius 70"), ("rounded 4", "rounded 6")),
    ),
    "pommel": (
        "table_of_shapes",
        (
            (
                "diameters: ['0, 16', 'length/2, 26', 'length, 16']",
                "pommels: [180 to 220], diameters: ['0, 16', '170, 24', '230, 24', 'length, 16']",
            ),
        ),
    ),
    "other-bevel": (
        "hexagon_frame",
        (
            ("kind: bevel, width: 6", "kind: bevel, width: 8"),
            ("kind: rounding, width: 20", "kind: rounding, width: 24"),
        ),
    ),
    "steeper-legs": ("tipped_aprons", (("splay: 3, rake: 7", "splay: 3, rake: 8"),)),
    "more-rails": (
        "boards_and_racks",
        (
            ("31, count: 7", "31, count: 8"),
            ("one board: each", "one board: yes"),
            ("22-3/16, count: 9", "22, count: 8"),
        ),
    ),
}
