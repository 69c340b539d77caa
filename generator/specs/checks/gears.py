"""Cross-checks of the drivetrain and the wheels."""

import difflib
import math
from itertools import pairwise

from generator.specs.build_bike import parse_wheel_size
from generator.specs.checks.facts import Facts, format_number

BEAD_SEATS = (
    203, 248, 251, 254, 288, 298, 305, 317, 330, 337, 340, 349, 355, 369, 381, 387, 390, 400, 406,
    419, 422, 428, 432, 438, 440, 445, 451, 457, 484, 489, 490, 498, 501, 507, 520, 531, 534, 540,
    541, 547, 559, 565, 571, 575, 584, 587, 590, 597, 599, 609, 622, 630, 635, 642,
)  # fmt: skip
"""Bead seat diameters in use, ISO 5775; values from memory. [mm]"""
ROLLOUT_TOLERANCE = 0.06
"""Relative difference allowed between a measured rollout and π (bead seat + 2 × width): the formula is up
to 1.5 % long for wide tyres, and a loaded tyre is shorter still; common practice, no source. [-]"""


def check_gears(facts: Facts) -> None:
    for key, order in (("chainrings", "teeth"), ("cogs", "teeth"), ("hub_ratios", "ratios")):
        numbers = facts.get_numbers("drivetrain", key)
        if any(second <= first for first, second in pairwise(numbers)):
            better = ", ".join(format_number(each, 6) for each in sorted(set(numbers)))
            what = f"the {order} of {key} do not rise from each to the next"
            facts.add_error(("drivetrain", key), what, f"Write [{better}]")
    shifting = facts.get_text("drivetrain", "shifting")
    cogs, rings = facts.get_list("drivetrain", "cogs"), facts.get_list("drivetrain", "chainrings")
    ratios = facts.get_list("drivetrain", "hub_ratios")
    if shifting == "hub gear" and not ratios:
        what = "a hub gear without hub_ratios: its gears cannot be worked out"
        facts.add_warning(
            ("drivetrain",), what, "Add hub_ratios from the hub's sheet, lowest first"
        )
    if shifting == "derailleur" and len(cogs) == 1 and len(rings) < 2:
        what = "a derailleur with one cog and one chainring has nothing to shift"
        facts.add_warning(
            ("drivetrain", "cogs"), what, "List all cogs, or write 'shifting: single speed'"
        )
    if shifting == "single speed" and (len(cogs) > 1 or len(rings) > 1 or len(ratios) > 1):
        what = "a single speed with several gears"
        mend = "Write 'shifting: derailleur' or 'shifting: hub gear', or leave the other gears out"
        facts.add_warning(("drivetrain", "shifting"), what, mend)
    if ratios and shifting in ("derailleur", "single speed") and len(ratios) > 1:
        what = f"hub_ratios belong to a hub gear, this is '{shifting}'"
        facts.add_warning(
            ("drivetrain", "hub_ratios"), what, "Write 'shifting: hub gear', or delete them"
        )


def check_wheels(facts: Facts) -> None:
    size = _read_size(facts, "size")
    _read_size(facts, "front")
    rollout = facts.get_quantity("length", "wheels", "rollout")
    if size is None or rollout is None:
        return
    width, bead = size
    expected = math.pi * (bead + 2 * width)
    if abs(rollout.value / expected - 1) > ROLLOUT_TOLERANCE:
        facts.add_warning(
            ("wheels", "rollout"),
            f"{facts.get_text('wheels', 'size')} rolls about {format_number(expected * 1000, 4)} mm in a turn,"
            f" the file says {rollout.text}",
            "Measure again, or check the size on the tyre",
        )


def _read_size(facts: Facts, key: str) -> tuple[float, float] | None:
    """Width and bead seat diameter of a tyre size, with an error when no rim has them. [m]"""
    words = facts.get_text("wheels", key)
    try:
        width, bead = parse_wheel_size(words)
    except ValueError:
        return None
    number = round(bead * 1000)
    if number not in BEAD_SEATS:
        near = difflib.get_close_matches(str(number), map(str, BEAD_SEATS), 3, 0.6)
        mend = "Read it from the tyre's side again, width first"
        if near:
            mend += f"; near it are {', '.join(sorted(near))}"
        facts.add_warning(("wheels", key), f"'{words}': no rim of {number} mm is known", mend)
        return None
    return width, bead
