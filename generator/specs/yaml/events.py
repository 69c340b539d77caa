"""From the parser's events to values, places and problems, in one pass without recursion.

Refused: anchors, aliases, merge keys, tags, doubled keys, second documents, keys that are not plain
words. A text with anchors or aliases gives no value, only the problems of its YAML. Depth and number of values are capped.
"""

import re
from dataclasses import dataclass, field
from typing import Any

import yaml

from generator.specs.problems import Problem
from generator.specs.yaml.advice import advice
from generator.specs.yaml.lines import colon_slip
from generator.specs.yaml.located import Keys, Place, shown
from generator.specs.yaml.scalars import ScalarError, resolve

DEEPEST = 20
"""Levels of nesting."""
MOST_VALUES = 20_000
REFUSED = -1
"""Stands in the path of whatever belongs to a doubled key; no list has such a place."""
LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
UNPRINTABLE = re.compile(
    r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\ud800-\udfff\ufffe\uffff"
    r"\u061c\u180e\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb"
    r"\ue000-\uf8ff\U000e0000-\U000e007f]"
)
"""Signs that no text file holds; signs that nobody sees and that turn the order of others around, by which a name can
read otherwise than it is written (Unicode Technical Report 36, 2.7 "Bidirectional Text Spoofing"); and private ones,
which live text keeps for its marks. Joiners stay: some scripts and all families of emoji need them."""
KEY_AND_BRACKET = re.compile(r"([A-Za-z_][\w.-]*)(?: +|:)([\[{].*)")

Built = tuple[dict[str, Any] | None, dict[Keys, Place], dict[Keys, str], list[Problem]]


class _UnreadableError(Exception):
    """Nothing sensible can be read past this point; the problem is already noted."""


@dataclass
class _Frame:
    """A list or mapping that is still open."""

    value: Any
    keys: Keys
    inline: bool
    """Written in brackets."""
    key: str | None = None
    """The key that waits for its value."""
    refused: bool = False
    """It stood before, or would merge, so its value is passed over."""
    lines: dict[str, int] = field(default_factory=dict)
    """Line of each key seen."""


def build(text: str, file: str, first_line: int) -> Built:
    """Values, places, texts and problems of a YAML text; the value is None when there is none."""
    builder = _Builder(file, first_line)
    loader = LOADER(text)
    try:
        while (event := loader.get_event()) is not None:
            builder.take(event)
    except yaml.YAMLError as error:
        broken = advice(error, text, file, first_line, LOADER)
        # what was noted from there on comes of the same slip, read inside out
        before = [each for each in builder.problems if each.line < broken.line]
        return None, {}, {}, [*before, broken]
    except _UnreadableError:
        return None, {}, {}, builder.problems
    finally:
        loader.dispose()
    return builder.result()


class _Builder:
    def __init__(self, file: str, first_line: int) -> None:
        self.file = file
        self.offset = first_line
        self.problems: list[Problem] = []
        self.places: dict[Keys, Place] = {(): Place((first_line, 1), (first_line, 1))}
        self.texts: dict[Keys, str] = {}
        self.stack: list[_Frame] = []
        self.top: Any = None
        self.documents = 0
        self.repeats: set[int] = set()
        self.values = 0

    def take(self, event: Any) -> None:
        if isinstance(event, yaml.ScalarEvent):
            self._scalar(event)
        elif isinstance(event, (yaml.MappingStartEvent, yaml.SequenceStartEvent)):
            self._open(event, {} if isinstance(event, yaml.MappingStartEvent) else [])
        elif isinstance(event, (yaml.MappingEndEvent, yaml.SequenceEndEvent)):
            self.stack.pop()
        elif isinstance(event, yaml.AliasEvent):
            self._note_repeat(
                event, f"'*{event.anchor}' repeats a value from elsewhere", "Write it out"
            )
            self._attach(None, event)
        elif isinstance(event, yaml.DocumentStartEvent):
            self.documents += 1
            if self.documents > 1:
                self._note(event, "a second document begins here", "Delete the line '---'")
                raise _UnreadableError

    def result(self) -> Built:
        if self.repeats:
            return None, {}, {}, self.problems  # what was refused would seem to be missing
        if isinstance(self.top, dict) and self.top:
            places = {keys: place for keys, place in self.places.items() if REFUSED not in keys}
            texts = {keys: text for keys, text in self.texts.items() if REFUSED not in keys}
            return self.top, places, texts, self.problems
        if not self.problems:
            line, mend = self.offset, "Write lines such as 'name: Fenno'"
            if self.top is None or self.top == {}:
                what = "the file is empty, or all of it is comment"
            else:
                kind = "a list" if isinstance(self.top, list) else "plain text"
                what = f"this is {kind}, where keys with values are wanted"
            self.problems.append(Problem(self.file, line, 1, what, mend))
        return None, {}, {}, self.problems

    def _scalar(self, event: Any) -> None:
        self._refuse_tags(event)
        text: str = event.value
        if event.style == '"' and (bad := UNPRINTABLE.search(text)):
            self._note(event, f"this text holds the character U+{ord(bad[0]):04X}", "Remove it")
            text = UNPRINTABLE.sub("", text)
        if self._wants_key():
            self._key(text, event)
            return
        value: Any = text
        if not event.style:
            try:
                value = resolve(text)
            except ScalarError as error:
                self._note(event, error.what, error.mend)
                value = None
        self._attach(value, event, text)

    def _key(self, text: str, event: Any) -> None:
        frame = self.stack[-1]
        line, _ = self._at(event)
        merges = text == "<<" and not event.style
        frame.refused = merges or text in frame.lines
        if merges:
            self._note(event, "'<<' would merge another mapping in", "Write its keys out here")
        elif text in frame.lines:
            first = frame.lines[text]
            what = f"the key {shown(text)} stands twice, on line {first} and on line {line}"
            mend = "Keep the line that is right and delete the other"
            if isinstance(frame.value.get(text), dict):
                mend = f"Move the lines of the second '{text}:' under the first"
                mend += ", and delete the second"
            self._note(event, what, mend)
        elif not event.style and (match := KEY_AND_BRACKET.match(text)):
            what = f"a colon with a space is missing between {shown(match[1])} and its bracket"
            self._note(event, what, f"Write {shown(f'{match[1]}: {match[2]}: …')}")
        frame.lines.setdefault(text, line)
        frame.key = text
        if not frame.refused:
            keys = (*frame.keys, text)
            self.places[keys] = Place(self._at(event), self._at(event))

    def _open(self, event: Any, value: Any) -> None:
        if self._wants_key():
            what = "a bracket stands where a key is wanted"
            self._note(event, what, "Put text that begins with { or [ in quotes")
            raise _UnreadableError
        self._refuse_tags(event)
        if len(self.stack) >= DEEPEST:
            what = f"the nesting goes deeper than {DEEPEST} levels"
            self._note(event, what, "Close the brackets, or check the indentation")
            raise _UnreadableError
        keys = self._attach(value, event)
        self.stack.append(_Frame(value, keys, bool(event.flow_style)))

    def _attach(self, value: Any, event: Any, text: str | None = None) -> Keys:
        """Put a value into the list or mapping that is open; its path."""
        self.values += 1
        if self.values > MOST_VALUES:
            what = f"the file holds more than {MOST_VALUES} values"
            self._note(event, what, "Keep one subject in one file")
            raise _UnreadableError
        if not self.stack:
            self.top = value
            return ()
        if self._wants_key():
            self._note(event, "a key is missing here", "Write key: value")
            raise _UnreadableError
        frame, at = self.stack[-1], self._at(event)
        if isinstance(frame.value, list):
            keys: Keys = (*frame.keys, len(frame.value))
            frame.value.append(value)
            self.places[keys] = Place(at, at)
        else:
            key, frame.key = frame.key or "", None
            keys = (*frame.keys, key)
            if frame.refused:
                return (*keys, REFUSED)  # noted already
            lead = at[1] - self.places[keys].key[1] - len(key)
            if text == "" and value is None and frame.inline and lead == 0:
                self._note(event, *_without_value(key))
                return keys
            frame.value[key] = value
            self.places[keys] = Place(self.places[keys].key, at)
        if text is not None:
            self.texts[keys] = text
        return keys

    def _wants_key(self) -> bool:
        return (
            bool(self.stack)
            and isinstance(self.stack[-1].value, dict)
            and (self.stack[-1].key is None)
        )

    def _refuse_tags(self, event: Any) -> None:
        if event.anchor is not None:
            mend = "Delete '&" + event.anchor + "', and write values out where they are wanted"
            self._note_repeat(event, f"'&{event.anchor}' marks a value for repeating", mend)
        if event.tag is not None:
            mend = "Delete it; text that begins with ! goes in quotes"
            self._note(event, f"{shown(event.tag)} is a YAML tag, which is not used here", mend)

    def _note_repeat(self, event: Any, what: str, mend: str) -> None:
        """One problem of this kind on a line is enough."""
        line, _ = self._at(event)
        if line not in self.repeats:
            self.repeats.add(line)
            self._note(event, what, mend)

    def _at(self, event: Any) -> tuple[int, int]:
        mark = event.start_mark
        return mark.line + self.offset, mark.column + 1

    def _note(self, event: Any, what: str, mend: str) -> None:
        line, column = self._at(event)
        self.problems.append(Problem(self.file, line, column, what, mend))


def _without_value(key: str) -> tuple[str, str]:
    """Problem and mend of a key inside { } that has no value."""
    commas = "put text that holds commas in quotes"
    slip = colon_slip(key)
    if slip and ":" in key:
        return slip
    if slip and any(sign.isdigit() for sign in key):
        return slip[0], f"{slip[1]}, or {commas}"
    what = f"{shown(key)} has no value; inside {{ }} a comma ends the text before it"
    return what, commas.capitalize()
