"""From the parser's events to values, places and problems, in one pass without recursion.

Refused: anchors, aliases, merge keys, tags, doubled keys, second documents, keys that are not plain
words. A text with anchors or aliases gives no value, only its YAML problems. Depth and number of values are limited.
"""

import re
from dataclasses import dataclass, field
from typing import Any

import yaml

from generator.specs.problems import Problem
from generator.specs.yaml.advice import explain_yaml_error
from generator.specs.yaml.lines import explain_missing_colon
from generator.specs.yaml.located import Keys, ValuePlace, quote_value
from generator.specs.yaml.scalars import ScalarError, parse_scalar

DEEPEST = 20
"""Levels of nesting."""
MOST_VALUES = 20_000
REFUSED = -1
"""Part of the path of every value under a refused key; no list has this index."""
LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
UNPRINTABLE = re.compile(
    r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\ud800-\udfff\ufffe\uffff"
    r"\u061c\u180e\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb"
    r"\ue000-\uf8ff\U000e0000-\U000e007f]"
)
"""Control characters; invisible ones that reverse the order of others, so that a name reads otherwise than it is written
(Unicode Technical Report 36, 2.7 "Bidirectional Text Spoofing"); and private ones, which live text uses for its marks.
Joiners are allowed: some scripts and all families of emoji need them."""
KEY_AND_BRACKET = re.compile(r"([A-Za-z_][\w.-]*)(?: +|:)([\[{].*)")

BuiltMapping = tuple[dict[str, Any] | None, dict[Keys, ValuePlace], dict[Keys, str], list[Problem]]


class _UnreadableError(Exception):
    """Nothing sensible can be read past this point; the problem is already recorded."""


@dataclass
class _OpenCollection:
    """A list or mapping that is still open."""

    value: Any
    keys: Keys
    inline: bool
    """Is it written in brackets?"""
    key: str | None = None
    """The key that waits for its value."""
    refused: bool = False
    """Is the waiting key a repeat or a merge, so that its value is dropped?"""
    lines: dict[str, int] = field(default_factory=dict)
    """Line of each key seen."""


def build_mapping(text: str, file: str, first_line: int) -> BuiltMapping:
    """Value, places, texts and problems of a YAML text; the value is None when it has none."""
    builder = _MappingBuilder(file, first_line)
    loader = LOADER(text)
    try:
        while (event := loader.get_event()) is not None:
            builder.take_event(event)
    except yaml.YAMLError as error:
        broken = explain_yaml_error(error, text, file, first_line, LOADER)
        # problems from there on come of the same mistake
        before = [each for each in builder.problems if each.line < broken.line]
        return None, {}, {}, [*before, broken]
    except _UnreadableError:
        return None, {}, {}, builder.problems
    finally:
        loader.dispose()
    return builder.result()


class _MappingBuilder:
    """Builds values, places, texts and problems from the parser's events, one at a time."""

    def __init__(self, file: str, first_line: int) -> None:
        self.file = file
        self.offset = first_line
        self.problems: list[Problem] = []
        self.places: dict[Keys, ValuePlace] = {(): ValuePlace((first_line, 1), (first_line, 1))}
        self.texts: dict[Keys, str] = {}
        self.stack: list[_OpenCollection] = []
        self.top: Any = None
        self.documents = 0
        self.repeats: set[int] = set()
        self.values = 0

    def take_event(self, event: Any) -> None:
        if isinstance(event, yaml.ScalarEvent):
            self._take_scalar(event)
        elif isinstance(event, (yaml.MappingStartEvent, yaml.SequenceStartEvent)):
            self._open_collection(event, {} if isinstance(event, yaml.MappingStartEvent) else [])
        elif isinstance(event, (yaml.MappingEndEvent, yaml.SequenceEndEvent)):
            self.stack.pop()
        elif isinstance(event, yaml.AliasEvent):
            self._add_repeat(
                event, f"'*{event.anchor}' repeats a value from elsewhere", "Write it out"
            )
            self._attach_value(None, event)
        elif isinstance(event, yaml.DocumentStartEvent):
            self.documents += 1
            if self.documents > 1:
                self._add_problem(event, "a second document begins here", "Delete the line '---'")
                raise _UnreadableError

    def result(self) -> BuiltMapping:
        if self.repeats:
            return None, {}, {}, self.problems  # refused values would seem to be missing
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

    def _take_scalar(self, event: Any) -> None:
        self._refuse_tags(event)
        text: str = event.value
        if event.style == '"' and (bad := UNPRINTABLE.search(text)):
            self._add_problem(
                event, f"this text holds the character U+{ord(bad[0]):04X}", "Remove it"
            )
            text = UNPRINTABLE.sub("", text)
        if self._wants_key():
            self._take_key(text, event)
            return
        value: Any = text
        if not event.style:
            try:
                value = parse_scalar(text)
            except ScalarError as error:
                self._add_problem(event, error.what, error.mend)
                value = None
        self._attach_value(value, event, text)

    def _take_key(self, text: str, event: Any) -> None:
        frame = self.stack[-1]
        line, _ = self._find_place(event)
        merges = text == "<<" and not event.style
        frame.refused = merges or text in frame.lines
        if merges:
            self._add_problem(
                event, "'<<' would merge another mapping in", "Write its keys out here"
            )
        elif text in frame.lines:
            first = frame.lines[text]
            what = f"the key {quote_value(text)} stands twice, on line {first} and on line {line}"
            mend = "Keep the line that is right and delete the other"
            if isinstance(frame.value.get(text), dict):
                mend = f"Move the lines of the second '{text}:' under the first"
                mend += ", and delete the second"
            self._add_problem(event, what, mend)
        elif not event.style and (match := KEY_AND_BRACKET.match(text)):
            what = (
                f"a colon with a space is missing between {quote_value(match[1])} and its bracket"
            )
            self._add_problem(event, what, f"Write {quote_value(f'{match[1]}: {match[2]}: …')}")
        frame.lines.setdefault(text, line)
        frame.key = text
        if not frame.refused:
            keys = (*frame.keys, text)
            self.places[keys] = ValuePlace(self._find_place(event), self._find_place(event))

    def _open_collection(self, event: Any, value: Any) -> None:
        if self._wants_key():
            what = "a bracket stands where a key is wanted"
            self._add_problem(event, what, "Put text that begins with { or [ in quotes")
            raise _UnreadableError
        self._refuse_tags(event)
        if len(self.stack) >= DEEPEST:
            what = f"the nesting goes deeper than {DEEPEST} levels"
            self._add_problem(event, what, "Close the brackets, or check the indentation")
            raise _UnreadableError
        keys = self._attach_value(value, event)
        self.stack.append(_OpenCollection(value, keys, bool(event.flow_style)))

    def _attach_value(self, value: Any, event: Any, text: str | None = None) -> Keys:
        """Put a value into the list or mapping that is open; return its path."""
        self.values += 1
        if self.values > MOST_VALUES:
            what = f"the file holds more than {MOST_VALUES} values"
            self._add_problem(event, what, "Keep one subject in one file")
            raise _UnreadableError
        if not self.stack:
            self.top = value
            return ()
        if self._wants_key():
            self._add_problem(event, "a key is missing here", "Write key: value")
            raise _UnreadableError
        frame, at = self.stack[-1], self._find_place(event)
        if isinstance(frame.value, list):
            keys: Keys = (*frame.keys, len(frame.value))
            frame.value.append(value)
            self.places[keys] = ValuePlace(at, at)
        else:
            key, frame.key = frame.key or "", None
            keys = (*frame.keys, key)
            if frame.refused:
                return (*keys, REFUSED)  # reported already
            lead = at[1] - self.places[keys].key[1] - len(key)
            if text == "" and value is None and frame.inline and lead == 0:
                self._add_problem(event, *_explain_missing_value(key))
                return keys
            frame.value[key] = value
            self.places[keys] = ValuePlace(self.places[keys].key, at)
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
            self._add_repeat(event, f"'&{event.anchor}' marks a value for repeating", mend)
        if event.tag is not None:
            mend = "Delete it; text that begins with ! goes in quotes"
            self._add_problem(
                event, f"{quote_value(event.tag)} is a YAML tag, which is not used here", mend
            )

    def _add_repeat(self, event: Any, what: str, mend: str) -> None:
        """Record a repeated value, once for each line."""
        line, _ = self._find_place(event)
        if line not in self.repeats:
            self.repeats.add(line)
            self._add_problem(event, what, mend)

    def _find_place(self, event: Any) -> tuple[int, int]:
        mark = event.start_mark
        return mark.line + self.offset, mark.column + 1

    def _add_problem(self, event: Any, what: str, mend: str) -> None:
        line, column = self._find_place(event)
        self.problems.append(Problem(self.file, line, column, what, mend))


def _explain_missing_value(key: str) -> tuple[str, str]:
    """What is wrong and what would be right, for a key inside { } that has no value."""
    commas = "put text that holds commas in quotes"
    mistake = explain_missing_colon(key)
    if mistake and ":" in key:
        return mistake
    if mistake and any(sign.isdigit() for sign in key):
        return mistake[0], f"{mistake[1]}, or {commas}"
    what = f"{quote_value(key)} has no value; inside {{ }} a comma ends the text before it"
    return what, commas.capitalize()
