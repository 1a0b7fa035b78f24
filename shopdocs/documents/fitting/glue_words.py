"""The glue of a glue-up in words: its clocks at the temperature of the shop, and what is mixed when."""

from __future__ import annotations

from fractions import Fraction

from shopdocs.blocks.text import Facts, Figure, Step, Text, text
from shopdocs.core.display import trimmed
from shopdocs.documents.figures import (
    grams_figure,
    hours_figure,
    minutes_figure,
    temperature_figure,
    whole_grams,
)
from shopdocs.documents.fitting.wording import listed
from shopdocs.documents.job import Job
from shopdocs.facts.adhesives import Adhesive, adhesive
from shopdocs.model.joining import Gluing, Ratio
from shopdocs.work.order.mixing import LEAST_MIX, Mix, Portion


def glue_facts(job: Job, gluing: Gluing) -> Facts:
    """The adhesive with every time that counts and what it is for: the glue line, the cup, the clamps."""
    glue = adhesive(gluing.adhesive)
    window = job.stages[0].open if job.stages else None
    pairs: list[tuple[str, Text]] = [("Adhesive", text(gluing.adhesive))]
    if gluing.shop_celsius is not None:
        warning = ": too cold for this glue" if window is not None and window.too_cold else ""
        at = gluing.places.get("shop", gluing.at)
        pairs.append(("Shop", text(temperature_figure("shop", gluing.shop_celsius, job.display, at), warning)))
    if window is not None:
        at = gluing.places.get("open time", gluing.at)
        label = ", from the label" if gluing.open_minutes else ""
        if window.together < window.low:
            pairs.append(("Pieces together", text("within ", minutes_figure("open time", window.together, at))))
        pairs.append(("Clamps tight", text("within ", minutes_figure("assembly time", window.low, at), label)))
        if window.pot is not None:
            label = ", from the label" if gluing.pot_minutes else ""
            at = gluing.places.get("pot life", gluing.at)
            pairs.append(("Pot life", text(minutes_figure("pot life", window.pot, at), label, " for 100 g")))
    if window is not None and window.label_celsius is not None:
        figure = temperature_figure(
            "label", window.label_celsius, job.display, gluing.places.get("label at", gluing.at)
        )
        how = " (not given, usual value)" if window.assumed else ""
        pairs.append(("Label times are for", text(figure, how)))
    ratio = mixing_ratio(gluing, glue)
    if ratio is not None:
        pairs.append(("Mix", text(f"{_plain(ratio.first)} : {_plain(ratio.second)} by {ratio.by}")))
    elif glue is not None and glue.mixed:
        pairs.append(("Mix", text("in the ratio on the label")))
    if glue is not None and glue.contact_pressure:
        pairs.append(("Pressure", text("just enough to close the joints")))
    if glue is not None:
        pairs.append(("Clamps off: no hard use", _full(glue)))
    return Facts(tuple(pairs))


def _plain(number: Fraction) -> str:
    return f"{float(number):g}"


def _full(glue: Adhesive) -> Text:
    """What a joint may bear that is out of its clamps: it can be handled and built on long before it is hard."""
    if glue.full_hours is None:
        return text("see the data sheet")
    low, high = glue.full_hours
    first = hours_figure("full strength · first hard use", low)
    if low == high:
        return text("for ", first)
    return text("for ", first, "; cured in ", hours_figure("full strength", high))


def mixing_ratio(gluing: Gluing, glue: Adhesive | None) -> Ratio | None:
    """How the glue is mixed: as the label says, else as its kind usually is; None where every make has its own."""
    if gluing.ratio is not None:
        return gluing.ratio
    if glue is not None and glue.by_weight is not None:
        first, second = glue.by_weight
        return Ratio(Fraction(first), Fraction(second), "weight")
    return None


def parts_text(grams: Fraction, ratio: Ratio, glue: Adhesive | None) -> str:
    """What goes into the cup for a batch: "20 g + 10 g", or by volume "36 ml + 18.2 ml".

    To a tenth, as small scales and syringes show it: rounded to whole units a small batch would leave the ratio.
    Millilitres also for a build in inches, since mixing cups and syringes are marked in them.
    """
    share = ratio.first / (ratio.first + ratio.second)
    density = glue.density if glue is not None else Fraction("1.1")
    amount, unit = (grams, "g") if ratio.by == "weight" else (grams / density, "ml")
    return f"{trimmed(amount * share, 1)} {unit} + {trimmed(amount * (1 - share), 1)} {unit}"


def mix_steps(job: Job, mix: Mix, number: int) -> dict[int, list[Step]]:
    """The steps that mix the batches of a stage, by the number of the first joint that they are spread on, several
    where it takes more than one; 0 for the first batch, which opens the stage, and for those of seams."""
    gluing = job.build.gluing
    if gluing is None or not mix.mixed:
        return {}
    if not mix.portions:
        return {0: [_left_over(job, mix, number)]}
    steps: dict[int, list[Step]] = {}
    seam, seams = 1, sum(part.strips - 1 for part, _ in job.stages[number - 1].panels)
    for count, portion in enumerate(mix.portions, 1):
        words = f"Mix batch {count} of {mix.batches}: " if mix.batches > 1 else "Mix "
        figure = grams_figure(f"stage {number} · batch {count}", portion.grams, job.display)
        joints = _joints(portion, mix) or _seams(portion, mix, seam, seams) or served(mix)
        seam += len(portion.numbers)
        step = Step(text(words, figure, joints), _how(job, gluing, portion, mix), blank="at")
        steps.setdefault(0 if count == 1 else portion.numbers[0], []).append(step)
    return steps


def weighed(mix: Mix) -> Fraction:
    """The grams of a mix: its batches as they are printed and weighed, added up."""
    return sum((whole_grams(portion.grams) for portion in mix.portions), Fraction(0))


def served(mix: Mix) -> str:
    """ " for stages 1 and 2", where one mix serves several."""
    return f" for stages {listed(map(str, mix.serves))}" if mix.serves else ""


def _left_over(job: Job, mix: Mix, number: int) -> Step:
    """The glue of a stage that the mix of an earlier one serves, and what is done where that is too old."""
    window = job.stages[number - 1].open
    assert window is not None
    assert window.pot is not None
    words = text(f"Use what is left in the tray of stage {mix.serves[0]}")
    age = minutes_figure(f"stage {number} · glue no older than", window.pot)
    least = grams_figure(f"stage {number} · else mixed", LEAST_MIX, job.display)
    return Step(words, text("If it was mixed less than ", age, " ago; otherwise mix ", least, "."))


def _joints(portion: Portion, mix: Mix) -> str:
    numbers = [str(number) for number in portion.numbers if number]
    if mix.batches == 1 or not numbers:
        return ""
    return f" for joint{'s' if len(numbers) > 1 else ''} {', '.join(numbers)}"


def _seams(portion: Portion, mix: Mix, first: int, seams: int) -> str:
    """The seams of a batch, counted from the first strip on: they have no numbers as joints have."""
    every = [number for each in mix.portions for number in each.numbers]
    if mix.batches == 1 or any(every) or len(every) != seams:  # one seam may take several batches
        return ""
    own = [str(first + i) for i in range(len(portion.numbers))]
    return f" for seam{'s' if len(own) > 1 else ''} {', '.join(own)}"


def _how(job: Job, gluing: Gluing, portion: Portion, mix: Mix) -> Text:
    glue = adhesive(gluing.adhesive)
    told: list[str | Figure] = []
    ratio = mixing_ratio(gluing, glue)
    if ratio is not None:
        told.append(f"{parts_text(whole_grams(portion.grams), ratio, glue)}. ")
    if mix.least:
        told.append("A smaller batch cannot be weighed accurately. ")
    if glue is not None and glue.both_faces:
        told.append("Pour it into a shallow tray at once; wet both faces.")
    return text(*told)
