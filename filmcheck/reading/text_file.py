"""A file on disk to text, or to the fault that says why it cannot be read."""

from __future__ import annotations

import codecs
import errno
import os
import stat
from pathlib import Path

from filmcheck.reading.lines import Lines, not_printable
from filmcheck.reading.nodes import Fault
from filmcheck.records.place import Span

LONGEST = 4_000_000
"""Bytes of a sheet or register; more is taken for a file that strayed in."""

_LEAST_STEP = 4096
"""Bytes asked for at once, where a file is smaller or does not tell its size."""

_TOP = Span(1, 1, 1, 1)
_UTF8 = "Save it as UTF-8."

# The order matters: the mark of UTF-32 in little-endian order begins with that of UTF-16.
_OTHER_MARKS = (
    (codecs.BOM_UTF32_LE, "UTF-32"),
    (codecs.BOM_UTF32_BE, "UTF-32"),
    (codecs.BOM_UTF16_LE, "UTF-16"),
    (codecs.BOM_UTF16_BE, "UTF-16"),
)

_TROUBLES = {
    errno.ENOENT: ("There is no such file.", "Look for a typing mistake in the path."),
    errno.ENOTDIR: ("There is no such file: a part of its path is no folder.", "Look at the path."),
    errno.EISDIR: ("This is a folder, not a file.", "Name a file in it."),
    errno.EACCES: ("The file may not be read.", "Ask for the right to read it."),
    errno.EPERM: ("The file may not be read.", "Ask for the right to read it."),
    errno.ELOOP: ("The link leads in a circle.", "Delete the link, or let it point to the file."),
    errno.ENAMETOOLONG: ("The name of the file is too long.", "Give it a shorter one."),
}


def read_text(path: str | Path, *, longest: int = LONGEST, encoding: str = "utf-8") -> str | Fault:
    """Give the text of a file, its line ends as they are and without a byte order mark. Never raises.

    ``longest`` is the limit in bytes; no more than one byte beyond it is read.
    """
    try:
        raw = _bytes(path, longest + 1)
    except OSError as error:
        says, hint = _TROUBLES.get(error.errno or 0, (f"The file cannot be read: {error.strerror}.", ""))
        return _unreadable(_TOP, says, hint)
    except ValueError:  # a NUL within the path
        return _unreadable(_TOP, *_TROUBLES[errno.ENOENT])
    if raw is None:
        return _unreadable(_TOP, "This is not an ordinary file.", "Name a file that holds text.")
    if len(raw) > longest:
        says = f"The file is larger than {longest / 1e6:.3g} MB, too large for a sheet."
        return _unreadable(_TOP, says, "Look whether another file got this name; else split it.")
    return decode(raw, encoding)


def _bytes(path: str | Path, most: int) -> bytes | None:
    """Give up to ``most`` bytes, None where the path is no ordinary file. Does not wait on pipes."""
    handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    try:
        about = os.fstat(handle)
        if stat.S_ISDIR(about.st_mode):
            raise IsADirectoryError(errno.EISDIR, "")
        if not stat.S_ISREG(about.st_mode):
            return None
        parts, step = [b""], max(about.st_size, _LEAST_STEP) + 1
        while most > 0 and (part := os.read(handle, min(most, step))):
            parts.append(part)
            most -= len(part)
        return b"".join(parts)
    finally:
        os.close(handle)


def decode(raw: bytes, encoding: str = "utf-8") -> str | Fault:
    """Give the bytes of a file as text without its byte order mark, or what stands against it.

    In an encoding of one byte a letter, a byte that stands for none is shown as such.
    """
    for mark, name in _OTHER_MARKS:
        if raw.startswith(mark):
            return _unreadable(_TOP, f"The file is saved as {name}.", _UTF8)
    try:
        text = raw.decode(encoding, "strict" if encoding == "utf-8" else "replace").removeprefix("\ufeff")
    except UnicodeDecodeError as error:
        return _not_utf8(raw, error.start)
    found = not_printable(text)
    if not found:
        return text
    span = Lines(text).span(found.start(), found.end())
    if found[0] == "\0":
        hint = f"If it is text, it is not saved as UTF-8. {_UTF8}"
        return _unreadable(span, "The file holds zero bytes: it is no text.", hint)
    says = f"A control character (U+{ord(found[0]):04X}) stands in the text."
    return _unreadable(span, says, "Delete it; most editors do not show it.")


def _not_utf8(raw: bytes, at: int) -> Fault:
    """Tell of the first byte that is not UTF-8, or that the whole is no text."""
    if b"\0" in raw:
        return _unreadable(_TOP, "The file holds zero bytes: it is no text.", f"If it is text: {_UTF8}")
    before = raw[:at].decode("utf-8").removeprefix("\ufeff")
    span = Lines(before + "?").span(len(before), len(before) + 1)
    return _unreadable(span, f"The byte {raw[at]:#04x} is not UTF-8; the file has another encoding.", _UTF8)


def _unreadable(span: Span, says: str, hint: str) -> Fault:
    return Fault("file-unreadable", span, says, hint)
