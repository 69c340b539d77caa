"""Rules of the European Union, the United Kingdom, Switzerland and Norway."""

from datetime import date

from generator.law.conditions import (
    KMH,
    MPH,
    all_of,
    any_of,
    at_most,
    is_true,
    more_than,
    one_of,
    speed_at_most,
    speed_over,
    speeds_at_most,
)
from generator.law.model import ConditionAnswer, LegalCategory, LegalInputs, LegalRule

_WALK = speed_at_most("throttle_speed", 6 * KMH)

_EPAC = (
    is_true("pedals"),
    at_most("rated_power", 250.0),
    speed_at_most("cutoff", 25 * KMH),
    is_true("progressive"),
    is_true("stops_with_pedals"),
    _WALK,
)

_MOPED = (one_of("wheels", 2), at_most("rated_power", 4000.0), *speeds_at_most(45 * KMH))

_EAPC = (is_true("pedals"), at_most("rated_power", 250.0), *speeds_at_most(15.5 * MPH))


def _check_plate(inputs: LegalInputs) -> ConditionAnswer:
    if inputs.marking is None:
        return ConditionAnswer(None, ("marking",))
    complete = {"power", "maker"} <= inputs.marking and inputs.marking & {"voltage", "speed"}
    return ConditionAnswer(bool(complete))


RULES = (
    LegalRule(
        id="eu",
        region="European Union",
        title="Type approval",
        categories=(
            LegalCategory("EPAC, outside type approval", _EPAC),
            LegalCategory(
                "L1e-A powered cycle",
                (
                    is_true("pedals"),
                    at_most("rated_power", 1000.0),
                    *speeds_at_most(25 * KMH),
                    one_of("wheels", 2, 3, 4),
                ),
            ),
            LegalCategory("L1e-B moped", _MOPED),
        ),
        source="Regulation (EU) 168/2013, Art. 2(2) and Annex I; walk assist as in EN 15194",
        valid_from=date(2016, 1, 1),
        note=(
            "L1e-B is the class of the 45 km/h speed pedelec: approval, plate, insurance and"
            " helmet as each state has it. First day from memory."
        ),
    ),
    LegalRule(
        id="eu-designed-to-pedal",
        region="European Union",
        title="Cycles designed to pedal, within L1e-B",
        categories=(
            LegalCategory(
                "L1e-B cycle designed to pedal",
                (
                    is_true("pedals"),
                    *_MOPED,
                    any_of(
                        speed_over("cutoff", 25 * KMH),
                        speed_over("throttle_speed", 25 * KMH),
                        more_than("rated_power", 1000.0),
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
    LegalRule(
        id="uk",
        region="Great Britain",
        title="Electrically assisted pedal cycles",
        categories=(
            LegalCategory("EAPC", (*_EAPC, _WALK)),
            LegalCategory(
                "EAPC only with type or individual approval, for its throttle",
                (*_EAPC, speed_over("throttle_speed", 6 * KMH)),
            ),
        ),
        otherwise="motor vehicle",
        source="SI 1983/1168 reg. 4, as amended by SI 2015/24 reg. 2; GOV.UK on electric bikes",
        valid_from=date(2015, 4, 6),
        note="Riders of 14 or older. Northern Ireland: SR 2020/31. First day from memory.",
    ),
    LegalRule(
        id="uk-marking",
        region="Great Britain",
        title="Marking of an EAPC",
        categories=(LegalCategory("complete plate", (_check_plate,)),),
        otherwise="incomplete plate",
        source="GOV.UK, Electric bikes: licensing, tax and insurance",
        note="Power and maker, with voltage or greatest speed.",
    ),
    LegalRule(
        id="ch",
        region="Switzerland",
        title="Light, fast and heavy e-bikes",
        categories=(
            LegalCategory(
                "light motorised bicycle, no plate",
                (
                    at_most("thirty_minute_power", 500.0),
                    *speeds_at_most(25 * KMH),
                    at_most("permitted_mass", 250.0),
                ),
            ),
            LegalCategory(
                "fast motorised bicycle, with plate",
                (
                    at_most("thirty_minute_power", 1000.0),
                    speed_at_most("cutoff", 45 * KMH),
                    speed_at_most("throttle_speed", 30 * KMH),
                    at_most("permitted_mass", 200.0),
                ),
            ),
            LegalCategory(
                "heavy motorised bicycle, with plate",
                (
                    at_most("thirty_minute_power", 2000.0),
                    *speeds_at_most(25 * KMH),
                    more_than("permitted_mass", 250.0),
                    at_most("permitted_mass", 450.0),
                ),
            ),
        ),
        source="VTS SR 741.41 Art. 18, from 1 July 2025, read in cantonal and trade pages",
        valid_from=date(2025, 7, 1),
        note="Power is the thirty-minute power of UNECE R85, not the rated power.",
    ),
    LegalRule(
        id="ch-2025",
        region="Switzerland",
        title="Light e-bikes, until June 2025",
        categories=(
            LegalCategory(
                "light motorised bicycle, no plate",
                (
                    at_most("thirty_minute_power", 500.0),
                    speed_at_most("cutoff", 25 * KMH),
                    speed_at_most("throttle_speed", 20 * KMH),
                    at_most("permitted_mass", 200.0),
                ),
            ),
        ),
        source="VTS SR 741.41 Art. 18, text before 1 July 2025",
        valid_to=date(2025, 6, 30),
    ),
    LegalRule(
        id="no",
        region="Norway",
        title="Bicycles with a motor",
        categories=(
            LegalCategory(
                "bicycle",
                (
                    is_true("pedals"),
                    any_of(
                        at_most("rated_power", 250.0),
                        all_of(
                            at_most("rated_power", 500.0),
                            one_of("wheels", 3),
                            more_than("seats", 2),
                        ),
                    ),
                    is_true("progressive"),
                    speed_at_most("cutoff", 25 * KMH),
                    _WALK,
                ),
            ),
        ),
        otherwise="moped",
        source="Sykkelforskriften § 2, as quoted by the roads authority and a law blog",
        note="Other limits for aid agencies (500 W) and emergency services (1 kW).",
    ),
)
