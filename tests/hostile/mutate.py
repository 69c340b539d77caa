"""Files as accidents and unfriendly hands leave them: one sound text, changed in a way that a seed decides.

* mutant     a changed file and the names of what was done to it
* WAYS       every change, by name
* HOSTILE    what is written in place of a value

Nothing here depends on the clock or on a hash seed, so a seed that fails once fails always.
"""

import random
import re
from collections.abc import Callable, Sequence

Way = Callable[[bytes, random.Random, Sequence[bytes]], bytes]
"""The file, the dice and sound files of the same kind."""

HOSTILE = (
    *("", "~", "null", "true", "yes", "[]", "{}", "- x", "[[[]]]", "{a: {b: {c: 1}}}", "0", "-0", "-1"),
    *("1e308", "1e309", "-1e999", "1e-320", "9" * 400, "0." + "0" * 50 + "1", "1_000", "0x1F", "1e1e1"),
    *(".nan", ".NaN", ".inf", "-.inf", "nan kg", "inf km", "NaN", "Infinity", "-Infinity W", "1e400 kg"),
    *("!!python/object/apply:os.system [id]", "!!binary aGk=", "!!set {a}", "!!str 1", "! x", "!<tag:x> 1"),
    *("&a x", "*a", "&a [*a]", "<<: {a: 1}", "{<<: *a}", "? x", "? [a, b]", "|", ">-", "|2\n x", "%TAG"),
    *("---", "...", "--- !!x", "# gone", "'", '"', "'it''s", '"\\x00"', '"\\ud800"', '"\\u202e"', "`", "@"),
    *("26.1 kg 3", "26,1 kg", "1/2 km", "½ mi", "5-6 km", "26.1", "kg", "26.1 kilo", "26.1 km", "١٢ kg"),
    *("12 V", "3 A", "4 Ah", "5 Wh", "6 W", "7 N·m", "8 km/h", "9 s", "10 mm", "11 bar", "12 °C", "13 %"),
    *("2026-02-30", "0001-01-01", "9999-12-31", "2026-1-1", "01.02.2026", "2026-10-04T00:00:00Z", "12:30"),
    *("\u202eevil", "a\u0300" * 40, "\U0001f468\u200d\U0001f469", "ﬁ", "ⅷ", "\ufeff", "\u00a0", "\u2028"),
    *("{{ 7*7 }}", "{% raw %}", "</script>", "=1+1", "../../etc/passwd", "__proto__", "a: b: c", "x" * 5000),
    *("[" * 60, "{a: " * 30, "[" + "1," * 400 + "]", "a.b.c." * 50, "https://user:pw@evil.test/", "//x"),
)  # fmt: skip
"""Words that end up where a value is wanted. YAML 1.2.2 (6.8 tags, 7.1 aliases, 10.2 spellings of numbers); IEEE 754 (the
largest double); Unicode Technical Report 36 (signs that turn text round); CWE-776 (entities that refer to each other)."""
UNITS = (
    *(
        "kg",
        "lb",
        "g",
        "oz",
        "km",
        "mi",
        "mm",
        "in",
        "km/h",
        "mph",
        "m/s",
        "W",
        "kW",
        "Wh",
        "kWh",
        "J",
    ),
    *(
        "V",
        "A",
        "mA",
        "Ah",
        "mAh",
        "N·m",
        "lb·ft",
        "bar",
        "psi",
        "°C",
        "°F",
        "s",
        "ms",
        "h",
        "rpm",
        "%",
    ),
    *("EUR", "kgs", "Nm", "nautical miles", ""),
)
_PAIR = re.compile(
    r"(?P<lead>(?:^|[{,])[ \t]*(?:- +)?[{]?)(?P<key>[\w .-]+?)(?P<colon>:[ \t]+)(?P<value>[^,{}\n#]+)",
    re.MULTILINE,
)
"""A key and its value, on a line of their own or in brackets."""
_QUANTITY = re.compile(r"(?<![\w.-])(\d+(?:\.\d+)?)( ?)([A-Za-z%°][\w·/%°]*)?")


def mutant(
    sound: bytes, dice: random.Random, others: Sequence[bytes], ways: Sequence[str] = ()
) -> tuple[bytes, tuple[str, ...]]:
    """`sound` after one to four of `ways` (all of them when none is named), and which; often only one.

    `others` lend lines, keys and values.
    """
    count = dice.choice((1, 1, 1, 2, 2, 3, 4))
    names = tuple(dice.choice(ways or tuple(WAYS)) for _ in range(count))
    raw = sound
    for name in names:
        raw = WAYS[name](raw, dice, others)
    return raw, names


def by_bytes(change: Callable[[bytearray, int, random.Random], None]) -> Way:
    """A change at a place that the dice choose."""

    def way(raw: bytes, dice: random.Random, others: Sequence[bytes]) -> bytes:
        found = bytearray(raw)
        change(found, dice.randrange(len(found) + 1), dice)
        return bytes(found)

    return way


def by_lines(change: Callable[[list[str], int, random.Random], None]) -> Way:
    """A change to the list of lines, of which one is chosen; a line that says something, when there is one."""

    def way(raw: bytes, dice: random.Random, others: Sequence[bytes]) -> bytes:
        lines = raw.decode("utf-8", "surrogateescape").split("\n")
        said = [at for at, line in enumerate(lines) if line.strip() and line.strip()[0] != "#"]
        change(lines, dice.choice(said or range(len(lines))), dice)
        return "\n".join(lines).encode("utf-8", "surrogateescape")

    return way


def by_pairs(change: Callable[[re.Match[str], random.Random, list[re.Match[str]]], str]) -> Way:
    """A key and its value written anew; the change also sees every pair of another sound file."""

    def way(raw: bytes, dice: random.Random, others: Sequence[bytes]) -> bytes:
        text = raw.decode("utf-8", "surrogateescape")
        pairs = list(_PAIR.finditer(text))
        if not pairs:
            return raw
        lent = list(_PAIR.finditer(dice.choice(others).decode("utf-8", "replace")))
        pair = dice.choice(pairs)
        text = text[: pair.start()] + change(pair, dice, lent) + text[pair.end() :]
        return text.encode("utf-8", "surrogateescape")

    return way


def _flip(raw: bytearray, at: int, dice: random.Random) -> None:
    if raw:
        raw[at % len(raw)] ^= 1 << dice.randrange(8)


def _change(raw: bytearray, at: int, dice: random.Random) -> None:
    raw[at : at + 1] = bytes([dice.randrange(256)])


def _sign(raw: bytearray, at: int, dice: random.Random) -> None:
    raw[at : at + dice.randrange(2)] = dice.choice(":-,.[]{}#&*!|>'\"%@`~ \t\n?0=<é").encode()


def _cut(raw: bytearray, at: int, dice: random.Random) -> None:
    del raw[at : at + dice.choice((1, 1, 2, 5, 40))]


def _truncate(raw: bytearray, at: int, dice: random.Random) -> None:
    del raw[at:]


def _nul(raw: bytearray, at: int, dice: random.Random) -> None:
    raw[at:at] = b"\0" * dice.choice((1, 1, 100))


def _move(lines: list[str], at: int, dice: random.Random) -> None:
    lines.insert(dice.randrange(len(lines)), lines.pop(at))


def _repeat(lines: list[str], at: int, dice: random.Random) -> None:
    lines[at:at] = [lines[at]] * dice.choice((1, 1, 2, 50))


def _remove(lines: list[str], at: int, dice: random.Random) -> None:
    del lines[at : at + dice.choice((1, 1, 1, 3, 10))]


def _indent(lines: list[str], at: int, dice: random.Random) -> None:
    for each in range(at, min(len(lines), at + dice.choice((1, 1, 4)))):
        lines[each] = dice.choice((" ", "  ", "    ", "\t", "\u00a0")) + lines[each]


def _outdent(lines: list[str], at: int, dice: random.Random) -> None:
    for each in range(at, min(len(lines), at + dice.choice((1, 1, 4)))):
        lines[each] = lines[each].removeprefix(" " * dice.choice((1, 2, 4)))


def _join(lines: list[str], at: int, dice: random.Random) -> None:
    lines[at : at + 2] = [dice.choice(("", " ", ", ")).join(lines[at : at + 2])]


def _split(lines: list[str], at: int, dice: random.Random) -> None:
    where = dice.randrange(len(lines[at]) + 1)
    lines[at : at + 1] = [lines[at][:where], dice.choice(("", "  ", "- ")) + lines[at][where:]]


def _misspell(pair: re.Match[str], dice: random.Random, lent: list[re.Match[str]]) -> str:
    key, at = pair["key"], dice.randrange(len(pair["key"]))
    wrong = dice.choice(
        (
            key[:at] + key[at + 1 :],
            key[:at] + key[at] + key[at:],
            key.upper(),
            key + "s",
            f'"{key}"',
        )
    )
    return pair["lead"] + wrong + pair["colon"] + pair["value"]


def _other_key(pair: re.Match[str], dice: random.Random, lent: list[re.Match[str]]) -> str:
    key = dice.choice(lent)["key"] if lent else "x"
    return pair["lead"] + key + pair["colon"] + pair["value"]


def _hostile(pair: re.Match[str], dice: random.Random, lent: list[re.Match[str]]) -> str:
    return pair["lead"] + pair["key"] + pair["colon"] + dice.choice(HOSTILE)


def _other_value(pair: re.Match[str], dice: random.Random, lent: list[re.Match[str]]) -> str:
    value = dice.choice(lent)["value"] if lent else "x"
    return pair["lead"] + pair["key"] + pair["colon"] + value


def _same_key(pair: re.Match[str], dice: random.Random, lent: list[re.Match[str]]) -> str:
    """What another file says under the same key: often a sound file again, of a bike that nobody makes."""
    values = [other["value"] for other in lent if other["key"] == pair["key"]]
    return pair["lead"] + pair["key"] + pair["colon"] + dice.choice(values or [pair["value"]])


def _unit(pair: re.Match[str], dice: random.Random, lent: list[re.Match[str]]) -> str:
    value = _QUANTITY.sub(lambda one: f"{one[1]} {dice.choice(UNITS)}", pair["value"], count=1)
    return pair["lead"] + pair["key"] + pair["colon"] + value


def _size(pair: re.Match[str], dice: random.Random, lent: list[re.Match[str]]) -> str:
    """The number larger or smaller, by a little or by many powers of ten."""
    factor = dice.choice((0.5, 0.8, 0.95, 1.05, 1.2, 2.0, 10.0, 0.1, 1e3, 1e-3, 1e9, 1e-9, -1.0))

    def scaled(one: re.Match[str]) -> str:
        return f"{float(one[1]) * factor:.6g}{one[2]}{one[3] or ''}"

    value = _QUANTITY.sub(scaled, pair["value"], count=1)
    return pair["lead"] + pair["key"] + pair["colon"] + value


WAYS: dict[str, Way] = {
    "flip a bit": by_bytes(_flip),
    "change a byte": by_bytes(_change),
    "put a sign in": by_bytes(_sign),
    "cut bytes out": by_bytes(_cut),
    "truncate": by_bytes(_truncate),
    "put NUL in": by_bytes(_nul),
    "move a line": by_lines(_move),
    "repeat a line": by_lines(_repeat),
    "remove lines": by_lines(_remove),
    "indent": by_lines(_indent),
    "outdent": by_lines(_outdent),
    "join lines": by_lines(_join),
    "split a line": by_lines(_split),
    "misspell a key": by_pairs(_misspell),
    "another key": by_pairs(_other_key),
    "a hostile value": by_pairs(_hostile),
    "another value": by_pairs(_other_value),
    "the value of another file": by_pairs(_same_key),
    "another unit": by_pairs(_unit),
    "another size": by_pairs(_size),
    "CRLF": lambda raw, dice, others: raw.replace(b"\n", b"\r\n"),
    "CR": lambda raw, dice, others: raw.replace(b"\n", b"\r"),
    "byte order mark": lambda raw, dice, others: b"\xef\xbb\xbf" * dice.choice((1, 2)) + raw,
    "another encoding": lambda raw, dice, others: raw.decode("utf-8", "replace").encode(
        dice.choice(("utf-16", "utf-32", "cp1252", "utf-7")), "replace"
    ),
    "glue": lambda raw, dice, others: (
        raw + dice.choice((b"", b"\n", b"---\n", b"...\n")) + dice.choice(others)
    ),
    "twice": lambda raw, dice, others: raw + raw,
    "the end of another": lambda raw, dice, others: (
        raw[: dice.randrange(len(raw) + 1)] + dice.choice(others)[-dice.randrange(1, 2000) :]
    ),
}
SOUND_AGAIN = ("the value of another file", "another size", "remove lines", "another unit")
"""Those that often leave a file sound, though it says something else."""
