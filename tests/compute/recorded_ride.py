"""A recorded hilly ride with a crank power meter, from an example file of the package sweat.

The file is not in the repository: it is fetched once, from the package index that pip uses, into
pytest's cache. Only what physics needs is read, never positions, dates or heart rate.
"""

import hashlib
import os
import subprocess
import sys
import zipfile
from pathlib import Path
from typing import NamedTuple

import fitdecode
import numpy as np

PACKAGE = "sweat==0.25.0"
MEMBER = "sweat/examples/data/4078723797.fit"
SHA256 = "1a9f00c35e23165872988aa3d2de5b77e832dec086217683d49d5b3d56ad4473"

FIELDS = ("distance", "enhanced_altitude", "enhanced_speed", "power", "cadence", "temperature")


class Ride(NamedTuple):
    """One value a second, each of shape (seconds,)."""

    distance: np.ndarray
    """Distance from the start. [m]"""
    altitude: np.ndarray
    """[m]"""
    speed: np.ndarray
    """[m/s]"""
    power: np.ndarray
    """Power at the crank. [W]"""
    cadence: np.ndarray
    """[rpm]"""
    temperature: np.ndarray
    """[°C]"""


class NotFetchedError(Exception):
    """The package with the ride could not be fetched."""


def fetch(folder: Path) -> Path:
    """Return the ride's file in `folder`, after fetching it if it is missing.

    The package itself is not installed, for it asks for old versions of others: its wheel is an
    archive, and one member is taken out.
    """
    file = folder / Path(MEMBER).name
    if not file.exists():
        command = [sys.executable, "-m", "pip", "download", "--quiet", "--no-deps"]
        command += ["--only-binary", ":all:", "--dest", str(folder), PACKAGE]
        # `.ci/run` lets pip ask no index; what comes here is checked by its own hash, and nothing of it is run.
        asking = {key: value for key, value in os.environ.items() if key != "PIP_NO_INDEX"}
        run = subprocess.run(command, capture_output=True, text=True, check=False, env=asking)
        if run.returncode:
            raise NotFetchedError(
                f"The recorded ride is an example file of {PACKAGE}, which pip could not download"
                f" into {folder}. Connect to a package index and run again.\n{run.stderr}"
            )
        (wheel,) = folder.glob("sweat-*.whl")
        with zipfile.ZipFile(wheel) as archive:
            file.write_bytes(archive.read(MEMBER))
        wheel.unlink()
    if hashlib.sha256(file.read_bytes()).hexdigest() != SHA256:
        raise NotFetchedError(f"{file} is not the ride that this test knows; delete it.")
    return file


def read(file: Path) -> Ride:
    """Read the values that physics needs from a ride's file."""
    with fitdecode.FitReader(file) as frames:
        rows = [
            [frame.get_value(name) for name in FIELDS]
            for frame in frames
            if isinstance(frame, fitdecode.FitDataMessage) and frame.name == "record"
        ]
    return Ride(*np.array(rows, dtype=float).T)
