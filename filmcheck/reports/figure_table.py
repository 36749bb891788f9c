"""Figures for people, as a table with the arithmetic under each; and for programs, as JSON (RFC 8259)."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Sequence
from datetime import date
from math import isfinite
from typing import Any

from filmcheck.records.figure_line import Amount, FigureLack, FigureLine, FigureSheet, WalkLine
from filmcheck.records.finding import Want
from filmcheck.reports.page_lines import WIDTH, count, one_line, wrapped

STANDING_LINE = (
    "Figures are estimates from what the sheet and the registers say. Lengths, tensions and temperatures that "
    "matter are to be measured on the press."
)
_NAME = 44
_TENSION, _STATION = 23, 25


def figure_table(sheet: FigureSheet) -> str:
    """Set the figures as text: what is known first, then what cannot be told and what it lacks."""
    known = [line for line in sheet.figures if line.amount is not None]
    unknown = [line for line in sheet.figures if line.amount is None]
    blocks = [
        _title(sheet, "figures"),
        *["\n".join(_figure(group)) for group in _by_name(known)],
        _cannot_tell(unknown),
        _absent(sheet),
        f"{count(len(sheet.figures), 'figure')}: {len(known)} known, {len(unknown)} cannot be told",
        "\n".join(wrapped(STANDING_LINE, "")),
    ]
    return "\n\n".join(block for block in blocks if block) + "\n"


def walk_table(sheet: FigureSheet) -> str:
    """Set the walk of the web as text, station by station, in the order in which the web meets them."""
    head = f"{'line':>4}  {'behind station':<{_STATION}}{'line tension':<{_TENSION}}web"
    lines = [line for station in sheet.walk for line in _station(station)]
    table = "\n".join([head, "-" * WIDTH, *lines]) if lines else "The sheet has no path, so there is no web to walk."
    notes = dict.fromkeys(text for station in sheet.walk for text in station.assumes)
    assumed = "\n".join(line for text in notes for line in wrapped(text, "assumes "))
    blocks = [_title(sheet, "the web, station by station"), table, assumed, "\n".join(wrapped(STANDING_LINE, ""))]
    return "\n\n".join(block for block in blocks if block) + "\n"


def figures_json(sheet: FigureSheet, *, walk: bool = False) -> str:
    """Write the figures, or the walk, as JSON with values in SI, places and all words of the table."""
    told: dict[str, Any] = {"job": sheet.job, "file": sheet.file, "faults": sheet.faults}
    if walk:
        told["walk"] = [_walk_object(line) for line in sheet.walk]
    else:
        told["figures"] = [_figure_object(line) for line in sheet.figures]
        told["absent"] = [{"of": kind, "figures": list(names)} for kind, names in sheet.absent]
    return json.dumps(told, ensure_ascii=False, indent=2, allow_nan=False) + "\n"


# --- one figure


def _by_name(lines: Iterable[FigureLine]) -> list[list[FigureLine]]:
    groups: dict[str, list[FigureLine]] = {}
    for line in lines:
        groups.setdefault(line.name, []).append(line)
    return list(groups.values())


def _figure(group: Sequence[FigureLine]) -> list[str]:
    """Set one figure: the value of the job, or of its only unwind, at the head; values of several things below."""
    first = group[0]
    alone = len(group) == 1 and first.of in ("", first.name.partition(".")[0].replace("_", " "))
    basis = f"{first.formula}  ({first.source})" if first.formula else f"({first.source})"
    lines = _valued(first.name, _shown(first.amount), 0) if alone else [first.name]
    lines += wrapped(first.meaning, "    ") + wrapped(basis, "    ")
    if alone:
        return lines + _details(first, "    ")
    for (value, *details), labels in _alike(group).items():
        lines += _valued(", ".join(labels), value, 2) + details
    return lines


def _alike(group: Sequence[FigureLine]) -> dict[tuple[str, ...], list[str]]:
    """Gather the things that have the same value for the same reasons, so that it is told once."""
    alike: dict[tuple[str, ...], list[str]] = {}
    for line in group:
        alike.setdefault((_shown(line.amount), *_details(line, "      ")), []).append(line.of or line.name)
    return alike


def _valued(label: str, value: str, indent: int) -> list[str]:
    """Set label and value on one line, or the value below where there is no room."""
    *names, name = wrapped(label, " " * indent)
    room = max(_NAME, len(name) + 2)
    if room + len(value) <= WIDTH:
        return [*names, f"{name:<{room}}{value}"]
    return [*names, name, *wrapped(value, " " * (indent + 4))]


def _shown(amount: Amount | None) -> str:
    if amount is None:
        return "cannot tell"
    return one_line(f"{amount.text} = {amount.plant_text}" if amount.plant_text else amount.text)


def _details(line: FigureLine, indent: str) -> list[str]:
    lines = [*wrapped(line.arithmetic, indent)]
    for related in line.inputs:
        lines += _placed(str(related.place), related.text, indent)
    lines += wrapped(", ".join(line.rests_on), f"{indent}rests on ", indent + "    ") if line.rests_on else []
    for text in line.assumes:
        lines += wrapped(text, f"{indent}assumes: ", indent + "    ")
    return lines


def _placed(place: str, text: str, indent: str) -> list[str]:
    """Set a place whole, so that an editor can jump to it, and what stands there behind or below it."""
    whole = f"{indent}{one_line(place)}: {one_line(text)}"
    return [whole] if len(whole) <= WIDTH else [f"{indent}{one_line(place)}:", *wrapped(text, indent + "    ")]


def _cannot_tell(unknown: Sequence[FigureLine]) -> str:
    if not unknown:
        return ""
    lines = ["Cannot tell", "-----------"]
    for line in unknown:
        lines.append(one_line(f"{line.name} of {line.of}" if line.of else line.name))
        for need in line.missing:
            lines += _lack(need)
    return "\n".join(lines)


def _lack(need: FigureLack) -> list[str]:
    says = f"lacks {need.says}" if need.absent else need.says
    return _placed(str(need.place), says, "    ") if need.place else [*wrapped(says, "    ")]


def _absent(sheet: FigureSheet) -> str:
    if not sheet.absent:
        return ""
    lines = ["Not on this job", "---------------"]
    for kind, names in sheet.absent:
        lines += wrapped(", ".join(names), f"{kind}: ", "    ")
    return "\n".join(lines)


def _title(sheet: FigureSheet, what: str) -> str:
    name = f"Job {sheet.job}" if sheet.job else "Job without a number"
    lines = [*wrapped(f"{name}: {what}", ""), one_line(sheet.file)]
    if sheet.faults:
        noun = "fault stands" if sheet.faults == 1 else "faults stand"
        text = f"{sheet.faults} {noun} on the sheet or its registers; filmcheck lint tells of them."
        lines += wrapped(text, "")
    return "\n".join(lines)


# --- one station


def _station(line: WalkLine) -> list[str]:
    """Set one station on two lines or three: tension in two units, temperature, charge, where the tension is from."""
    first, second = _tension(line)
    temperature = _shown(line.temperature)
    state = f"{'charged' if line.charged else 'neutral'}, {'clean' if line.clean else 'not cleaned'}"
    station = one_line(line.station)
    lines = [f"{line.place.span.line:>4}  {station:<{_STATION - 1}} {first:<{_TENSION - 1}} {temperature}"]
    lines.append(f"{'':<{6 + _STATION}}{second:<{_TENSION - 1}} {state}")
    lines += wrapped(", ".join(line.why), " " * 8)
    for need in line.missing:
        lines += _lack(need)
    return [text.rstrip() for text in lines]


def _tension(line: WalkLine) -> tuple[str, str]:
    """Give lowest to highest in one unit of the trade and in the other."""
    if line.lowest is None or line.highest is None:
        return "cannot tell", ""
    low, high = line.lowest, line.highest
    pairs = zip(low.text.split(" = "), high.text.split(" = "), strict=True)
    first, second = (most if least == most else _span(least, most) for least, most in pairs)
    return first, second


def _span(least: str, most: str) -> str:
    """Join two amounts to a range; the lowest of one range and the highest of the other where they are ranges."""
    low, high = least.split(" to ")[0], most.split(" to ")[-1]
    return f"{re.match(r'[^ ]*', low)[0]} to {high}"  # type: ignore[index]  # the pattern matches any text


# --- what would settle most


def wanting_table(file: str, wants: Sequence[Want]) -> str:
    """Set the data that checks wait for, those that settle most first."""
    if not wants:
        return f"{file}: nothing is missing or too wide. What is open still waits for a fault or rests on the model.\n"
    head = f"{file}: what would settle most\n\nchecks  with others  datum"
    return "\n".join([head, *map(_want, wants), ""])


def _want(want: Want) -> str:
    where = f" ({want.where})" if want.where else ""
    return f"{want.alone:>6}  {want.together:>11}  {want.name}: {want.state}{where}"


# --- JSON


def _figure_object(line: FigureLine) -> dict[str, Any]:
    return {
        "name": line.name,
        "of": line.of,
        "dimension": line.dimension,
        "meaning": line.meaning,
        "known": line.amount is not None,
        "value": _amount_object(line.amount, line.unit),
        "arithmetic": line.arithmetic,
        "inputs": [{"place": str(related.place), "text": related.text} for related in line.inputs],
        "rests_on": list(line.rests_on),
        "formula": line.formula,
        "source": line.source,
        "assumes": list(line.assumes),
        "lacks": [_need_object(need) for need in line.missing],
    }


def _walk_object(line: WalkLine) -> dict[str, Any]:
    return {
        "station": line.station,
        "place": str(line.place),
        "lowest_line_tension": _amount_object(line.lowest, "N/m"),
        "highest_line_tension": _amount_object(line.highest, "N/m"),
        "web_temperature": _amount_object(line.temperature, "K"),
        "charged": line.charged,
        "clean": line.clean,
        "tension_from": list(line.why),
        "assumes": list(line.assumes),
        "lacks": [_need_object(need) for need in line.missing],
    }


def _need_object(need: FigureLack) -> dict[str, Any]:
    return {"says": need.says, "place": str(need.place) if need.place else None}


def _amount_object(amount: Amount | None, unit: str) -> dict[str, Any] | None:
    if amount is None:
        return None
    low, high = _plain(amount.low), _plain(amount.high)
    return {"low": low, "high": high, "unit": unit, "text": _shown(amount)}


def _plain(value: float | int | str | bool | date) -> float | int | str | bool | None:
    """Give a value that JSON has; it knows neither dates nor numbers without end."""
    if isinstance(value, date):
        return value.isoformat()
    return None if isinstance(value, float) and not isfinite(value) else value
