"""filmcheck reads job sheets for thin film liner as static analysis reads code.

The names below are all there is to the public API; everything else may change. ``lint`` gives a ``Report`` of
``Finding`` records, each with the ``Place`` and ``Span`` that it points at; what ends a run is a ``FilmcheckError``.
Names are looked up when they are first used, so that the command starts without what it will not need.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from filmcheck.version import VERSION as __version__  # noqa: N811  the customary name

__all__ = ["FilmcheckError", "Finding", "Place", "Report", "Span", "__version__", "lint"]

if TYPE_CHECKING:
    from filmcheck.errors import FilmcheckError
    from filmcheck.finding import Finding, Report
    from filmcheck.position import Place, Span
    from filmcheck.run import lint

else:
    _ROOMS = {
        "FilmcheckError": "errors",
        "Finding": "finding",
        "Place": "position",
        "Report": "finding",
        "Span": "position",
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
