"""The tool and its rules in a SARIF log, and how texts are written there; section numbers are from memory."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any

from filmcheck.records.finding import RuleText

Json = dict[str, Any]

_SEMANTIC = re.compile(r"(0|[1-9]\d*)(\.(0|[1-9]\d*)){2}(-[0-9A-Za-z.-]+)?(\+[0-9A-Za-z.-]+)?")
"""Three numbers with dots between, then what marks a forerunner or a build (Semantic Versioning 2.0.0, from memory)."""

_UNSOURCED = ("common practice", "from memory")


def driver(version: str, rules: Iterable[RuleText]) -> Json:
    """Describe filmcheck and its rules (§3.19). There is no page on the net that an address could lead to."""
    semantic = version if _SEMANTIC.fullmatch(version) else ""
    return {
        "name": "filmcheck",
        **given(version=version, semanticVersion=semantic),
        "rules": [_descriptor(rule) for rule in rules],
    }


def _descriptor(rule: RuleText) -> Json:
    return {
        "id": rule.id,
        "name": _name(rule.id),
        "shortDescription": {"text": message_text(_figures_named(rule.title or rule.id))},
        "fullDescription": {"text": message_text(_figures_named(rule.because or rule.title or rule.id))},
        "help": _help(rule),
        "defaultConfiguration": {"level": rule.level},
        "properties": {
            "family": rule.family,
            **given(fromStage=rule.from_stage, tags=[tag for tag in (rule.family, rule.from_stage) if tag]),
            "precision": _precision(rule.basis),
        },
    }


def _name(rule: str) -> str:
    """Give the id as one word, ``UnwindTensionHigh``: a name is an identifier that differs from the id (§3.49.7)."""
    return "".join(part[:1].upper() + part[1:] for part in re.split(r"[\W_]+", rule)) or rule


def _precision(basis: str) -> str:
    """Say how far a rule can be trusted: less where nothing but practice or memory stands behind its limit."""
    return "medium" if not basis or basis.startswith(_UNSOURCED) else "high"


def _help(rule: RuleText) -> Json:
    rows = [
        ("Why", rule.because),
        ("Do instead", rule.instead),
        ("Basis", rule.basis),
        ("Caution", rule.caution),
    ]
    named = [(label, _figures_named(text)) for label, text in rows if text]
    plain = [_figures_named(rule.title or rule.id), *(f"{label}: {text}" for label, text in named)]
    marked = [f"## {_markdown(plain[0])}", *(f"**{label}:** {_markdown(text)}" for label, text in named)]
    return {"text": message_text("\n\n".join(plain)), "markdown": _doubled("\n\n".join(marked))}


def _figures_named(text: str) -> str:
    """Show the name of a figure that a rule puts into its sentence: outside a job there is no number yet."""
    return re.sub(r"\{([^{}]*)\}", r"‹\1›", text)


def _markdown(text: str) -> str:
    return re.sub(r"([\\`*_<>\[\]#|~])", r"\\\1", text)


def _doubled(text: str) -> str:
    """Double braces, which would else stand for an argument (§3.11.5)."""
    return text.replace("{", "{{").replace("}", "}}")


def message_text(text: str) -> str:
    """Escape what a plain text message gives a meaning: arguments (§3.11.5) and embedded links (§3.11.6)."""
    return re.sub(r"\[([^\[\]]*)\]\(", r"\\[\1\\](", _doubled(text))


def given(**members: Any) -> Json:
    """Keep the members that hold something: SARIF would rather have none than an empty one."""
    return {name: member for name, member in members.items() if member}
