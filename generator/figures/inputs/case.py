"""One case: these bikes, these riders and routes, all inputs as arrays, and a record of who used what.

A figure's function asks the case for inputs by id and gets arrays of shape (bikes, columns): column 0 is nominal, then for
each random factor its low and its high. What it asked for is recorded, so a figure's inputs are never listed by hand.
Rows are (bike, level) pairs; `off` is a row too, the bike with the motor off.
"""

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from generator.content.model import Content
from generator.figures.inputs import INPUTS, Resolved, Setting, levels
from generator.specs.bike import Bike

Array = NDArray[np.float64]
Use = tuple[str, str, str]
"""Input id, rider id, route id."""


@dataclass(frozen=True)
class Row:
    """One bike at one level; level −1 is the motor off."""

    bike: int
    level: int


class Case:
    """See the module. Not for use by several threads."""

    def __init__(self, bikes: Sequence[Bike], content: Content, *, spans: bool = True) -> None:
        """Lay out the case; without spans there is the nominal column only."""
        self.bikes = tuple(bikes)
        self.content = content
        self.riders = {rider.id: rider for rider in content.riders}
        self.routes = {route.id: route for route in content.routes}
        self.rider = content.rider
        self.route = content.route
        self.factors = sorted({kind.factor for kind in INPUTS.values()} | set(levels.FACTORS))
        self._place = {factor: index for index, factor in enumerate(self.factors)}
        self.spans = spans
        self.columns = 1 + 2 * len(self.factors) if spans else 1
        self.rows = tuple(
            Row(index, level)
            for index, bike in enumerate(self.bikes)
            for level in range(-1, levels.count(bike))
        )
        self.row_bike = np.array([row.bike for row in self.rows], dtype=int)
        self.row_level = np.array([row.level for row in self.rows], dtype=int)
        self._resolved: dict[Use, list[Resolved]] = {}
        self._of_bikes: dict[str, list[Resolved]] = {}
        self._level_inputs: dict[str, list[Resolved]] = {}
        self._arrays: dict[Any, Array] = {}
        self._shared: dict[Any, tuple[Any, frozenset[Use]]] = {}
        self._records: list[set[Use]] = []

    def otherwise(self, content: Content) -> "Case":
        """The same bikes with other riders and routes, without spans; what is known of the bikes themselves is shared."""
        other = Case(self.bikes, content, spans=False)
        other._of_bikes, other._level_inputs = self._of_bikes, self._level_inputs
        return other

    # Inputs

    def __getitem__(self, id: str) -> Array:
        return self.input(id)

    def input(self, id: str, *, rider: str | None = None, route: str | None = None) -> Array:
        """Return an input of every bike; shape (bikes, columns). Recorded."""
        use = (id, rider or self.rider.id, route or self.route.id)
        self._record(use)
        if use not in self._arrays:
            self._arrays[use] = self._spread(self.resolved(use), INPUTS[id].factor)
        return self._arrays[use]

    def level(self, id: str) -> Array:
        """Return an input of every row; shape (rows, columns). Recorded."""
        self._record((id, "", ""))
        if id not in self._arrays:
            self._arrays[id] = self._spread(self.resolved_levels(id), levels.KINDS[id].factor)
        return self._arrays[id]

    def resolved(self, use: Use) -> list[Resolved]:
        """Return value, span and basis of an input, by bike."""
        kind = INPUTS[use[0]]
        if not kind.of_setting:
            if kind.id not in self._of_bikes:
                self._of_bikes[kind.id] = self._resolve(use)
            return self._of_bikes[kind.id]
        if use not in self._resolved:
            self._resolved[use] = self._resolve(use)
        return self._resolved[use]

    def _resolve(self, use: Use) -> list[Resolved]:
        setting = Setting(self.riders[use[1]], self.routes[use[2]])
        resolve = INPUTS[use[0]].resolve
        return [resolve(bike, setting) for bike in self.bikes]

    def resolved_levels(self, id: str) -> list[Resolved]:
        """Return value, span and basis of a level's input, by row."""
        if id not in self._level_inputs:
            full = self.resolved(("motor.current_limit", self.rider.id, self.route.id))
            resolve = levels.KINDS[id].resolve
            self._level_inputs[id] = [
                resolve(self.bikes[row.bike], row.level, full[row.bike].value) for row in self.rows
            ]
        return self._level_inputs[id]

    def _spread(self, resolved: list[Resolved], factor: str) -> Array:
        """Lay values into columns: nominal everywhere but where the factor is low or high."""
        array = np.repeat(np.array([[each.value] for each in resolved]), self.columns, axis=1)
        if not self.spans:
            return array
        place = 1 + 2 * self._place[factor]
        array[:, place] = [each.low for each in resolved]
        array[:, place + 1] = [each.high for each in resolved]
        return array

    # Rows

    def by_row(self, array: Array) -> Array:
        """Spread an array by bike over the rows; shape (rows, …)."""
        return array[self.row_bike]

    def reference_rows(self) -> NDArray[np.intp]:
        """Row of each bike's middle level, at which figures hold unless they say otherwise; shape (bikes,)."""
        return self.level_rows(levels.middle)

    def full_rows(self) -> NDArray[np.intp]:
        """Row of each bike's highest level; shape (bikes,)."""
        return self.level_rows(lambda bike: levels.count(bike) - 1)

    def numbered_rows(self, number: int) -> NDArray[np.intp]:
        """Row of each bike's level of that number, counted from 0; −1 where the bike lacks it; shape (bikes,)."""
        return self.level_rows(lambda bike: number)

    def level_rows(self, level: Callable[[Bike], int]) -> NDArray[np.intp]:
        """Row of the level that a function names, counted from 0; −1 where the bike lacks it; shape (bikes,)."""
        wanted = {(index, level(bike)) for index, bike in enumerate(self.bikes)}
        rows = np.full(len(self.bikes), -1, dtype=np.intp)
        for place, row in enumerate(self.rows):
            if (row.bike, row.level) in wanted:
                rows[row.bike] = place
        return rows

    def pick(self, array: Array, rows: NDArray[np.intp]) -> Array:
        """Take one row per bike out of an array by rows; NaN where there is none; shape (bikes, …)."""
        taken = array[np.maximum(rows, 0)].astype(float)
        taken[rows < 0] = math.nan
        return taken

    # Sharing and recording

    def shared(self, function: Callable[..., Any], *args: Any) -> Any:
        """Return function(case, *args), computed once; what it used is recorded for whoever asks."""
        key = (function, args)
        if key not in self._shared:
            with self.recording() as used:
                result = function(self, *args)
            self._shared[key] = (result, frozenset(used))
        result, uses = self._shared[key]
        self.note(uses)
        return result

    def note(self, uses: Iterable[Use]) -> None:
        """Count inputs as used by whoever records now."""
        if self._records:
            self._records[-1].update(uses)

    @contextmanager
    def recording(self) -> Iterator[set[Use]]:
        """Collect the inputs that are used inside the block."""
        used: set[Use] = set()
        self._records.append(used)
        try:
            yield used
        finally:
            self._records.pop()

    def _record(self, use: Use) -> None:
        if self._records:
            self._records[-1].add(use)

    def factor_of(self, use: Use) -> int:
        """Place of the factor that moves an input, among `factors`."""
        kind = levels.KINDS[use[0]] if use[0] in levels.KINDS else INPUTS[use[0]]
        return self._place[kind.factor]

    def active_columns(self, uses: set[Use]) -> NDArray[np.intp]:
        """Columns in which any of these inputs leaves its nominal value; column 0 is always there."""
        active = {0}
        for use in uses if self.spans else ():
            found = self.resolved_levels(use[0]) if use[0] in levels.KINDS else self.resolved(use)
            if any(each.low != each.high for each in found):
                place = 1 + 2 * self.factor_of(use)
                active |= {place, place + 1}
        return np.array(sorted(active), dtype=np.intp)
