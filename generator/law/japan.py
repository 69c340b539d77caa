"""Japan's limit on the ratio of motor force to rider force, by speed."""

import numpy as np

from generator.law.conditions import KMH
from generator.law.model import Condition, ConditionAnswer, LegalInputs

SOURCE = (
    "Road Traffic Act Enforcement Ordinance (道路交通法施行規則), Art. 1-3,"
    " read in pages of the Tokyo police and a trade body"
)


def ratio_limit(speed, *, trailer=False):
    """Highest lawful ratio of motor force to rider force.

    Parameters
    ----------
    speed : float or array, shape (...)
        [m s⁻¹]
    trailer : bool or array of bool, default False
        For a bicycle of three or four wheels that tows a trailer. [-]

    Returns
    -------
    array, shape (...)
        Full up to 10 km/h, falling evenly to 0 at 24 km/h. [-]

    References
    ----------
    .. [1] Road Traffic Act Enforcement Ordinance of Japan, Art. 1-3.
    """
    full = np.where(trailer, 3.0, 2.0)
    km_h = np.divide(speed, KMH)
    return full * np.clip((24.0 - km_h) / 14.0, 0.0, 1.0)


def ratio_limit_before_2008(speed):
    """Highest lawful ratio of motor force to rider force until November 2008, still quoted today.

    Parameters
    ----------
    speed : float or array, shape (...)
        [m s⁻¹]

    Returns
    -------
    array, shape (...)
        1 up to 15 km/h, falling evenly to 0 at 24 km/h. [-]
    """
    return np.clip((24.0 - np.divide(speed, KMH)) / 9.0, 0.0, 1.0)


def ratios_within(limit) -> Condition:
    """The condition that every stated ratio is within `limit`, a function of speed."""

    def condition(inputs: LegalInputs) -> ConditionAnswer:
        if not inputs.assist_ratios:
            return ConditionAnswer(None, ("assist_ratios",))
        speeds, ratios = np.transpose(inputs.assist_ratios)
        return ConditionAnswer(bool(np.all(ratios <= limit(speeds) + 1e-9)))

    return condition
