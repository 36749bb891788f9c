"""The shipped limits are those of the trade, number by number, in SI units worked out by hand.

Source: the limits of the handbook of the trade, which names trade press, NFPA 77 and common practice for them.
1 lbf/in is 175.126835 N/m (NIST SP 811, B.8), 6 in 152.4 mm, 0 °C 273.15 K.
"""

from __future__ import annotations

import pytest

from filmcheck.packs.loaded import Packs
from filmcheck.packs.pack import load_packs
from filmcheck.packs.pack_files import pack_files
from filmcheck.reading.shipped import shipped_folder

OF_THE_TRADE = {
    "film_unwind_tension": 175.126835,
    "rewind_start_least": 87.5634175,
    "rewind_start_most": 175.126835,
    "slight_taper": 0.10,
    "steep_taper": 0.50,  # webs are wound with 0 to 50 %
    "film_core": 0.1524,
    "core_pressure_most": 690e3,
    "thin_liner": 25e-6,
    "lamp_share": 1.0,  # never at the maximum
    "lamp_over_need": 1.15,
    "film_transition": 353.15,
    "near_yield": 0.20,
    "tension_share_of_yield": 0.25,
    "ground_path": 1e6,
    "finishing_wait": 86400.0,
    "roll_grip": 1.0,
}


@pytest.fixture(scope="module")
def packs() -> Packs:
    return load_packs(pack_files([shipped_folder("rules")]), to_prove=False)


def test_the_limits_are_those_of_the_trade(packs: Packs) -> None:
    shipped = {name: limit.value.low for name, limit in packs.limits.items() if limit.value and name in OF_THE_TRADE}
    assert shipped == pytest.approx(OF_THE_TRADE, rel=1e-8)


def test_what_is_published_names_its_source(packs: Packs) -> None:
    assert [name for name, limit in packs.limits.items() if limit.basis == "published" and not limit.source] == []
