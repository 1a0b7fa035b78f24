"""Saw a plan cut by cut, with nothing but rectangles, and check what falls off. Knows nothing of the engine."""

from __future__ import annotations

from collections import Counter

from shopdocs.work.layout import CROSSCUT, Job, Plan, Rect

Box = tuple[int, int, int, int]


def box(r: Rect) -> Box:
    return (r.x, r.y, r.x + r.length, r.y + r.width)


def replay(job: Job, plan: Plan) -> None:
    """Assert that the plan can be sawn as numbered and keeps every promise of the job."""
    stocks = {s.id: s for s in job.stocks}
    wants = {w.id: w for w in job.wants}
    kerf = job.saw.kerf
    placed: Counter[str] = Counter()
    for board in plan.boards:
        stock = stocks[board.stock]
        assert board.price == stock.price
        loose: list[Box] = [(0, 0, stock.length, stock.width)]
        for number, cut in enumerate(board.cuts, 1):
            assert cut.number == number
            x0, y0, x1, y1 = box(cut.over)
            loose.remove((x0, y0, x1, y1))
            if cut.axis == CROSSCUT:
                assert x0 - kerf <= cut.at < x1
                parts = [(x0, y0, cut.at, y1), (cut.at + kerf, y0, x1, y1)]
            else:
                assert y0 - kerf <= cut.at < y1
                parts = [(x0, y0, x1, cut.at), (x0, cut.at + kerf, x1, y1)]
            loose += [p for p in parts if p[0] < p[2] and p[1] < p[3]]
        for piece in board.pieces:
            want = wants[piece.want]
            size = (want.length + job.saw.length_allowance, want.width + job.saw.width_allowance)
            assert (piece.length, piece.width) == (size[::-1] if piece.turned else size)
            assert want.may_turn or not piece.turned
            where = (piece.x, piece.y, piece.x + piece.length, piece.y + piece.width)
            loose.remove(where)
            for d in stock.defects:
                assert where[2] <= d.x or where[0] >= d.x + d.length or where[3] <= d.y or where[1] >= d.y + d.width
            assert where[0] >= job.saw.end_trim
            assert where[2] <= stock.length - job.saw.end_trim
            assert where[1] >= job.saw.edge_trim
            assert where[3] <= stock.width - job.saw.edge_trim
            placed[piece.want] += 1
        for rest in board.offcuts:
            loose.remove(box(rest))
        for i, a in enumerate(board.pieces):
            for b in board.pieces[:i]:
                apart = max(b.x - a.x - a.length, a.x - b.x - b.length, b.y - a.y - a.width, a.y - b.y - b.width)
                assert apart >= kerf
    for stock in job.stocks:
        if stock.limit is not None:
            assert sum(b.stock == stock.id for b in plan.boards) <= stock.limit
    assert plan.price == sum(b.price for b in plan.boards)
    assert 0 <= plan.bound <= plan.price
    missing = Counter({u.want: u.count for u in plan.unplaced})
    assert all(u.reason and u.count > 0 for u in plan.unplaced)
    assert placed + missing == Counter({w.id: w.count for w in job.wants if w.count})
    for name in {w.together for w in job.wants if w.together is not None}:
        members = {w.id for w in job.wants if w.together == name}
        homes = [i for i, b in enumerate(plan.boards) if any(p.want in members for p in b.pieces)]
        assert len(homes) <= 1
