"""Takes one document's pages out of a composed set."""

from __future__ import annotations

from shopdocs.page.compose import Composed, OutlineEntry


def extract(composed: Composed, name: str) -> Composed | None:
    """The pages of the document called `name` as a set of their own, page lines unchanged: a loose sheet still says
    which page of the whole set it is. None where it shares a page with another document and must be laid out for
    itself."""
    pages = [page for page, frame in enumerate(composed.frames) if frame.document == name]
    if not pages or name not in composed.anchors or composed.anchors[name][0] != pages[0]:
        return None
    documents_on = sum(entry.level == 0 and entry.page in pages for entry in composed.outline)
    if documents_on != 1:
        return None
    first, last = pages[0], pages[-1]
    return Composed(
        frames=composed.frames[first : last + 1],
        anchors={key: (page - first, y) for key, (page, y) in composed.anchors.items() if first <= page <= last},
        outline=tuple(
            OutlineEntry(entry.level, entry.title, entry.page - first, entry.y)
            for entry in composed.outline
            if first <= entry.page <= last
        ),
        imprint=composed.imprint,
        missing=composed.missing,
        notes=composed.notes,
    )
