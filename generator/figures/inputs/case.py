"""A case: some bikes with riders and routes, all inputs as arrays, and a record of which inputs were used.

A figure's function asks the case for inputs by id and gets arrays of shape (bikes, columns): column 0 is nominal, then
follow the low and the high of each random factor. The case records the inputs used, so a figure's inputs are never
listed by hand. Rows are (bike, level) pairs; the bike with the motor off is a row too.
"""

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from generator.content.model import Content
from generator.figures.inputs import INPUTS, ResolvedInput, RideConditions, levels
from generator.specs.bike import Bike

Array = NDArray[np.float64]
InputUse = tuple[str, str, str]
"""Input id, rider id, route id."""


@dataclass(frozen=True)
class CaseRow:
    """One bike at one level; level −1 is the motor off."""

    bike: int
    level: int


class Case:
    """Inputs of some bikes as arrays, with a record of their use. Not thread-safe."""

    def __init__(self, bikes: Sequence[Bike], content: Content, *, spans: bool = True) -> None:
        """Lay out rows and columns; without spans there is only the nominal column."""
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
            CaseRow(index, level)
            for index, bike in enumerate(self.bikes)
            for level in range(-1, levels.count_levels(bike))
        )
        self.row_bike = np.array([row.bike for row in self.rows], dtype=int)
        self.row_level = np.array([row.level for row in self.rows], dtype=int)
        self._resolved: dict[InputUse, list[ResolvedInput]] = {}
        self._of_bikes: dict[str, list[ResolvedInput]] = {}
        self._level_inputs: dict[str, list[ResolvedInput]] = {}
        self._arrays: dict[Any, Array] = {}
        self._shared: dict[Any, tuple[Any, frozenset[InputUse]]] = {}
        self._records: list[set[InputUse]] = []

    def with_content(self, content: Content) -> "Case":
        """A case of these bikes with other riders and routes, without spans; it shares the bikes' own inputs."""
        other = Case(self.bikes, content, spans=False)
        other._of_bikes, other._level_inputs = self._of_bikes, self._level_inputs
        return other

    # Inputs

    def __getitem__(self, id: str) -> Array:
        return self.get_input(id)

    def get_input(self, id: str, *, rider: str | None = None, route: str | None = None) -> Array:
        """Return an input of every bike; shape (bikes, columns). Recorded."""
        use = (id, rider or self.rider.id, route or self.route.id)
        self._record_use(use)
        if use not in self._arrays:
            self._arrays[use] = self._lay_out_columns(self.resolve_input(use), INPUTS[id].factor)
        return self._arrays[use]

    def get_level_input(self, id: str) -> Array:
        """Return an input of every row; shape (rows, columns). Recorded."""
        self._record_use((id, "", ""))
        if id not in self._arrays:
            self._arrays[id] = self._lay_out_columns(
                self.resolve_level_input(id), levels.LEVEL_INPUTS[id].factor
            )
        return self._arrays[id]

    def resolve_input(self, use: InputUse) -> list[ResolvedInput]:
        """Return value, span and basis of an input, by bike."""
        kind = INPUTS[use[0]]
        if not kind.depends_on_ride:
            if kind.id not in self._of_bikes:
                self._of_bikes[kind.id] = self._resolve_bikes(use)
            return self._of_bikes[kind.id]
        if use not in self._resolved:
            self._resolved[use] = self._resolve_bikes(use)
        return self._resolved[use]

    def _resolve_bikes(self, use: InputUse) -> list[ResolvedInput]:
        setting = RideConditions(self.riders[use[1]], self.routes[use[2]])
        resolve = INPUTS[use[0]].resolve
        return [resolve(bike, setting) for bike in self.bikes]

    def resolve_level_input(self, id: str) -> list[ResolvedInput]:
        """Return value, span and basis of a level's input, by row."""
        if id not in self._level_inputs:
            full = self.resolve_input(("motor.current_limit", self.rider.id, self.route.id))
            resolve = levels.LEVEL_INPUTS[id].resolve
            self._level_inputs[id] = [
                resolve(self.bikes[row.bike], row.level, full[row.bike].value) for row in self.rows
            ]
        return self._level_inputs[id]

    def _lay_out_columns(self, resolved: list[ResolvedInput], factor: str) -> Array:
        """Lay values out in columns: nominal except where the factor is low or high."""
        array = np.repeat(np.array([[each.value] for each in resolved]), self.columns, axis=1)
        if not self.spans:
            return array
        place = 1 + 2 * self._place[factor]
        array[:, place] = [each.low for each in resolved]
        array[:, place + 1] = [each.high for each in resolved]
        return array

    # Rows

    def spread_over_rows(self, array: Array) -> Array:
        """Spread an array by bike over the rows; shape (rows, …)."""
        return array[self.row_bike]

    def find_reference_rows(self) -> NDArray[np.intp]:
        """Row of each bike's middle level, at which figures hold unless they say otherwise; shape (bikes,)."""
        return self.find_level_rows(levels.find_middle_level)

    def find_full_rows(self) -> NDArray[np.intp]:
        """Row of each bike's highest level; shape (bikes,)."""
        return self.find_level_rows(lambda bike: levels.count_levels(bike) - 1)

    def find_numbered_rows(self, number: int) -> NDArray[np.intp]:
        """Row of each bike's level of that number, counted from 0; −1 where the bike lacks it; shape (bikes,)."""
        return self.find_level_rows(lambda bike: number)

    def find_level_rows(self, level: Callable[[Bike], int]) -> NDArray[np.intp]:
        """Row of the level, counted from 0, that a function gives for each bike; −1 where the bike lacks it; shape (bikes,)."""
        wanted = {(index, level(bike)) for index, bike in enumerate(self.bikes)}
        rows = np.full(len(self.bikes), -1, dtype=np.intp)
        for place, row in enumerate(self.rows):
            if (row.bike, row.level) in wanted:
                rows[row.bike] = place
        return rows

    def pick_rows(self, array: Array, rows: NDArray[np.intp]) -> Array:
        """Take one row per bike out of an array by rows; NaN where there is none; shape (bikes, …)."""
        taken = array[np.maximum(rows, 0)].astype(float)
        taken[rows < 0] = math.nan
        return taken

    # Sharing and recording

    def compute_once(self, function: Callable[..., Any], *args: Any) -> Any:
        """Return function(case, *args), computed once; the inputs it used are recorded on every call."""
        key = (function, args)
        if key not in self._shared:
            with self.collect_uses() as used:
                result = function(self, *args)
            self._shared[key] = (result, frozenset(used))
        result, uses = self._shared[key]
        self.record_uses(uses)
        return result

    def record_uses(self, uses: Iterable[InputUse]) -> None:
        """Add inputs to the innermost record."""
        if self._records:
            self._records[-1].update(uses)

    @contextmanager
    def collect_uses(self) -> Iterator[set[InputUse]]:
        """Collect the inputs that are used inside the block."""
        used: set[InputUse] = set()
        self._records.append(used)
        try:
            yield used
        finally:
            self._records.pop()

    def _record_use(self, use: InputUse) -> None:
        if self._records:
            self._records[-1].add(use)

    def find_factor(self, use: InputUse) -> int:
        """Place of the factor that moves an input, among `factors`."""
        kind = levels.LEVEL_INPUTS[use[0]] if use[0] in levels.LEVEL_INPUTS else INPUTS[use[0]]
        return self._place[kind.factor]

    def find_active_columns(self, uses: set[InputUse]) -> NDArray[np.intp]:
        """Columns in which any of these inputs leaves its nominal value; column 0 is always there."""
        active = {0}
        for use in uses if self.spans else ():
            found = (
                self.resolve_level_input(use[0])
                if use[0] in levels.LEVEL_INPUTS
                else self.resolve_input(use)
            )
            if any(each.low != each.high for each in found):
                place = 1 + 2 * self.find_factor(use)
                active |= {place, place + 1}
        return np.array(sorted(active), dtype=np.intp)
