from __future__ import annotations

import codecs
import os
import sys
from pathlib import Path

import pytest

from filmcheck.reading.lines import not_printable
from filmcheck.reading.nodes import Fault
from filmcheck.reading.text_file import read_text

SOUND = [
    (b"job: 1\n", "job: 1\n"),
    (b"", ""),
    (codecs.BOM_UTF8 + b"job: 1", "job: 1"),
    (b"a\r\nb\rc\n", "a\r\nb\rc\n"),
    ("µ × 𝄞 \t\x85\u2028".encode(), "µ × 𝄞 \t\x85\u2028"),
]

SPOILED = [
    ("job: 1".encode("utf-16"), (1, 1, 1, 1), "saved as UTF-16"),
    (codecs.BOM_UTF16_BE + "job".encode("utf-16-be"), (1, 1, 1, 1), "saved as UTF-16"),
    ("job: 1".encode("utf-32"), (1, 1, 1, 1), "saved as UTF-32"),
    (codecs.BOM_UTF32_BE + "job".encode("utf-32-be"), (1, 1, 1, 1), "saved as UTF-32"),
    ("job: 1\r\nfilm: 23 µm\r\n".encode("latin-1"), (2, 10, 2, 11), "byte 0xb5 is not UTF-8"),
    (codecs.BOM_UTF8 + "𝄞µ".encode() + b"\xff", (1, 3, 1, 4), "byte 0xff is not UTF-8"),
    (b"\x89PNG\r\n\x1a\n\x00\x00", (1, 1, 1, 1), "zero bytes"),
    (b"job: \x00", (1, 6, 1, 7), "zero bytes"),
    (b"a\rb: \x1b[31m", (2, 4, 2, 5), "U+001B"),
    (b"a: \x7f", (1, 4, 1, 5), "U+007F"),
]


@pytest.mark.parametrize(("raw", "text"), SOUND)
def test_sound_bytes(tmp_path: Path, raw: bytes, text: str) -> None:
    (tmp_path / "sheet.yaml").write_bytes(raw)
    assert read_text(tmp_path / "sheet.yaml") == text


@pytest.mark.parametrize(("raw", "span", "piece"), SPOILED)
def test_spoiled_bytes(tmp_path: Path, raw: bytes, span: tuple[int, ...], piece: str) -> None:
    (tmp_path / "sheet.yaml").write_bytes(raw)
    fault = read_text(tmp_path / "sheet.yaml")
    assert isinstance(fault, Fault)
    assert (fault.id, tuple(fault.span)) == ("file-unreadable", span)
    assert piece in fault.says


def refused(path: str | Path, **limits: int) -> str:
    fault = read_text(path, **limits)
    assert isinstance(fault, Fault)
    assert (fault.id, tuple(fault.span)) == ("file-unreadable", (1, 1, 1, 1))
    return fault.says


def test_missing_file(tmp_path: Path) -> None:
    assert refused(tmp_path / "sheet.yaml") == "There is no such file."
    assert refused(str(tmp_path) + "/a\0b") == "There is no such file."


def test_folder(tmp_path: Path) -> None:
    assert refused(tmp_path) == "This is a folder, not a file."


def test_file_taken_for_a_folder(tmp_path: Path) -> None:
    (tmp_path / "sheet.yaml").write_text("a: 1")
    assert "no folder" in refused(tmp_path / "sheet.yaml" / "b.yaml")


def test_too_long_a_name(tmp_path: Path) -> None:
    assert "too long" in refused(tmp_path / ("a" * 5000))


@pytest.mark.skipif(sys.platform == "win32", reason="links need a right there")
def test_link_in_a_circle(tmp_path: Path) -> None:
    (tmp_path / "a.yaml").symlink_to(tmp_path / "b.yaml")
    (tmp_path / "b.yaml").symlink_to(tmp_path / "a.yaml")
    assert refused(tmp_path / "a.yaml") == "The link leads in a circle."


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes there")
def test_pipe_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "sheet.yaml")
    assert refused(tmp_path / "sheet.yaml") == "This is not an ordinary file."


def test_no_right_to_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> int:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(os, "open", refuse)
    assert refused(tmp_path / "sheet.yaml") == "The file may not be read."


def test_limit_is_the_last_size_taken(tmp_path: Path) -> None:
    path = tmp_path / "sheet.yaml"
    path.write_bytes(b"x" * 1000)
    assert read_text(path, longest=1000) == "x" * 1000
    assert "larger than 0.000999 MB" in refused(path, longest=999)


@pytest.mark.slow
def test_what_python_calls_printable_yaml_takes() -> None:
    """YAML 1.2.2, production [1] c-printable, against the quick look that passes most texts."""
    allowed = [range(0x20, 0x7F), range(0xA0, 0xD800), range(0xE000, 0xFFFE), range(0x10000, 0x110000)]
    allowed += [(0x09, 0x0A, 0x0D, 0x85)]
    taken = {code for codes in allowed for code in codes}
    assert [code for code in range(0x110000) if code not in taken and chr(code).isprintable()] == []
    assert [code for code in range(0x110000) if (not_printable(chr(code)) is None) != (code in taken)] == []
