"""Details of figures, encoded and decoded again; and bytes that hold none."""

import random
import zlib

import numpy as np
import pytest

from generator.figures.model import FirstInputUse, UsedInput, WeighedInput, Working
from generator.figures.table.details import Details, Either, Renamed
from generator.figures.table.tabulate import compute_bikes, tabulate
from generator.figures.table.workings import StoredWorking, Workings
from generator.specs.encoding import decode, encode
from tests.figures import demo

SLUGS = ("pellimor-quarl", "lumtarn-izzul", "gromblo-drusk")
"""One with own rides, one in a light file, one whose maker states almost nothing."""

REFUSED = (ValueError, zlib.error)
"""What bytes that hold no details raise."""
MASS = UsedInput("bike.mass", "Mass", 24.5, "kg", 24.0, 25.0, "claimed", "24.5 kg", "the maker")
POWER = MASS._replace(id="motor.power", title="Power", value=250.0, unit="W")
WORKINGS = Workings(
    [MASS, POWER],
    {
        "one": StoredWorking(((0, 0.25), (1, 0.0)), ("a = b",)),
        "two": StoredWorking(((1, 0.75), (0, 0.125)), ()),
        "three": StoredWorking((), ()),
    },
)
CURVES = {"hills": [{"level": "Full", "grade": 0.1, "speed": 3.0, "low": None}], "none": []}
SMALL = Details(WORKINGS, CURVES, True, None)


@pytest.fixture(scope="module")
def encoded() -> dict[str, bytes]:
    """With everything that pages need."""
    found = compute_bikes(demo.some(*SLUGS), demo.content(), for_pages=True)
    return {computed.slug: details for computed, details in found}


def test_small_details_come_back() -> None:
    """Inputs that figures share keep the part that each plays."""
    back = Details.decode(SMALL.encode())

    assert back == SMALL
    assert dict(back.workings) == {
        "one": Working((WeighedInput(MASS, 0.25), WeighedInput(POWER)), ("a = b",)),
        "two": Working((WeighedInput(POWER, 0.75), WeighedInput(MASS, 0.125))),
        "three": Working(),
    }
    assert back.workings.first_uses() == {
        "bike.mass": FirstInputUse("one", MASS),
        "motor.power": FirstInputUse("one", POWER),
    }


def test_details_of_the_demo_come_back(encoded: dict[str, bytes]) -> None:
    """Each working, each row of a chart, and the table behind "your ride" to the last bit."""
    whole = tabulate(demo.some(*SLUGS), demo.content()).details
    for slug, data in encoded.items():
        back = Details.decode(data)

        assert dict(back.workings) == dict(whole.workings(slug))
        assert list(back.workings) == list(whole.workings(slug))
        assert back.curves
        for name, rows in back.curves.items():
            assert rows == whole.curve(slug, name), name
        assert back.has_ride_grid
        one, other = back.ride_grid, whole.ride_grid(slug)
        assert (one is None) == (other is None)
        if one and other:
            for field, value in vars(other).items():
                if isinstance(value, np.ndarray):
                    np.testing.assert_array_equal(getattr(one, field), value)
                    assert getattr(one, field).dtype == value.dtype
                else:
                    assert getattr(one, field) == value
        assert back.encode() == data
    assert any(Details.decode(data).ride_grid for data in encoded.values())


def test_details_without_a_ride_grid_say_so() -> None:
    """One that was not computed is computed on demand; one that the bike lacks an input for is not."""
    (found,) = compute_bikes(demo.some(SLUGS[0]), demo.content())
    back = Details.decode(found[1])

    assert (back.has_ride_grid, back.ride_grid) == (False, None)
    assert tabulate(demo.some(SLUGS[0]), demo.content()).ride_grid(SLUGS[0]) is not None


def test_a_bike_without_details_has_no_workings() -> None:
    assert dict(tabulate((), demo.content()).details.workings("nobody")) == {}


def test_bytes_that_were_cut_short_hold_nothing(encoded: dict[str, bytes]) -> None:
    """Wherever they were cut: the whole, and what is compressed within."""
    data = encoded[SLUGS[2]]
    for length in (*range(0, len(data), 97), len(data) - 1):
        with pytest.raises(REFUSED):
            Details.decode(data[:length])
    inner = zlib.decompress(SMALL.encode())
    for length in range(len(inner)):
        with pytest.raises(REFUSED):
            Details.decode(zlib.compress(inner[:length]))


def test_bytes_that_were_changed_hold_nothing(encoded: dict[str, bytes]) -> None:
    """The check sum of the compression sees it."""
    chance = random.Random(1)
    data = encoded[SLUGS[2]]
    for _ in range(300):
        place = chance.randrange(2, len(data))
        other = data[:place] + bytes([data[place] ^ (1 << chance.randrange(8))]) + data[place + 1 :]
        with pytest.raises(REFUSED):
            Details.decode(other)


def test_bytes_that_others_wrote_are_details_or_refused(encoded: dict[str, bytes]) -> None:
    """With a right check sum too: nothing but a value of this type comes, or a ValueError; never another error."""
    chance = random.Random(2)
    refused = 0
    for inner in (zlib.decompress(data) for data in (encoded[SLUGS[0]], SMALL.encode())):
        for _ in range(500):
            place = chance.randrange(len(inner))
            other = inner[:place] + bytes([chance.randrange(256)]) + inner[place + 1 :]
            try:
                assert isinstance(Details.decode(zlib.compress(other, 1)), Details)
            except ValueError:
                refused += 1
    assert refused > 200


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"\x80\x04cos\nsystem\n(S'false'\ntR.",  # what another way of keeping values would run
        encode({}),
        encode(["inputs", "workings", "curves", False, None]),
        encode([[], {}, {}, "yes", None]),
        encode([[], {}, {}, True, {"logs": ["O", [1], b"\0" * 8]}]),
        b"\x95\x90\x80\x81\xa1a" + b"\x91" * 100_000,
        b"\xdd\xff\xff\xff\xff",  # a list of four thousand million values
    ],
)
def test_what_is_no_details_is_refused(data: bytes) -> None:
    with pytest.raises(REFUSED):
        Details.decode(zlib.compress(data))


@pytest.mark.parametrize("dtype", ["O", "object", "no type", "f8", "<U1000000000"])
def test_an_array_of_a_wrong_type_or_size_is_refused(dtype: str) -> None:
    """Arrays of objects would hold addresses of memory."""
    with pytest.raises(REFUSED):
        decode(np.ndarray, encode([dtype, [3], b"\0" * 8]))


def test_details_under_other_slugs() -> None:
    whole = tabulate(demo.some(*SLUGS), demo.content()).details
    one, other, third = SLUGS
    renamed = Renamed(whole, {"new": one})
    either = Either(frozenset({"new"}), renamed, whole)

    assert dict(renamed.workings("new")) == dict(whole.workings(one))
    assert renamed.curve("new", "range.by_level") == whole.curve(one, "range.by_level")
    assert dict(renamed.workings(other)) == dict(whole.workings(other))
    assert dict(either.workings("new")) == dict(whole.workings(one))
    assert dict(either.workings(third)) == dict(whole.workings(third))
    assert either.curve(other, "range.by_level") == whole.curve(other, "range.by_level")
