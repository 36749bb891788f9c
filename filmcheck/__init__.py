"""filmcheck reads job sheets for thin film liner as static analysis reads code.

The names below are all there is to the public API; everything else may change. ``lint`` gives a ``Report`` of
``Finding`` records, each with the ``Place`` and ``Span`` that it points at; what ends a run is a ``FilmcheckError``.
Names are looked up when they are first used, so that the command starts without what it will not need.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from filmcheck.records.version import VERSION as __version__  # noqa: N811  the customary name

__all__ = ["FilmcheckError", "Finding", "Place", "Report", "Span", "__version__", "lint"]

if TYPE_CHECKING:
    from filmcheck.records.errors import FilmcheckError
    from filmcheck.records.finding import Finding, Report
    from filmcheck.records.place import Place, Span
    from filmcheck.run import lint

else:
    _ROOMS = {
        "FilmcheckError": "records.errors",
        "Finding": "records.finding",
        "Place": "records.place",
        "Report": "records.finding",
        "Span": "records.place",
        "lint": "run",
    }

    def __getattr__(name: str) -> object:
        """Fetch a public name from the module that defines it."""
        if name not in _ROOMS:
            raise AttributeError(f"module 'filmcheck' has no attribute {name!r}")
        from importlib import import_module

        return getattr(import_module(f"filmcheck.{_ROOMS[name]}"), name)

    def __dir__() -> list[str]:
        """List the public names, found or not yet."""
        return sorted({*globals(), *__all__})
