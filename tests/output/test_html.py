"""Record pages: whole, harmless, and without a need of anything outside themselves."""

from __future__ import annotations

import json
import re
import typing
from base64 import b64encode
from hashlib import sha256
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest

from shopdocs.blocks.record_pages import Records
from shopdocs.blocks.sheets import Block, Document
from shopdocs.blocks.text import Cell, Column, Group, Heading, Paragraph, Row, Table, text
from shopdocs.blocks.walk import walk
from shopdocs.core.slug import record_anchor, record_file, record_slug
from shopdocs.output.html import fragment, legible, stacks
from shopdocs.records.site import record_site
from tests.browser.sample_site import HARM, IMPRINT, MARKS, every_block, index, pages

# HTML Living Standard, 13.1.2 (void elements) and 4.4.1 (a paragraph holds phrasing content only).
VOID = {"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}
BLOCKS = {
    "aside", "dd", "div", "dl", "dt", "figure", "footer", "h1", "h2", "h3", "header", "li", "main", "nav", "p",
    "section", "table", "ul",
}  # fmt: skip
SVG = {"svg", "path", "g", "text", "tspan", "line", "rect", "circle", "polygon", "polyline", "title", "clippath"}
EXPECTED = SVG | BLOCKS | VOID | {
    "html", "head", "style", "script", "button", "label", "textarea", "details", "summary",
    "body", "a", "b", "bdi", "span", "small", "data", "figcaption", "thead", "tbody", "tr",
    "th", "td",
}  # fmt: skip


class Reader(HTMLParser):
    """Elements, attributes and words of a page; an element that is not closed in its place is an AssertionError."""

    def __init__(self, page: bytes) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str, str]] = []
        self.words: list[str] = []
        self.code: list[str] = []  # of style sheets and scripts
        self.feed(page.decode("utf-8"))
        self.close()
        assert not self.open

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._start(tag, attrs)
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        assert tag in SVG, f"<{tag}/> closes itself only within a drawing"
        self._start(tag, attrs)

    def _start(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        assert not (tag in BLOCKS and "p" in self.open), f"<{tag}> within a paragraph"
        assert not (tag == "a" and "a" in self.open), "a link within a link"
        names = [name for name, _ in attrs]
        assert len(set(names)) == len(names), f"an attribute twice on <{tag}>"
        self.tags.append(tag)
        self.attributes += [(tag, name, value or "") for name, value in attrs]

    def handle_endtag(self, tag: str) -> None:
        assert self.open, f"</{tag}> without a beginning"
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if {"style", "script"} & set(self.open):
            self.code.append(data)
        else:
            self.words.append(data)

    def values(self, name: str) -> list[str]:
        return [value for _, attribute, value in self.attributes if attribute == name]

    @property
    def text(self) -> str:
        return " ".join("".join(self.words).split())


@pytest.fixture(scope="module")
def site() -> dict[str, bytes]:
    return dict(record_site(Records(pages(), index()), IMPRINT))


@pytest.fixture(scope="module")
def read(site: dict[str, bytes]) -> dict[str, Reader]:
    return {name: Reader(content) for name, content in site.items() if name.endswith(".html")}


def test_one_page_a_piece_and_a_list(site: dict[str, bytes]) -> None:
    marks = [*MARKS, *(f"HB-{word}" for word in HARM)]
    assert set(site) == {"index.html", "offline.js", *(record_file(record_slug(mark)) for mark in marks)}
    assert len({name.casefold() for name in site}) == len(marks) + 2


def test_only_elements_that_are_meant_and_one_script(read: dict[str, Reader]) -> None:
    for name, page in read.items():
        assert set(page.tags) <= EXPECTED, name
        assert page.tags.count("style") == page.tags.count("h1") == page.tags.count("main") == 1
        assert page.tags.count("script") == 1
        assert "style" not in [attribute for _, attribute, _ in page.attributes], name
        assert not [attribute for _, attribute, _ in page.attributes if attribute.startswith("on")], name


def test_a_reader_of_the_standard_finds_no_parse_error(site: dict[str, bytes]) -> None:
    """HTML Living Standard 13.2, as html5lib follows it: what a browser would mend in silence is an error here."""
    import html5lib

    preview = (Path(__file__).parents[2] / "layouts" / "preview.html").read_bytes()
    for name, page in ((name, page) for name, page in {**site, "preview": preview}.items() if page[:1] == b"<"):
        parser = html5lib.HTMLParser()
        parser.parse(page, transport_encoding="utf-8")
        assert parser.errors == [], name
    broken = html5lib.HTMLParser()
    broken.parse("<!doctype html><title>x</title><p><b>x</p>")
    assert broken.errors


def test_nothing_is_fetched(site: dict[str, bytes], read: dict[str, Reader]) -> None:
    for name, page in read.items():
        for _, attribute, value in page.attributes:
            assert attribute not in {"src", "srcset", "poster", "action", "background", "xlink:href"}, name
            assert "://" not in value or attribute == "xmlns", name
        assert "url(" not in site[name].decode()
        assert "@import" not in site[name].decode()


def test_the_policy_knows_style_and_script_by_their_digests_alone(read: dict[str, Reader]) -> None:
    """CSP Level 3, 6.7.3.3: the base64 of the SHA-256 of what stands between the tags."""
    for page in read.values():
        style, script = (b64encode(sha256(code.encode()).digest()).decode() for code in page.code)
        (policy,) = [value for value in page.values("content") if "default-src" in value]
        rules = dict(rule.strip().split(" ", 1) for rule in policy.split(";"))
        assert rules == {
            "default-src": "'none'", "base-uri": "'none'", "form-action": "'none'", "worker-src": "'self'",
            "style-src": f"'sha256-{style}'", "script-src": f"'sha256-{script}'",
        }  # fmt: skip


def test_the_worker_keeps_every_page_and_is_another_when_a_page_is(site: dict[str, bytes]) -> None:
    worker = site["offline.js"].decode()
    (listed,) = re.findall(r"FILES = \[(.*?)\]", worker)
    assert set(json.loads(f"[{listed}]")) == set(site) - {"offline.js"}
    other = dict(record_site(Records(pages()[1:], index()), IMPRINT))
    version = re.compile('VERSION = "([0-9a-f]{16})"')
    assert version.findall(worker) != version.findall(other["offline.js"].decode())


def test_every_link_leads_to_something(read: dict[str, Reader]) -> None:
    count = 0
    for name, page in read.items():
        for address in page.values("href"):
            parts = urlsplit(address)
            assert not parts.scheme
            assert not parts.netloc
            target = read[unquote(parts.path) or name]
            assert not parts.fragment or parts.fragment in target.values("id"), address
            count += 1
    assert count > 3 * len(read)


def test_every_record_is_reached_from_the_list(site: dict[str, bytes], read: dict[str, Reader]) -> None:
    reached = set(read["index.html"].values("href"))
    assert set(site) - {"index.html", "offline.js"} <= reached


def test_the_list_is_not_repeated_where_the_index_links_to_every_piece() -> None:
    rows = tuple(Row((Cell.of(mark, link=record_anchor(mark)),)) for mark in ("HB-FL", "HB-FR"))
    own = Document("index", "Hall bench", "", (Table("pieces", (Column("Mark"),), (Group(rows, "leg"),)),))
    legs = [Document(record_slug(mark), mark, "leg", ()) for mark in ("HB-FL", "HB-FR")]
    assert Reader(dict(record_site(Records(tuple(legs), own), IMPRINT))["index.html"]).values("href") == [
        "hb-fl.html",
        "hb-fr.html",
    ]
    bare = Document("index", "Hall bench", "", ())
    assert Reader(dict(record_site(Records(tuple(legs), bare), IMPRINT))["index.html"]).values("href") == [
        "hb-fl.html",
        "hb-fr.html",
    ]


def test_ids_are_unique_and_fit_for_an_address(read: dict[str, Reader]) -> None:
    for page in read.values():
        ids = page.values("id")
        assert len(set(ids)) == len(ids)
        assert all(re.fullmatch(r"[A-Za-z0-9._~%-]+", one) for one in ids)


@pytest.mark.parametrize("word", HARM)
def test_harmful_words_are_only_words(word: str, read: dict[str, Reader]) -> None:
    page = read[record_file(record_slug(f"HB-{word}"))]
    shown = legible(word)
    assert page.text.count(shown) > 15
    assert word not in page.values("href")


def test_nothing_on_a_page_turns_its_reading_direction_or_cannot_be_shown(site: dict[str, bytes]) -> None:
    # Explicit formatting characters of UAX #9, section 2; controls that the HTML Living Standard, 13.2.3.5, forbids.
    turning = re.compile("[\u202a-\u202e\u2066-\u2069]")
    control = re.compile("[\x00-\x08\x0b\x0e-\x1f\x7f-\x9f]")
    for content in site.values():
        assert not turning.search(content.decode())
        assert not control.search(content.decode())
    assert "[U+202E]gnol" in "".join(content.decode() for content in site.values())


def test_marks_and_size_come_first(read: dict[str, Reader]) -> None:
    page = read["hb-fl.html"]
    assert page.text.startswith("HB-FL · leg · Hall bench HB Hall bench revision A FL leg Done Sawn")
    assert ("html", "lang", "en") in page.attributes
    assert any("width=device-width" in value for value in page.values("content"))


def test_figures_keep_their_exact_value(site: dict[str, bytes]) -> None:
    # 17 13/16 in = 285/16 x 25.4 mm = 452.4375 mm by the definition of the inch (NIST SP 811 B.6)
    page = site["hb-fl.html"].decode()
    assert '<data value="452.4375 mm">17<span class="fraction apart">¹³⁄₁₆</span></data>' in page


def test_a_number_and_its_unit_stay_on_one_line() -> None:
    shown = fragment((Paragraph(text("cut 2 at ≈17¹³⁄₁₆ in & 12.5 mm deep")),), lambda _: None)
    assert str(shown).strip() == (
        '<p class="normal">cut 2 at ≈<span class="measure">17<span class="fraction apart">¹³⁄₁₆</span> in</span> &amp; '
        '<span class="measure">12.5 mm</span> deep</p>'
    )


def test_a_fraction_stands_apart_from_its_whole_number_alone() -> None:
    shown = str(fragment((Paragraph(text("2⁵⁄₃₂ and ⁵⁄₃₂")),), lambda _: None))
    assert '2<span class="fraction apart">⁵⁄₃₂</span> and <span class="fraction">⁵⁄₃₂</span>' in shown


@pytest.mark.parametrize("kind", typing.get_args(Block))
def test_every_kind_of_block_is_shown_or_left_out_on_purpose(kind: type[Block]) -> None:
    for_paper = {"Labels", "NewPage", "TitlePage"}
    shown = [str(fragment((block,), lambda _: None)) for block in walk(every_block("word")) if isinstance(block, kind)]
    assert shown
    assert all(bool(page.strip()) is (kind.__name__ not in for_paper) for page in shown)


def test_links_of_the_blocks() -> None:
    one, other = "HB-FL", "HB-FR"
    column = (Column("Piece"),)

    def page(mark: str, *targets: str) -> Document:
        rows = tuple(Row((Cell.of(target, link=target),)) for target in targets)
        return Document(
            record_slug(mark), mark, "leg", (Heading("Meets", 2, "meets"), Table("t", column, (Group(rows),)))
        )

    only_other = Document("hb-fr", other, "leg", (Heading("Knot", 2, "a knot"),))
    site = dict(
        record_site(
            Records((page(one, record_anchor(other), "meets", "a knot", "nowhere"), only_other), index()), IMPRINT
        )
    )
    in_table = [address for tag, name, address in Reader(site["hb-fl.html"]).attributes if (tag, name) == ("a", "href")]
    assert in_table[1:4] == ["hb-fr.html", "#meets", "hb-fr.html#a%20knot"]
    assert "nowhere" in Reader(site["hb-fl.html"]).text


@pytest.mark.parametrize("names", [("a", "a"), ("index",), ("../x",), ("A",), ("",), ("a.b",)])
def test_names_that_would_lose_a_page_are_refused(names: tuple[str, ...]) -> None:
    with pytest.raises(ValueError, match="record"):
        dict(record_site(Records(tuple(Document(name, name, "", ()) for name in names), index()), IMPRINT))


def test_the_same_documents_give_the_same_bytes(site: dict[str, bytes]) -> None:
    assert dict(record_site(Records(pages(), index()), IMPRINT)) == site


def test_a_site_without_imprint_or_pieces_is_still_a_page() -> None:
    from shopdocs.blocks.sheets import Imprint

    bare = dict(
        record_site(Records((), Document("index", "", "", (Paragraph(text("x")),))), Imprint("", "", "", "", ""))
    )
    assert Reader(bare["index.html"]).text == "x"


def test_wide_tables_become_cards_on_a_phone() -> None:
    def table(*titles: str) -> Table:
        return Table("t", tuple(Column(title) for title in titles), ())

    assert not stacks(table("Piece", "Joint", "No."))
    assert stacks(table("Piece", "From end A", "From face edge", "Bit", "Countersink", "Screw"))
    assert stacks(table("W" * 40))
