"""Spoiled inputs from a seed: texts cut, doubled, swapped and salted with what parsers stumble over."""

from __future__ import annotations

import random

SALT = [
    *(
        "{",
        "}",
        "[",
        "]",
        ":",
        ": ",
        "- ",
        "? ",
        "|\n",
        ">-\n",
        "&a ",
        "*a",
        "!!str ",
        "!x ",
        "<<: ",
        "#",
        "'",
        '"',
        "\\",
    ),
    *(
        "\t",
        "\r",
        "\r\n",
        "\n",
        "\n\n",
        "\ufeff",
        "\x85",
        "\u2028",
        "\ue0f1",
        "\u202e",
        "\x1b[31m",
        "\x00",
        "\ud7ff",
        "é",
    ),
    *("---\n", "...\n", "%YAML 1.1\n", "~", "null", ".inf", ".nan", "1e999", "9" * 400, "0x1F", "1_000", "2026-02-30"),
    *("52 N", "0.8 lbf/in", "-1 mm", "0 m/min", "1e308 m", "5 psi", "{a: [}", "every", "::error::x", "##vso[x]", "$"),
]


def spoiled(text: str, rng: random.Random) -> str:
    """Give a text with one to six changes."""
    for _ in range(rng.choice((1, 1, 1, 2, 3, 6))):
        text = rng.choice(WAYS)(text, rng)
    return text


def _salted(text: str, rng: random.Random) -> str:
    at = rng.randrange(len(text) + 1)
    return text[:at] + rng.choice(SALT) + text[at:]


def _cut(text: str, rng: random.Random) -> str:
    at = rng.randrange(len(text) + 1)
    return text[:at] + text[at + rng.randrange(1, 40) :]


def _shortened(text: str, rng: random.Random) -> str:
    return text[: rng.randrange(len(text) + 1)]


def _line(text: str, rng: random.Random) -> str:
    lines = text.splitlines(keepends=True) or [""]
    one, other = rng.randrange(len(lines)), rng.randrange(len(lines))
    how = rng.randrange(4)
    if how == 0:
        lines[one], lines[other] = lines[other], lines[one]
    elif how == 1:
        lines.insert(one, lines[other])
    elif how == 2:
        lines[one] = " " * rng.randrange(5) + lines[one].lstrip()
    else:
        del lines[one]
    return "".join(lines)


def _value(text: str, rng: random.Random) -> str:
    """Put something else in the place of what stands behind a colon."""
    colons = [at for at, letter in enumerate(text) if letter == ":"]
    if not colons:
        return text
    at = rng.choice(colons) + 1
    end = text.find("\n", at)
    return f"{text[:at]} {rng.choice(SALT)}{text[end if end >= 0 else len(text) :]}"


WAYS = (_salted, _salted, _cut, _shortened, _line, _line, _value, _value)
