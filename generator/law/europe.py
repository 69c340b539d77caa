"""Rules of the European Union, the United Kingdom, Switzerland and Norway."""

from datetime import date

from generator.law.conditions import (
    KMH,
    MPH,
    at_most,
    both_slower,
    either,
    every,
    faster,
    is_true,
    one_of,
    over,
    slower,
)
from generator.law.model import Answer, Category, Inputs, Rule

_WALK = slower("throttle_speed", 6 * KMH)

_EPAC = (
    is_true("pedals"),
    at_most("rated_power", 250.0),
    slower("cutoff", 25 * KMH),
    is_true("progressive"),
    is_true("stops_with_pedals"),
    _WALK,
)

_MOPED = (one_of("wheels", 2), at_most("rated_power", 4000.0), *both_slower(45 * KMH))

_EAPC = (is_true("pedals"), at_most("rated_power", 250.0), *both_slower(15.5 * MPH))


def _plate(inputs: Inputs) -> Answer:
    if inputs.marking is None:
        return Answer(None, ("marking",))
    complete = {"power", "maker"} <= inputs.marking and inputs.marking & {"voltage", "speed"}
    return Answer(bool(complete))


RULES = (
    Rule(
        id="eu",
        region="European Union",
        title="Type approval",
        categories=(
            Category("EPAC, outside type approval", _EPAC),
            Category(
                "L1e-A powered cycle",
                (
                    is_true("pedals"),
                    at_most("rated_power", 1000.0),
                    *both_slower(25 * KMH),
                    one_of("wheels", 2, 3, 4),
                ),
            ),
            Category("L1e-B moped", _MOPED),
        ),
        source="Regulation (EU) 168/2013, Art. 2(2) and Annex I; walk assist as in EN 15194",
        valid_from=date(2016, 1, 1),
        note=(
            "L1e-B is the class of the 45 km/h speed pedelec: approval, plate, insurance and"
            " helmet as each state has it. First day from memory."
        ),
    ),
    Rule(
        id="eu-designed-to-pedal",
        region="European Union",
        title="Cycles designed to pedal, within L1e-B",
        categories=(
            Category(
                "L1e-B cycle designed to pedal",
                (
                    is_true("pedals"),
                    *_MOPED,
                    either(
                        faster("cutoff", 25 * KMH),
                        faster("throttle_speed", 25 * KMH),
                        over("rated_power", 1000.0),
                    ),
                    at_most("mass", 35.0),
                    at_most("power_factor", 4.0),
                ),
            ),
        ),
        source="Delegated Regulation (EU) 3/2014, Annex XIX 1.1.2",
        valid_from=date(2016, 1, 1),
        note="A sub-set with the structural rules of bicycles; a moped outside it is still L1e-B.",
    ),
    Rule(
        id="uk",
        region="Great Britain",
        title="Electrically assisted pedal cycles",
        categories=(
            Category("EAPC", (*_EAPC, _WALK)),
            Category(
                "EAPC only with type or individual approval, for its throttle",
                (*_EAPC, faster("throttle_speed", 6 * KMH)),
            ),
        ),
        otherwise="motor vehicle",
        source="SI 1983/1168 reg. 4, as amended by SI 2015/24 reg. 2; GOV.UK on electric bikes",
        valid_from=date(2015, 4, 6),
        note="Riders of 14 or older. Northern Ireland: SR 2020/31. First day from memory.",
    ),
    Rule(
        id="uk-marking",
        region="Great Britain",
        title="Marking of an EAPC",
        categories=(Category("complete plate", (_plate,)),),
        otherwise="incomplete plate",
        source="GOV.UK, Electric bikes: licensing, tax and insurance",
        note="Power and maker, with voltage or greatest speed.",
    ),
    Rule(
        id="ch",
        region="Switzerland",
        title="Light, fast and heavy e-bikes",
        categories=(
            Category(
                "light motorised bicycle, no plate",
                (
                    at_most("thirty_minute_power", 500.0),
                    *both_slower(25 * KMH),
                    at_most("permitted_mass", 250.0),
                ),
            ),
            Category(
                "fast motorised bicycle, with plate",
                (
                    at_most("thirty_minute_power", 1000.0),
                    slower("cutoff", 45 * KMH),
                    slower("throttle_speed", 30 * KMH),
                    at_most("permitted_mass", 200.0),
                ),
            ),
            Category(
                "heavy motorised bicycle, with plate",
                (
                    at_most("thirty_minute_power", 2000.0),
                    *both_slower(25 * KMH),
                    over("permitted_mass", 250.0),
                    at_most("permitted_mass", 450.0),
                ),
            ),
        ),
        source="VTS SR 741.41 Art. 18, from 1 July 2025, read in cantonal and trade pages",
        valid_from=date(2025, 7, 1),
        note="Power is the thirty-minute power of UNECE R85, not the rated power.",
    ),
    Rule(
        id="ch-2025",
        region="Switzerland",
        title="Light e-bikes, until June 2025",
        categories=(
            Category(
                "light motorised bicycle, no plate",
                (
                    at_most("thirty_minute_power", 500.0),
                    slower("cutoff", 25 * KMH),
                    slower("throttle_speed", 20 * KMH),
                    at_most("permitted_mass", 200.0),
                ),
            ),
        ),
        source="VTS SR 741.41 Art. 18, text before 1 July 2025",
        valid_to=date(2025, 6, 30),
    ),
    Rule(
        id="no",
        region="Norway",
        title="Bicycles with a motor",
        categories=(
            Category(
                "bicycle",
                (
                    is_true("pedals"),
                    either(
                        at_most("rated_power", 250.0),
                        every(
                            at_most("rated_power", 500.0),
                            one_of("wheels", 3),
                            over("seats", 2),
                        ),
                    ),
                    is_true("progressive"),
                    slower("cutoff", 25 * KMH),
                    _WALK,
                ),
            ),
        ),
        otherwise="moped",
        source="Sykkelforskriften § 2, as quoted by the roads authority and a law blog",
        note="Other limits for aid agencies (500 W) and emergency services (1 kW).",
    ),
)
