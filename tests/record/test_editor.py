"""What an editor makes of the schema, tried through the YAML language server of editors, over its own protocol."""

import json
import queue
import re
import subprocess
import threading
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from lidoff.record.marks import Marks
from lidoff.record.paths import written
from lidoff.record.reader import Node, read
from lidoff.record.reference import vocabularies
from lidoff.record.schema import shape_at
from lidoff.record.template import KnownNames, new_record

ROOT = Path(__file__).resolve().parents[2]
HERE = Path(__file__).parent
DEMO = sorted((ROOT / "entries").glob("*/*/record.yaml"))
MODELINE = "# yaml-language-server: $schema=../../../schema/record.schema.json\n"
START = "schema: 1\nstatus: draft\nteardown: {date: 2026-03-09}\nports: [{id: C1, connector: usb-c}]\n"
PRODUCT = "product: {brand: A, model: B, kind: outlet}\n"
LONGEST_WAIT_S = 60
# rules whose faults the schema alone can tell; the others are about how a value is written
OF_THE_SCHEMA = (
    "record-conflict", "record-count", "record-form", "record-kind", "record-length", "record-missing-key",
    "record-range", "record-repeated", "record-structure", "record-unknown-key", "record-version", "record-word",
)  # fmt: skip
REFUSED = [file for rule in OF_THE_SCHEMA for file in sorted((HERE / "bad").glob(f"{rule}_*.yaml"))]

pytestmark = pytest.mark.long


class Editor:
    """The editor's side of the language server protocol, as far as the tests need it."""

    def __init__(self, program: Path, settings: dict) -> None:
        self.settings = settings
        self.process = subprocess.Popen(
            ["node", str(program), "--stdio"], stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL
        )
        self.messages: queue.Queue[dict] = queue.Queue()
        self.complaints: dict[str, list[dict]] = {}
        self.asked = self.opened = 0
        self.path = ROOT
        threading.Thread(target=self._listen, daemon=True).start()
        completion = {"completionItem": {"snippetSupport": True, "documentationFormat": ["markdown"]}}
        able = {"textDocument": {"completion": completion}, "workspace": {"configuration": True}}
        folder = {"uri": ROOT.as_uri(), "name": "base"}
        self.ask("initialize", processId=None, rootUri=folder["uri"], capabilities=able, workspaceFolders=[folder])
        self.tell("initialized")

    def close(self) -> None:
        """End the server in the way of the protocol."""
        self.ask("shutdown")
        self.tell("exit")
        self.process.stdin.close()
        self.process.wait(LONGEST_WAIT_S)

    def tell(self, method: str, **parameters: object) -> None:
        self._send({"method": method, "params": parameters})

    def ask(self, method: str, **parameters: object) -> object:
        self.asked += 1
        number = self.asked
        self._send({"id": number, "method": method, "params": parameters})
        return self._until(lambda message: message.get("id") == number and "method" not in message)["result"]

    def open(self, text: str, path: Path | None = None) -> list[dict]:
        """Show a text to the server as a new record, or as the file of that path; what it complains of."""
        self.opened += 1
        self.path = path or ROOT / "entries" / "fernhollow" / f"new-{self.opened}" / "record.yaml"
        uri = self.path.as_uri()
        self.tell("textDocument/didOpen", textDocument={"uri": uri, "languageId": "yaml", "version": 1, "text": text})
        self._until(lambda message: uri in self.complaints)
        return self.complaints[uri]

    def complete(self, text: str) -> dict[str, str]:
        """What the server offers where the text has a bar, by label, with what it says of it."""
        line, column = text[: text.index("|")].count("\n"), text.index("|") - text.rfind("\n", 0, text.index("|")) - 1
        self.open(text.replace("|", ""))
        offered = self.ask("textDocument/completion", **self._at(line, column))
        items = offered["items"] if isinstance(offered, dict) else offered
        return {item["label"]: _words(item.get("documentation")) for item in items}

    def hover(self, line: int, column: int) -> str:
        """What the server says of a place in the text shown last; line and column count from 1."""
        said = self.ask("textDocument/hover", **self._at(line - 1, column - 1))
        return _words(said["contents"]) if said else ""

    def _at(self, line: int, column: int) -> dict:
        return {"textDocument": {"uri": self.path.as_uri()}, "position": {"line": line, "character": column}}

    def _send(self, message: dict) -> None:
        content = json.dumps({"jsonrpc": "2.0", **message}).encode()
        self.process.stdin.write(b"Content-Length: %d\r\n\r\n" % len(content) + content)
        self.process.stdin.flush()

    def _listen(self) -> None:
        while header := self.process.stdout.readline():
            length = int(header.partition(b":")[2])
            while self.process.stdout.readline().strip():
                continue
            self.messages.put(json.loads(self.process.stdout.read(length)))

    def _until(self, is_wanted: Callable[[dict], bool]) -> dict:
        while True:
            message = self.messages.get(timeout=LONGEST_WAIT_S)
            if message.get("method") == "textDocument/publishDiagnostics":
                self.complaints[message["params"]["uri"]] = message["params"]["diagnostics"]
            elif "method" in message and "id" in message:
                items = message["params"].get("items", ()) if message.get("params") else ()
                self._send({"id": message["id"], "result": [self.settings.get(item["section"]) for item in items]})
            if is_wanted(message):
                return message


def _words(content: dict | str | None) -> str:
    """Plain text of what the server says, without the signs and escapes of Markdown."""
    text = content["value"] if isinstance(content, dict) else content or ""
    return re.sub(r"\\([^a-zA-Z0-9\s])", r"\1", text.replace("&nbsp;", " "))


@pytest.fixture(scope="module")
def editor_with(node_modules: Path) -> Iterator[Callable[[dict], Editor]]:
    """Starts a language server with an editor's settings."""
    started: list[Editor] = []

    def start(settings: dict) -> Editor:
        started.append(Editor(node_modules / "yaml-language-server" / "bin" / "yaml-language-server", settings))
        return started[-1]

    yield start
    for editor in started:
        editor.close()


@pytest.fixture(scope="module")
def editor(editor_with: Callable[[dict], Editor]) -> Editor:
    """An editor that knows nothing of the repository: the first line of a record must do."""
    return editor_with({})


@pytest.fixture(scope="module")
def workspace(editor_with: Callable[[dict], Editor]) -> Editor:
    """An editor that has opened the repository's folder, with its settings."""
    settings = json.loads((ROOT / ".vscode" / "settings.json").read_text(encoding="utf-8"))
    return editor_with({"yaml": {key.removeprefix("yaml."): value for key, value in settings.items()}})


@pytest.mark.parametrize(
    ("text", "field", "given"),
    [
        ("schema: 1\n|", "", {"schema"}),
        ("product:\n  brand: A\n  |", "product", {"brand"}),
        ("ports:\n  - id: C1\n    |", "ports[0]", {"id"}),
        ("measured:\n  mass_g: 1\n  |", "measured", {"mass_g"}),
        ("measured:\n  efficiency:\n    - port: C1\n      |", "measured.efficiency[0]", {"port"}),
        ("components:\n  - ref: Q1\n    |", "components[0]", {"ref"}),
        ("components:\n  - ref: Q1\n    ratings:\n      voltage_v: 1\n      |", "components[0].ratings", {"voltage_v"}),
    ],
)
def test_keys_are_offered_with_their_descriptions(editor: Editor, text: str, field: str, given: set[str]) -> None:
    offered = editor.complete(MODELINE + text)
    keys = {key: shape.schema["description"] for key, shape in shape_at(field).keys.items() if key not in given}
    assert set(keys) <= set(offered)
    assert {key: offered[key] for key in keys} == keys
    # beside the keys there are blocks of required ones, which editors call by what they are for
    assert not {label for label in offered if label not in keys} & set(shape_at(field).keys)


@pytest.mark.parametrize(
    ("text", "vocabulary"),
    [
        ("status: |\n", "status"),
        ("product:\n  kind: |\n", "product_kind"),
        ("conversion:\n  primary: |\n", "primary"),
        ("components:\n  - ref: Q1\n    technology: |\n", "technology"),
        ("components:\n  - ref: Q1\n    roles:\n      - |\n", "role"),
        ("ports:\n  - id: C1\n    protocols: [|]\n", "protocol"),
    ],
)
def test_words_are_offered_with_their_definitions(editor: Editor, text: str, vocabulary: str) -> None:
    (known,) = (one for one in vocabularies() if one.name == vocabulary)
    assert editor.complete(MODELINE + text) == {word.word: word.meaning for word in known.words}


def test_a_key_says_what_it_means_under_the_pointer(editor: Editor, sample_text: str) -> None:
    assert editor.open(MODELINE + sample_text) == []
    spots = list(key_places(read(MODELINE + sample_text, "").root, ()))
    assert len(spots) > 400
    # at the very first letter of a line the server still speaks of what stands above, so the pointer is on the second
    said = {field: editor.hover(line, column + 1) for field, line, column in spots}
    assert [field for field in said if shape_at(field).schema["description"] not in said[field]] == []


def key_places(node: Node, trail: tuple) -> Iterator[tuple[str, int, int]]:
    """Every key of a tree with its field, line and column."""
    if node.kind == "list":
        for index, item in enumerate(node.content):
            yield from key_places(item, (*trail, index))
    elif node.kind == "mapping":
        for key, value in node.content:
            yield written((*trail, key.content)), key.line, key.column
            yield from key_places(value, (*trail, key.content))


def test_an_unknown_key_and_a_wrong_word_are_underlined(editor: Editor) -> None:
    text = MODELINE + START + PRODUCT + "conversion: {primary: flybak}\ncomponents:\n"
    text += "  - {ref: C1, roles: [bulk-capacitor], colour: red}\n"
    complaints = editor.open(text)
    marks = Marks("record.yaml", text)
    word, key = marks.place("conversion.primary"), marks.key_place("components[0].colour")
    starts = [(one["range"]["start"], one["message"]) for one in complaints]
    told = {(start["line"] + 1, start["character"] + 1): message for start, message in starts}
    assert set(told) == {(word.line, word.column), (key.line, key.column)}
    assert "flyback-quasi-resonant" in told[word.line, word.column] and "colour" in told[key.line, key.column]


@pytest.mark.parametrize("file", DEMO, ids=lambda file: "/".join(file.parts[-3:-1]))
def test_a_demo_record_has_no_complaint(editor: Editor, file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    assert text.startswith(MODELINE) and editor.open(text, file) == []


def test_a_new_record_is_complained_of_only_where_nobody_can_derive_it(editor: Editor) -> None:
    path = "entries/fernhollow/fh-99/record.yaml"
    text = new_record("Fernhollow", "FH-99", "2026-03-09", path, "../../../schema/record.schema.json", KnownNames())
    lines = {one["range"]["start"]["line"] for one in editor.open(text)}
    assert {text.splitlines()[line].split(":")[0].strip() for line in lines} == {"kind", "connector"}


def test_the_settings_of_the_folder_do_without_the_first_line(workspace: Editor, sample_text: str) -> None:
    wrong = sample_text.replace("status: published", "status: publish")
    (complaint,) = workspace.open(wrong)
    assert "published" in complaint["message"]
    assert workspace.open("names: []\n", ROOT / "entries" / "other-protocols.yaml") == []


@pytest.mark.parametrize("file", REFUSED, ids=lambda file: file.stem)
def test_what_the_schema_refuses_is_underlined_too(workspace: Editor, file: Path) -> None:
    assert workspace.open(file.read_text(encoding="utf-8"))


@pytest.mark.parametrize("file", sorted((HERE / "good").glob("*.yaml")), ids=lambda file: file.stem)
def test_what_is_sound_is_left_alone(workspace: Editor, file: Path) -> None:
    assert workspace.open(file.read_text(encoding="utf-8-sig")) == []
