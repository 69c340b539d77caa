"""A reader's answers resolved to masses, routes and regions, and values of a bike under them. SI; None means not known."""

from generator.figures.chooser.model import (
    GRADE_STEP,
    RANGE_STEP,
    Candidate,
    Chooser,
    ChooserAnswers,
    LawRegion,
)


class ResolvedAnswers:
    """Answers looked up once in the chooser's data, to apply to every bike."""

    def __init__(self, chooser: Chooser, answers: ChooserAnswers) -> None:
        self.answers = answers
        self.trip = float(answers.trip) * 1000.0
        """Length of a trip. [m]"""
        self.budget = float(answers.budget) if answers.budget else None
        self.load = chooser.loads[answers.load]
        """Mass of the load. [kg]"""
        self.route = next(each for each in chooser.routes if each.id == answers.hills)
        self._rider = next(each for each in chooser.riders if each.id == answers.work)
        self._whole = answers.load in chooser.whole
        self._region = next((each for each in chooser.regions if each.id == answers.law), None)
        self._rides = (answers.work, answers.hills, answers.load)
        self._climbs = (answers.work, answers.load)

    @property
    def region(self) -> LawRegion:
        """Region whose law holds. Raises KeyError if the reader left the law out."""
        if self._region is None:
            raise KeyError(self.answers.law)
        return self._region

    def find_range(self, bike: Candidate) -> float | None:
        """Range with the reader's legs, road and load. [m]"""
        cell = bike.ranges.get(self._rides)
        return None if cell is None else cell * RANGE_STEP

    def find_grade(self, bike: Candidate) -> float | None:
        """Steepest grade held with the reader's legs and load. [-]"""
        cell = bike.grades.get(self._climbs)
        return None if cell is None else cell * GRADE_STEP

    def add_masses(self, bike: Candidate) -> float | None:
        """Mass of bike, rider and load. [kg]"""
        return None if bike.mass is None else bike.mass + self._rider.mass + self.load

    def find_rack_load(self, bike: Candidate) -> float | None:
        """Rated load of the places that may take the reader's load. [kg]"""
        return bike.best_place_load if self._whole else bike.all_places_load
