"""A real YAML language server completes figures, kinds and tests in a pack by the schema in its first line.

It is the npm package yaml-language-server. FILMCHECK_YAML_SERVER names its executable; without it, or without node,
the tests are skipped. ``npm install yaml-language-server`` in a folder puts it at
``node_modules/.bin/yaml-language-server``.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[2]
SERVER = os.environ.get("FILMCHECK_YAML_SERVER", "")
HEAD = """\
# yaml-language-server: $schema=rule-pack.editor.schema.json
pack: House rules
rules:
  - rule: too-fast
"""

pytestmark = pytest.mark.skipif(
    not SERVER or shutil.which("node") is None, reason="there is no node, or FILMCHECK_YAML_SERVER names no server"
)


class Server:
    """Speaks the Language Server Protocol 3.17 with a server over its standard streams."""

    def __init__(self) -> None:
        self.process = subprocess.Popen([SERVER, "--stdio"], stdin=subprocess.PIPE, stdout=subprocess.PIPE)
        self.number = 0
        self.ask("initialize", {"processId": None, "rootUri": None, "capabilities": {}})
        self.say("initialized", {})

    def say(self, method: str, parameters: Any, **more: Any) -> None:
        text = json.dumps({"jsonrpc": "2.0", "method": method, "params": parameters, **more}).encode()
        assert self.process.stdin
        self.process.stdin.write(b"Content-Length: %d\r\n\r\n%s" % (len(text), text))
        self.process.stdin.flush()

    def ask(self, method: str, parameters: Any) -> Any:
        self.number += 1
        self.say(method, parameters, id=self.number)
        while (message := self.message()).get("id") != self.number or "method" in message:
            pass
        return message["result"]

    def message(self) -> dict[str, Any]:
        assert self.process.stdout
        length = 0
        while line := self.process.stdout.readline().strip():
            if line.lower().startswith(b"content-length:"):
                length = int(line.split(b":")[1])
        message: dict[str, Any] = json.loads(self.process.stdout.read(length))
        return message


@pytest.fixture(scope="module")
def server() -> Iterator[Server]:
    made = Server()
    yield made
    made.process.kill()
    made.process.communicate()


def offered(server: Server, folder: Path, written: str) -> set[str]:
    """Give what the server offers behind what is written of a rule."""
    path = folder / "house.yaml"
    text = HEAD + written
    document = {"uri": path.as_uri(), "languageId": "yaml", "version": 1, "text": text}
    (folder / "rule-pack.editor.schema.json").write_bytes((ROOT / "schemas/rule-pack.editor.schema.json").read_bytes())
    server.say("textDocument/didOpen", {"textDocument": document})
    position = {"line": text.count("\n"), "character": len(text.rpartition("\n")[2])}
    answer = server.ask("textDocument/completion", {"textDocument": {"uri": path.as_uri()}, "position": position})
    return {item["label"] for item in answer["items"]}


def remarks(server: Server, path: Path) -> list[str]:
    """Give what the server marks in a pack."""
    document = {"uri": path.as_uri(), "languageId": "yaml", "version": 1, "text": path.read_text(encoding="utf-8")}
    server.say("textDocument/didOpen", {"textDocument": document})
    while True:
        message = server.message()
        told = message.get("params", {})
        if message.get("method") == "textDocument/publishDiagnostics" and told["uri"].endswith(path.name):
            return [f"{one['range']['start']['line'] + 1}: {one['message']}" for one in told["diagnostics"]]


@pytest.mark.parametrize(
    ("written", "wanted"),
    [
        ("    requires:\n      liner.", {"liner.caliper", "liner.maximum_temperature", "web.speed", "some", "when"}),
        ("    for_each: ", {"uv lamp", "web cleaner", "zone", "lane"}),
        ("    requires:\n      some: ", {"uv lamp", "web_cleaner", "deviation"}),
        ("    requires:\n      web.speed:\n        at", {"at_most", "at_least", "between"}),
        ("    requires:\n      some: nip\n      after: ", {"this", "last uv lamp", "previous print"}),
        ("    no_other_job:\n      same: ", {"press", "die", "print cylinder"}),
        ("    proof:\n      - case: fast\n        verdict: ", {"fail", "pass", "not applicable"}),
    ],
    ids=["figures", "kinds", "things", "tests", "places", "other jobs", "verdicts"],
)
def test_words_are_completed(written: str, wanted: set[str], server: Server, tmp_path: Path) -> None:
    assert wanted <= offered(server, tmp_path, written)


def test_only_what_a_figure_can_be_is_offered(server: Server, tmp_path: Path) -> None:
    assert offered(server, tmp_path, "    requires:\n      liner.material: ") == {"film", "paper"}


@pytest.mark.parametrize("path", sorted(ROOT.glob("rules/*.yaml")), ids=lambda path: path.stem)
def test_no_shipped_pack_is_marked(path: Path, server: Server) -> None:
    assert remarks(server, path) == []


def test_a_misspelt_test_is_marked(server: Server, tmp_path: Path) -> None:
    offered(server, tmp_path, "")  # puts the schema there
    pack = tmp_path / "misspelt.yaml"
    pack.write_text(HEAD + "    requires: {web.speed: {at_mst: 80 m/min}}\n", encoding="utf-8")
    assert any("at_mst" in remark for remark in remarks(server, pack))
