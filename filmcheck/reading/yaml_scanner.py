"""The scanner of the pure parser, mended where it reads a text otherwise than the compiled one."""

from __future__ import annotations

from typing import Any

from ruamel.yaml.scanner import Scanner


class EvenScanner(Scanner):
    """Takes a tab between words for a space, as YAML 1.2 (section 6.2) does, and ends a name at a colon."""

    def scan_to_next_token(self) -> None:
        """Skip tabs with the spaces."""
        super().scan_to_next_token()
        while self.reader.peek() == "\t" and not self.allow_simple_key:
            self._skip("\t")
            super().scan_to_next_token()

    def scan_plain_spaces(self, indent: Any, start_mark: Any) -> Any:
        """Take tabs within a plain text as spaces, those in front of a line that goes on too."""
        length = 0
        while self.reader.peek(length) in " \t":
            length += 1
        spaces = self.reader.prefix(length)
        if "\t" in spaces:
            self.reader.forward(length)
        chunks = super().scan_plain_spaces(indent, start_mark)
        if self.reader.column >= indent:
            self._skip("\t")
        return chunks or ([spaces] if "\t" in spaces and self.reader.column else chunks)

    def scan_anchor(self, token_class: Any) -> Any:
        """End the name of an anchor or alias at a colon, and go back to it."""
        token = super().scan_anchor(token_class)
        name, colon, rest = token.value.partition(":")
        back = len(colon + rest)
        if back and name:
            for counter in ("pointer", "index", "column"):
                setattr(self.reader, counter, getattr(self.reader, counter) - back)
            token = token_class(name, token.start_mark, self.reader.get_mark())
        return token

    def _skip(self, character: str) -> None:
        while self.reader.peek() == character:
            self.reader.forward()
