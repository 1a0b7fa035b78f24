"""Receipts of small builds, by name: the build, the ending of the file, what stands in it. Right ones, ones that count
by another rule or add up wrong, ones that bought too little, and slips of the pen in each kind of file."""

from __future__ import annotations

_RIGHT = """receipt:
  seller: Quillmere Sawyers
  date: 9 May 2031
  boards:
    - {mark: W1, material: cherry 4/4, width: 6, length: 96, board feet: 4, amount: 49.60}
    - {mark: W2, material: Cherry 4/4, width: 5-1/4, length: 60, count: 2, rate: 12 per bf}
    - {material: ply 1/4, width: 24, length: 48, amount: 21}
"""
_SUMS = """receipt:
  board feet: 14
  total: 212.50
  boards:
    - {material: cherry 4/4, width: 6-1/2, length: 8 ft, count: 2, board feet: 9, amount: 112}
    - {material: cherry 4/4, thickness: 5/4, width: 5, length: 7 ft 3 in, board feet: 4 1/3}
    - {material: ply 1/4, width: 24, length: 48, count: 2, amount: 40}
"""
_LITTLE = """receipt:
  seller: The corner yard
  boards:
    - {mark: A, material: cherry 4/4, width: 5, length: 30, defects: [0 to 3, 12 to 14 across 0 to 2]}
    - {mark: B, material: cherry 4/4, thickness: 1/2, width: 6, length: 40}
    - {material: ply 1/4, width: 12, length: 20}
"""
_DOUBTS = """receipt:
  square metres: 2
  boards:
    - {mark: K1, material: cherry 4/4, width: 96, length: 6}
    - {mark: D, material: cherry 4/4, width: 6, length: 50}
    - {material: ply 1/4, width: 24, length: 48, board feet: 8}
    - {material: cherry 4/4, width: 6, length: 3000}
"""
_SLIPS = """receipt:
  currency: $
  board feet: 8 1/0
  total: 90 EUR
  boards:
    - {mark: W1, material: chery 4/4, width: 6, length: 96}
    - {mark: W1, material: cherry 4/4, width: 6, length: 96, amount: 12,40 $}
    - {mark: w1, material: cherry 4/4, width: six, length: 96, board feet: 3,5}
    - {mark: W3, material: cherry 4/4, width: 6, length: 0, count: -1, cubic metres: 0,02}
    - {mark: W4, material: cherry 4/4, width: 6, length: 90, amount: 30 EUR, defects: [10 to 4, 3 to 5 across 2 to 9]}
    - {material: ply 1/4, colour: pale, rate: 12 per bushel}
    - {material: cherry 4/4, width: 6, length: 90, thickness: 0/4, square metres: many}
"""
_NOTHING = "receipt:\n  seller: Nobody\n  boards: []\n"
_WITHOUT = "receipt:\n  boards:\n    - {material: cherry 4/4, length: 90}\n    - {material: cherry 4/4, width: 5}\n"
_METRIC = """receipt:
  seller: Holmvik sag
  currency: EUR
  cubic metres: 0.04
  total: 130.50
  boards:
    - {material: pine 2x4, length: 2400, count: 2, amount: 29.76}
    - {material: pine 1x4, length: 2.4 m, count: 3, rate: 3.10 per m}
    - {material: mdf, width: 1220, length: 610, square metres: 0.744, amount: 13.40}
"""
_WOOD = """receipt:
  units: mm
  cubic metres: 0.1312
  total: 381 EUR
  boards:
    - {mark: E1, material: oak 34, width: 210, length: 2600, count: 3, cubic metres: 0.0557, amount: 161.5}
    - {mark: E2, material: oak 52, width: 120, length: 2200, cubic metres: 0.01373}
    - {mark: E3, material: oak 34, thickness: 41, width: 240, length: 3100, defects: [0 to 60, 900 to 960]}
    - {mark: E4, material: oak 34, thickness: 6/4, width: 180, length: 2500, rate: 3100 per m3, amount: 53.16}
"""
_TABLE = (
    "Mark;Material;Width;Length;Count;Board feet;Amount;Defects\r\n"
    "W1;cherry 4/4;6;96;;4;49.60;0 to 2; 40 to 44 across 0 to 1\r\n"
)
_QUOTED = (
    "sep=,\nmark,material,width,length,count,board feet,defects\n"
    'W1,cherry 4/4,6,96,2,8,"0 to 2; 40 to 44 across 0 to 1"\n'
    'W2,"cherry 4/4",5-1/4,8 ft 2 in,,,\n\n,ply 1/4,24,48,1,,\n'
)

RECEIPTS: dict[str, tuple[str, str, str]] = {
    "right": ("box_with_a_divider", "yaml", _RIGHT),
    "sums": ("box_with_a_divider", "yaml", _SUMS),
    "little": ("box_with_a_divider", "yaml", _LITTLE),
    "doubts": ("box_with_a_divider", "yaml", _DOUBTS),
    "slips": ("box_with_a_divider", "yaml", _SLIPS),
    "nothing": ("box_with_a_divider", "yaml", _NOTHING),
    "without": ("box_with_a_divider", "yaml", _WITHOUT),
    "no-boards": ("box_with_a_divider", "yaml", "receipt:\n  seller: Nobody\n"),
    "metric": ("hexagon_frame", "yaml", _METRIC),
    "wood": ("table_of_shapes", "yaml", _WOOD),
    "table": ("box_with_a_divider", "csv", _TABLE),
    "quoted": ("box_with_a_divider", "csv", _QUOTED),
    "empty-table": ("box_with_a_divider", "csv", "mark,material,width,length\n"),
    "no-column": ("box_with_a_divider", "csv", "mark,width,length\nW1,6,96\n"),
    "column-twice": ("box_with_a_divider", "csv", "material,width,length,Width\ncherry 4/4,6,96,7\n"),
    "unknown-column": ("box_with_a_divider", "csv", "material,widht,length,price\ncherry 4/4,6,96,7\n"),
    "open-quote": ("box_with_a_divider", "csv", 'material,width,length\n"cherry 4/4,6,96\n'),
    "quote-within": ("box_with_a_divider", "csv", 'material,width,length\ncherry "4/4",6,96\n"cherry 4/4"x,6,96\n'),
    "too-many-cells": ("box_with_a_divider", "csv", "material,width,length\ncherry 4/4,6,96,1,2\nply 1/4,24,48\n"),
    "other-separator": ("box_with_a_divider", "csv", "sep=;\nmaterial,width,length\ncherry 4/4,6,96\n"),
    "comma-for-a-point": (
        "box_with_a_divider",
        "tsv",
        "material\twidth\tlength\tamount\ncherry 4/4\t6,5\t96\t1.249,60\n",
    ),
    "nothing-in-it": ("box_with_a_divider", "yaml", ""),
}
