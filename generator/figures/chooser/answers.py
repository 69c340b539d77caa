"""What a reader's answers come to, and what they make of one bike. SI; None is not known."""

from generator.figures.chooser.model import CELL, GRADE_CELL, Answers, Candidate, Chooser, Region


class Asked:
    """Answers looked up once, to be put to every bike."""

    def __init__(self, chooser: Chooser, answers: Answers) -> None:
        self.answers = answers
        self.trip = float(answers.trip) * 1000.0
        """[m]"""
        self.budget = float(answers.budget) if answers.budget else None
        self.load = chooser.loads[answers.load]
        """[kg]"""
        self.road = next(each for each in chooser.roads if each.id == answers.hills)
        self._rider = next(each for each in chooser.people if each.id == answers.work)
        self._whole = answers.load in chooser.whole
        self._region = next((each for each in chooser.regions if each.id == answers.law), None)
        self._rides = (answers.work, answers.hills, answers.load)
        self._climbs = (answers.work, answers.load)

    @property
    def region(self) -> Region:
        """Whose law holds, where it is asked."""
        if self._region is None:
            raise KeyError(self.answers.law)
        return self._region

    def distance(self, bike: Candidate) -> float | None:
        """Range with the reader's legs, road and load. [m]"""
        cell = bike.ranges.get(self._rides)
        return None if cell is None else cell * CELL

    def grade(self, bike: Candidate) -> float | None:
        """Steepest grade held with the reader's legs and load. [-]"""
        cell = bike.grades.get(self._climbs)
        return None if cell is None else cell * GRADE_CELL

    def total(self, bike: Candidate) -> float | None:
        """Bike, rider and load. [kg]"""
        return None if bike.mass is None else bike.mass + self._rider.mass + self.load

    def racks(self, bike: Candidate) -> float | None:
        """What the bike's racks may take of the reader's load. [kg]"""
        return bike.place if self._whole else bike.places
