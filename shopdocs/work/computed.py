"""What is computed from a build and a shop, each thing once and only when somebody asks for it; what computes it is
loaded then, too, for a build without places or holes needs little of it."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from typing import TYPE_CHECKING

from msgspec import Struct

from shopdocs.model.build import Build, Shop

if TYPE_CHECKING:
    from shopdocs.work.cut_list import CutGroup
    from shopdocs.work.holes.fastening import Fastening
    from shopdocs.work.holes.pilots import Pilots
    from shopdocs.work.order.blocking import Obstacles
    from shopdocs.work.order.clamping import Clamping
    from shopdocs.work.order.proposal import NoProposal, Proposal
    from shopdocs.work.order.shut_in import ShutIn
    from shopdocs.work.order.stages import PanelWork, StageWork
    from shopdocs.work.order.unglued import Unglued
    from shopdocs.work.scene.in_space import Space
    from shopdocs.work.seasons.fits import Fit
    from shopdocs.work.seasons.tie import Tie
    from shopdocs.work.seasons.wood import Moves, Year
    from shopdocs.work.space.drilled import Drilled


class Computed(Struct, frozen=True, dict=True):
    """Checks and documents of one run share it."""

    build: Build
    shop: Shop

    @cached_property
    def holes(self) -> tuple[Drilled, ...]:
        """Every hole drilled for hardware, in reading order."""
        if not self.build.hardware:
            return ()
        from shopdocs.work.space.drilled import drilled

        return drilled(self.build, self.shop)

    @cached_property
    def space(self) -> Space | None:
        """The build in space, None where no piece has a place."""
        if not any(piece.place for _, piece in self.build.pieces()):
            return None
        from shopdocs.work.scene.in_space import space_of

        return space_of(self.build, self.holes, {name: moves.most for name, moves in self.moves.items()})

    @cached_property
    def year(self) -> Year:
        """How dry and how damp the wood gets."""
        from shopdocs.work.seasons.wood import year_of

        return year_of(self.shop.climate)

    @cached_property
    def moves(self) -> Mapping[str, Moves]:
        """How far the wood of each part moves, by the name of the part."""
        from shopdocs.work.seasons.wood import moves_of

        return moves_of(self.build, self.year)

    @cached_property
    def ties(self) -> tuple[Tie, ...]:
        """What holds wood that moves, and how far it lets it."""
        from shopdocs.work.seasons.ties import ties_of

        return ties_of(self.build, self.moves, self.space, self.fastening)

    @cached_property
    def fits(self) -> tuple[Fit, ...]:
        """Drawers and doors in their openings."""
        from shopdocs.work.seasons.fits import fits

        return fits(self.build, self.space, self.moves)

    @cached_property
    def fastening(self) -> Fastening | None:
        """What the holes of placed pieces meet, None where no piece has a place."""
        if self.space is None:
            return None
        from shopdocs.work.holes.fastening import fastening_of

        return fastening_of(self.build, self.space, self.holes)

    @cached_property
    def pilots(self) -> Pilots:
        """What the screws need that no line of the build gives, nothing where no piece has a place."""
        from shopdocs.work.holes.pilots import Pilots, pilots_of

        return Pilots() if self.fastening is None else pilots_of(self.build, self.shop, self.fastening)

    @cached_property
    def fastened(self) -> Fastening | None:
        """As `fastening`, the pilots with it that were worked out."""
        if self.space is None or not self.pilots.drilled:
            return self.fastening
        from shopdocs.work.holes.fastening import fastening_of

        return fastening_of(self.build, self.space, (*self.holes, *self.pilots.drilled))

    @cached_property
    def groups(self) -> tuple[CutGroup, ...]:
        """The cut list: pieces that are cut alike, with their sizes."""
        from shopdocs.work.cut_list import cut_groups

        return cut_groups(self.build, self.shop, self.space)

    @cached_property
    def sawn(self) -> tuple[CutGroup, ...]:
        """The same for all copies that are built at once: what boards are bought and sawn for."""
        from shopdocs.work.cut_list import of_all_copies

        return of_all_copies(self.groups, self.build.copies)

    @cached_property
    def panels(self) -> tuple[PanelWork, ...]:
        """What is glued up from strips before the stages; nothing without an adhesive."""
        from shopdocs.work.order.stages import panel_works

        return panel_works(self.build, self.shop)

    @cached_property
    def clampings(self) -> tuple[Clamping, ...]:
        """The clamps of every stage; none where pieces have no places."""
        from shopdocs.work.order.clamping import clampings

        return clampings(self.build, self.shop, self._bare_stages, self.space)

    @cached_property
    def stages(self) -> tuple[StageWork, ...]:
        """The stages of the glue-up, in reading order, with their clamps; none where nothing is glued."""
        from shopdocs.work.order.clamping import with_clamps
        from shopdocs.work.order.shared_mix import with_shared_mixes

        return with_shared_mixes(self.build, self.shop, with_clamps(self._bare_stages, self.clampings, self.shop))

    @cached_property
    def _bare_stages(self) -> tuple[StageWork, ...]:
        """The stages of the glue-up, in reading order; none where nothing is glued."""
        from shopdocs.work.order.stages import stage_works

        return stage_works(self.build, self.shop, self.space, self.obstacles)

    @cached_property
    def shut_in(self) -> tuple[ShutIn, ...]:
        """Pieces that no stage names, and that one shuts in."""
        from shopdocs.work.order.shut_in import shut_in

        return shut_in(self.build, self.stages, self.space, self.obstacles)

    @cached_property
    def proposal(self) -> Proposal | NoProposal:
        """Stages that could be written for the glue-up, or why there are none."""
        from shopdocs.work.order.proposal import propose

        return propose(self.build, self.shop, self.space, self.obstacles, self._held_by)

    @cached_property
    def left(self) -> Unglued | None:
        """What goes on without glue when all stages are done; None where nothing does."""
        from shopdocs.work.order.unglued import unglued

        return unglued(self.build, self.stages, self.space, self._held_by)

    @property
    def _held_by(self) -> Mapping[str, frozenset[str]]:
        """By the name of hardware, the pieces that its holes lead into."""
        return self.fastening.held_by if self.fastening is not None else {}

    @cached_property
    def obstacles(self) -> Obstacles | None:
        """What stands in the way of the pieces when they are put together, None where none has a place."""
        from shopdocs.work.order.blocking import Obstacles

        return None if self.space is None else Obstacles(self.space)
