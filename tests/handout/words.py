"""A reader of English number words, written for the tests and independent of the code that makes them."""

import re

_SMALL = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen "
    "eighteen nineteen"
)
SMALL = {word: number for number, word in enumerate(_SMALL.split())}
TENS = {
    word: 10 * place
    for place, word in enumerate(
        ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"], start=2
    )
}


def value_of(words: str) -> float:
    """The number at the beginning of a phrase such as `about one hundred and five point two miles`."""
    sign, total, group, after = 1.0, 0.0, 0.0, ""
    money = re.fullmatch(r"(?:about )?([a-z -]+?) (?:euros?|dollars?|pounds?) ([a-z-]+)", words)
    if money and value_of(money[2]) < 100 and money[2].split("-")[0] in {**SMALL, **TENS}:
        return value_of(money[1]) + value_of(money[2]) / 100
    for word in words.replace("-", " ").split():
        if word in ("about", "and", "at", "least", "more", "than"):
            continue
        if word == "minus":
            sign = -1.0
        elif after or word == "point":
            if word in SMALL and after:
                after += str(SMALL[word])
            elif word == "point":
                after = "."
            else:
                break
        elif word in SMALL:
            group += SMALL[word]
        elif word in TENS:
            group += TENS[word]
        elif word == "hundred":
            group *= 100
        elif word in ("thousand", "million"):
            total += group * (1e3 if word == "thousand" else 1e6)
            group = 0.0
        else:
            break
    value = sign * (total + group + float(f"0{after or '.0'}"))
    return value / 100 if re.search(r"(?<!per) (?:cents?|pence)$", words) else value
