"""Every drawing is read as a reader reads it, off its own axis or scale, and must give back the figures it draws."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import combinations, pairwise
from typing import NamedTuple
from xml.etree import ElementTree

import pytest

from filmcheck.records.job_view import JobView, PlantView
from filmcheck.reports.page.cut_sum import cut_sum
from filmcheck.reports.page.path_strip import path_strip
from filmcheck.reports.page.roll_section import roll_section
from filmcheck.reports.page.window_map import window_map

KELVIN = 273.15
PIXEL = 0.06
"""Places are written to a tenth."""


class Text(NamedTuple):
    """A text of a drawing, and where it stands."""

    x: float
    y: float
    says: str
    ends: bool


class Drawing:
    """The parts of a drawing."""

    def __init__(self, text: str) -> None:
        self.top = ElementTree.fromstring(re.search("<svg.*</svg>", text, re.DOTALL)[0])  # type: ignore[index]  # noqa: S314
        self.texts = [
            Text(float(one.get("x", "")), float(one.get("y", "")), one.text or "", one.get("text-anchor") == "end")
            for one in self.top.iter("text")
        ]

    def numbers(self, tag: str, kind: str, *names: str) -> list[tuple[float, ...]]:
        """Give these attributes of all parts of a class."""
        found = [one for one in self.top.iter(tag) if kind in (one.get("class") or "").split()]
        return [tuple(float(one.get(name, "")) for name in names) for one in found]

    def points(self, tag: str) -> list[tuple[float, float]]:
        (one,) = self.top.iter(tag)
        return [(float(x), float(y)) for x, y in (pair.split(",") for pair in one.get("points", "").split())]

    def places(self) -> Iterator[tuple[float, float]]:
        """Give the corners of all that is drawn; of a text where it begins or ends."""
        for one in self.top.iter():
            sizes = {name: float(value) for name, value in one.items() if re.fullmatch(r"-?[\d.]+", value)}
            if one.tag in ("rect", "text"):
                yield sizes["x"], sizes["y"]
                yield sizes["x"] + sizes.get("width", 0.0), sizes["y"] + sizes.get("height", 0.0)
            elif one.tag == "line":
                yield sizes["x1"], sizes["y1"]
                yield sizes["x2"], sizes["y2"]
            elif one.tag == "circle":
                yield sizes["cx"] - sizes["r"], sizes["cy"] - sizes["r"]
                yield sizes["cx"] + sizes["r"], sizes["cy"] + sizes["r"]
            elif one.tag in ("polygon", "polyline"):
                yield from ((float(x), float(y)) for x, y in (p.split(",") for p in one.get("points", "").split()))

    def axes(self) -> list[Callable[[float], float]]:
        """Give what tells a value from a height, for each axis from the top: three lines with a number beside each."""
        marks = []
        for left, y, right, foot in self.numbers("line", "grid", "x1", "y1", "x2", "y2"):
            assert y == foot
            assert left < right
            (mark,) = [one for one in self.texts if one.ends and one.x < left and 0 < one.y - y < 5]
            marks.append((y, float(mark.says)))
        marks.sort()
        return [_scale(*marks[at : at + 3]) for at in range(0, len(marks), 3)]


def _scale(
    high: tuple[float, float], middle: tuple[float, float], low: tuple[float, float]
) -> Callable[[float], float]:
    def value(y: float) -> float:
        return low[1] + (high[1] - low[1]) * (low[0] - y) / (low[0] - high[0])

    assert low[1] < high[1]
    assert value(middle[0]) == pytest.approx(middle[1], rel=6e-3, abs=1e-9)  # three digits stand there
    return value


def views(plant: PlantView) -> list[JobView]:
    """Give the jobs of which all is known that is drawn."""
    found = [one.view for one in plant.sheets if one.view is not None]
    known = [view for view in found if len(view.rolls["finished roll"].pressure) > 2]
    assert len(known) >= 4
    return known


def strip(view: JobView) -> Drawing:
    return Drawing(path_strip(view, (), "", "j1"))


def drawings(plant: PlantView) -> Iterator[Drawing]:
    for one in plant.sheets:
        view = one.view
        if view is not None:
            drawn = [path_strip(view, one.findings, one.text, "j1"), cut_sum(view), *map(window_map, view.maps)]
            drawn += [roll_section(view, roll) for roll in view.rolls]
            yield from (Drawing(text) for text in drawn if "<svg" in text)


def test_nothing_lies_outside_of_its_picture(plant: PlantView) -> None:
    seen = 0
    for drawing in drawings(plant):
        _, _, wide, high = map(float, (drawing.top.get("viewBox") or "").split())
        for x, y in drawing.places():
            assert 0 <= x <= wide
            assert 0 <= y <= high
            seen += 1
    assert seen > 1000


def stations(drawing: Drawing) -> list[float]:
    """Give the left edges of the stations, and of what comes after them."""
    lefts = [x for (x,) in drawing.numbers("rect", "station", "x")]
    steps = {round(b - a, 6) for a, b in pairwise(lefts)}
    assert len(steps) == 1
    assert min(steps) > 0
    return lefts


def test_tension_and_temperature_are_read_off_the_strip(plant: PlantView) -> None:
    for view in views(plant):
        drawing = strip(view)
        tension, heat = drawing.axes()
        lefts = stations(drawing)
        assert len(lefts) == len(view.stations) + 1
        curve = [one for one in drawing.numbers("line", "curve", "x1", "x2", "y1", "y2") if one[2] == one[3]]
        half = len(curve) // 2  # tension is drawn first
        bands = drawing.numbers("rect", "band", "x", "width", "y", "height")
        drawn: list[tuple[int, str, float]] = []
        for at, (x, end, y, _) in enumerate(curve):
            assert x in lefts
            assert end == lefts[lefts.index(x) + 1]
            drawn.append((lefts.index(x), *(("highest", tension(y)) if at < half else ("heat", heat(y)))))
        for x, wide, y, high in bands:
            assert x + wide in lefts
            drawn.append((lefts.index(x), "lowest", tension(y + high)))
        meant = {"highest": "highest_line_tension", "lowest": "lowest_line_tension", "heat": "web_temperature"}
        assert len(drawn) == 3 * len(view.stations)
        for at, what, value in drawn:
            amount = view.stations[at].figures[meant[what]]
            figure = amount.low if what == "lowest" else amount.high
            assert isinstance(figure, float)
            span = (heat if what == "heat" else tension)(0.0) - (heat if what == "heat" else tension)(2 * PIXEL)
            assert value == pytest.approx(figure - (KELVIN if what == "heat" else 0.0), abs=span, rel=6e-3)


def test_limits_lie_where_their_words_say(plant: PlantView) -> None:
    seen = set()
    for view in views(plant):
        drawing = strip(view)
        tension, heat = drawing.axes()
        kinds = [station.kind for station in view.stations]
        lefts = stations(drawing)
        for x, y, end in drawing.numbers("line", "limit", "x1", "y1", "x2"):
            beside = [one for one in drawing.texts if one.x == pytest.approx(x + 3) and abs(one.y - y) < 11]
            told = [one for one in beside if re.search(r"limit|most|least|below", one.says)]
            numbers = [float(found[0]) for one in told if (found := re.search(r"[\d.]+", one.says))]
            read = [axis(y) for axis in (tension, heat)]
            assert any(abs(value - number) <= 0.01 * number for value in read for number in numbers), view.job
            assert x < end
            seen |= {re.sub(r" [\d.]+.*", "", one.says) for one in told}
            if any(one.says.startswith("unwind limit") and one.y == pytest.approx(y - 3) for one in told):
                nips = [at for at, kind in enumerate(kinds) if kind == "nip" and at > kinds.index("unwind")]
                assert (x, end) == (lefts[kinds.index("unwind")], lefts[nips[0] if nips else len(kinds)])
    assert seen >= {"unwind limit", "start at most", "press at least", "the liner must stay below"}


def shifted(view: JobView, by: float) -> JobView:
    """Give the job with a web that is warmer at every station, in K."""
    stations = []
    for one in view.stations:
        was = one.figures["web_temperature"]
        assert isinstance(was.low, float)
        assert isinstance(was.high, float)
        now = replace(was, low=was.low + by, high=was.high + by)
        stations.append(replace(one, figures={**one.figures, "web_temperature": now}))
    return replace(view, stations=tuple(stations))


def test_the_axes_fit_what_they_show(plant: PlantView) -> None:
    """Temperature in whole tens, the next below the coldest; tension from 0 to little above the highest."""
    for view in views(plant):
        for shift in (-12.0, 0.0, 12.5, 55.0, 75.0):
            warmed = shifted(view, shift)
            values = [station.figures["web_temperature"].high for station in warmed.stations]
            values.append(view.figures["liner.maximum_temperature"].high)
            drawn = [value - KELVIN for value in values if isinstance(value, float)]
            _, heat = strip(warmed).axes()
            low, high = heat(252.0 + 64.0), heat(252.0)
            assert low % 10 == high % 10 == 0
            assert low <= min(drawn) < low + 10
            assert max(drawn) < high < max(drawn) + 15
        start = view.limits["rewind_start_most"]
        for limit in (499.0, 500.5, 640.0, 790.0, 802.0, 999.0):
            raised = {**view.limits, "rewind_start_most": replace(start, low=limit, high=limit)}
            drawing = strip(replace(view, limits=raised))
            tension, _ = drawing.axes()
            assert tension(128.0 + 84.0) == 0
            assert limit < tension(128.0) < 1.5 * limit


def test_pressure_is_read_off_the_roll(plant: PlantView) -> None:
    for view in views(plant):
        for which in ("finished roll", "press roll"):
            curve = view.rolls[which].pressure
            drawing = Drawing(roll_section(view, which))
            (kilopascals,) = drawing.axes()
            drawn = drawing.points("polyline")
            (left, *_, right) = (x for x, _ in drawn)
            core, full = curve[0][0], curve[-1][0]
            assert len(drawn) == len(curve)
            for (x, y), (radius, pressure) in zip(drawn, curve, strict=True):
                assert (x - left) / (right - left) == pytest.approx((radius - core) / (full - core), abs=1e-3)
                off = kilopascals(0.0) - kilopascals(2 * PIXEL)
                assert kilopascals(y) == pytest.approx(pressure / 1000, abs=off, rel=6e-3)
            rings = drawing.numbers("circle", "ring", "r", "fill-opacity")
            inner = drawing.numbers("circle", "core", "r")[0][0]
            assert inner / max(r for r, _ in rings) == pytest.approx(core / full, abs=2e-3)
            assert_darker_is_pressed_harder(rings, inner, curve)


def assert_darker_is_pressed_harder(
    rings: list[tuple[float, ...]], inner: float, curve: tuple[tuple[float, float], ...]
) -> None:
    """Each ring reaches inwards to the next; its pressure is that of the node nearest to its middle."""
    full, edges = max(r for r, _ in rings), sorted([inner, *(r for r, _ in rings)])
    pressed = []
    for outside, dark in rings:
        middle = (outside + edges[edges.index(outside) - 1]) / 2 * curve[-1][0] / full
        pressed.append((min(curve, key=lambda node: abs(node[0] - middle))[1], dark))
    for one, other in combinations(pressed, 2):
        if one[0] > 1.05 * other[0]:
            assert one[1] > other[1]


def test_the_cut_is_drawn_to_one_scale(plant: PlantView) -> None:
    for view in views(plant):
        drawing = Drawing(cut_sum(view))
        bars = drawing.numbers("rect", "bar", "x", "y", "width", "height")
        (zero,) = drawing.numbers("line", "zero", "x1")
        (window,) = drawing.numbers("rect", "holds", "x", "width")
        assert window[0] + window[1] / 2 == pytest.approx(zero[0], abs=2 * PIXEL)
        half = view.figures["die.cut_window"].high
        assert isinstance(half, float)
        scale = window[1] / 2 / (half * 1e6)
        at = zero[0]
        for x, y, wide, high in bars[:-1]:
            beside = [one for one in drawing.texts if y < one.y < y + high and one.says.endswith("µm")]
            (step,) = [float(one.says.removesuffix(" µm")) for one in beside]
            ends = sorted((at, at + step * scale))
            assert x == pytest.approx(ends[0], abs=0.005 * abs(step) * scale + 0.5)
            assert wide == pytest.approx(max(ends[1] - ends[0], 1.5), abs=0.005 * abs(step) * scale + 0.5)
            at += step * scale
        # The figures say how much too shallow and too deep, and none below nothing.
        left, right = bars[-1][0], bars[-1][0] + bars[-1][2]
        for name, end in (("cut.shallowest", zero[0] - left), ("cut.deepest", right - zero[0])):
            figure = view.figures[name].high
            assert isinstance(figure, int | float)
            assert max(end, 0.0) == pytest.approx(figure * 1e6 * scale, abs=1)


def test_a_limit_that_is_not_known_is_not_drawn(plant: PlantView) -> None:
    """Nor is one of zones on a path that has no station to set a tension, and so no zone."""
    for view in views(plant):
        without = replace(view, limits={}, zones=())
        assert not [one for one in strip(without).texts if re.search(r"limit|most|least", one.says)]
