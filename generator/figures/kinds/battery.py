"""Figures of the battery: energy, charging, cost of electricity."""

from generator.compute import battery
from generator.figures import sources, units
from generator.figures.kinds.range import compute_consumption, compute_usable_energy
from generator.figures.registry import figure
from generator.figures.variants import use_reference_level


@figure(
    "battery.energy",
    title="Battery energy",
    unit=units.ENERGY,
    words="As on the label: watt hours, or volts times amp hours where the sheet gives no watt hours.",
    formula="E = V × Ah",
    source=sources.SHEET,
    better="higher",
    stated=True,
    worked=("{battery.energy}",),
)
def energy(case):
    return case["battery.energy"]


@figure(
    "battery.usable",
    title="Usable energy",
    unit=units.ENERGY,
    words="What the battery gives before it switches off, on a day of the default route's temperature.",
    formula="usable = E × usable share × capacity left in the cold × capacity left by age",
    source="usable share and cold factor: values from memory",
    conditions="new battery; default route's temperature",
    better="higher",
    worked=(
        "{battery.energy} × {battery.usable_share} × capacity left at {road.temperature} = {value}",
    ),
)
def usable_energy(case):
    return compute_usable_energy(case, case.route.id)


def compute_charge(case):
    """Charge of the battery; shape (bikes, columns). [C]"""
    return case["battery.energy"] / case["battery.voltage"]


@figure(
    "battery.charge_time",
    title="Time to charge from empty",
    unit=units.HOURS,
    words="At constant current to nine tenths, then with a falling one.",
    formula="t = 0.9 Q/i + taper",
    source="constant-current, constant-voltage charging; shape of the taper: our modelling choice",
    better="lower",
    worked=("({battery.energy} ÷ {battery.voltage}) at {battery.charger_current} = {value}",),
    sentence=lambda value, text: f"An empty battery takes about {text} at the charger.",
)
def charge_time(case):
    return battery.charging_time(
        compute_charge(case),
        charger_current=case["battery.charger_current"],
        state_from=0.0,
        state_to=1.0,
    )


@figure(
    "battery.c_rate",
    title="Charging rate",
    unit=units.C_RATE,
    words="Charger current over battery capacity; 1 C fills it in about an hour.",
    formula="C = A ÷ Ah",
    source=sources.IDENTITY,
    worked=("{battery.charger_current} ÷ ({battery.energy} ÷ {battery.voltage}) = {value}",),
)
def c_rate(case):
    return battery.charge_rate(case["battery.charger_current"], charge=compute_charge(case))


def compute_cost(case, energy):
    wall = battery.wall_energy(energy, charger_efficiency=case["battery.charger_efficiency"])
    return battery.cost(wall, price=case.content.settings.electricity_price)


def choose_money_unit(case):
    return units.make_money_unit(case.content.settings.currency)


@figure(
    "battery.charge_cost",
    title="Cost of a full charge",
    unit=choose_money_unit,
    words="Energy from the wall, charger losses included, at the site's price for electricity.",
    formula="cost = E ÷ charger efficiency × price",
    source="the site's price for electricity",
    better="lower",
    worked=("{battery.energy} ÷ {battery.charger_efficiency} × the site's price = {value}",),
)
def charge_cost(case):
    return compute_cost(case, case["battery.energy"])


@figure(
    "battery.cost_100km",
    title="Electricity for 100 km",
    unit=choose_money_unit,
    words="Consumption on the default route, charger losses included, at the site's price for electricity.",
    formula="cost = consumption × 100 km ÷ charger efficiency × price",
    source="the site's price for electricity",
    conditions="default route and rider; level {level_name}",
    better="lower",
    each=use_reference_level,
    worked=("consumption × 100 km ÷ {battery.charger_efficiency} × the site's price = {value}",),
)
def cost_100km(case):
    return compute_cost(case, 1e5 * compute_consumption(case, case.route.id, case.rider.id))
