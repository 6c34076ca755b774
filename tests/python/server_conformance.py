"""Every message of the server against the protocol's types (lsprotocol, PyPI).

Runs a session with every request that the server offers, over documents that are being
edited, and reads each answer, question and notification with lsprotocol's types, which
are made from the protocol's own meta model. Values outside a closed enumeration, missing
fields and wrong types fail; so do keys that the type does not have.

Usage: server_conformance.py [GAINSAY]
"""

import json
import pathlib
import random
import subprocess
import sys
import tempfile

from lsprotocol import converters, types

URI = "file:///book/column.pgn"
TEXT = """[Event "Café 😀"]
[Site "?"]
[Date "1921.03.??"]
[Round "1"]
[White "Ödön, A"]
[Black "Brück, B"]
[Result "1-0"]

1. e2-e4 e5 2. Bc4 Nc6 {naïve, see move 3} 3. Qh5 Nf6 (3... g6 4. Qf3 $1 Nf6
{A long comment
of two lines.}) 4. Qxf7 {This is mate. And there was a mate in two.} 1-0

[Event "b"]
[White "Ödön, A"]

1. e4+ e5 Nf3 {unclosed
"""
CONVERTER = converters.get_converter()


def extra_keys(given, read, path=""):
    """Keys that were given and are not there when written again."""
    if isinstance(given, dict) and isinstance(read, dict):
        for key, value in given.items():
            if value is None:
                continue
            if key not in read:
                yield f"{path}.{key}"
            else:
                yield from extra_keys(value, read[key], f"{path}.{key}")
    elif isinstance(given, list) and isinstance(read, list):
        for at, (one, other) in enumerate(zip(given, read)):
            yield from extra_keys(one, other, f"{path}[{at}]")


class Session:
    def __init__(self, program):
        self.server = subprocess.Popen(
            [program, "serve"], stdin=subprocess.PIPE, stdout=subprocess.PIPE
        )
        self.next = 0
        self.asked = {}
        self.seen = {}
        self.hear = None

    def send(self, message):
        body = json.dumps({"jsonrpc": "2.0", **message}).encode()
        self.server.stdin.write(b"Content-Length: %d\r\n\r\n" % len(body) + body)
        self.server.stdin.flush()

    def notify(self, method, params):
        self.send({"method": method, "params": params})

    def request(self, method, params=None):
        self.next += 1
        self.asked[self.next] = method
        message = {"id": self.next, "method": method}
        if params is not None:
            message["params"] = params
        self.send(message)
        while True:
            message = self.read()
            if "method" not in message and message["id"] == self.next:
                return message.get("result")

    def read(self):
        length = 0
        while True:
            line = self.server.stdout.readline()
            if not line:
                sys.exit("the server closed the stream")
            line = line.strip()
            if not line:
                break
            if line.lower().startswith(b"content-length:"):
                length = int(line.split(b":")[1])
        message = json.loads(self.server.stdout.read(length))
        self.check(message)
        if self.hear:
            self.hear(message)
        if "method" in message and "id" in message:
            result = [None] if message["method"] == "workspace/configuration" else None
            self.send({"id": message["id"], "result": result})
        return message

    def check(self, message):
        if "method" in message:
            method, kind = message["method"], types.METHOD_TO_TYPES[message["method"]][0]
        else:
            method = self.asked[message["id"]]
            if "error" in message:
                kind = types.ResponseErrorMessage
            else:
                kind = types.METHOD_TO_TYPES[method][1]
        self.seen[method] = self.seen.get(method, 0) + 1
        try:
            read = CONVERTER.structure(message, kind)
        except Exception as error:
            sys.exit(f"{method}: {error!r}\n{json.dumps(message)[:2000]}")
        # What goes in free-form fields comes back as it was.
        written = CONVERTER.unstructure(read)
        extra = [
            key
            for key in extra_keys(message, written)
            if ".data" not in key and ".arguments" not in key
        ]
        if extra:
            sys.exit(f"{method}: keys that the protocol does not have: {extra[:5]}")


def parts_of_the_workspace(session, closed):
    """The findings of a file that is not open, in parts, each of the protocol's type."""
    parts = []

    def hear(message):
        if message.get("method") == "$/progress" and message["params"]["token"] == "part":
            part = message["params"]["value"]
            read = CONVERTER.structure(part, types.WorkspaceDiagnosticReportPartialResult)
            extra = list(extra_keys(part, CONVERTER.unstructure(read)))
            extra = [key for key in extra if ".data" not in key]
            if extra:
                sys.exit(f"a part of workspace/diagnostic: keys that the protocol does not have: {extra[:5]}")
            parts.extend(read.items)

    session.hear = hear
    answer = session.request("workspace/diagnostic", {"previousResultIds": [], "partialResultToken": "part"})
    session.hear = None
    if answer != {"items": []}:
        sys.exit(f"what was sent in parts is sent again: {answer}")
    told = [part for part in parts if part.uri == closed.as_uri() and part.version is None]
    if not told or not any(item.code == "illegal-move" for item in told[-1].items):
        sys.exit(f"the file that is not open has no findings: {parts}")


def main():
    with tempfile.TemporaryDirectory() as folder:
        closed = pathlib.Path(folder).resolve() / "closed file é.pgn"
        closed.write_text("1. e4 Nh4 *\n", encoding="utf-8")
        converse(closed)


def converse(closed):
    session = Session(sys.argv[1] if len(sys.argv) > 1 else "gainsay")
    session.request(
        "initialize",
        {
            "processId": None,
            "rootUri": None,
            "workspaceFolders": [{"uri": closed.parent.as_uri(), "name": "closed"}],
            "capabilities": {
                "window": {"workDoneProgress": True},
                "workspace": {
                    "configuration": True,
                    "workspaceEdit": {"documentChanges": True},
                    "inlayHint": {"refreshSupport": True},
                    "codeLens": {"refreshSupport": True},
                    "didChangeWatchedFiles": {"dynamicRegistration": True},
                },
                "textDocument": {
                    "publishDiagnostics": {"relatedInformation": True},
                    "documentSymbol": {"hierarchicalDocumentSymbolSupport": True},
                },
            },
            "initializationOptions": {"nonsense": 1, "pictures": True, "rulePages": "rule:/"},
        },
    )
    session.notify("initialized", {})
    session.notify(
        "textDocument/didOpen",
        {"textDocument": {"uri": URI, "languageId": "pgn", "version": 1, "text": TEXT}},
    )
    document = {"uri": URI}
    options = {"tabSize": 4, "insertSpaces": True}
    dice = random.Random(5)
    lines = len(TEXT.splitlines())
    for version in range(2, 62):
        at = {"line": dice.randrange(lines), "character": dice.randrange(60)}
        whole = {"start": {"line": 0, "character": 0}, "end": {"line": 99, "character": 0}}
        place = {"textDocument": document, "position": at}
        here = {"textDocument": document, "range": {"start": at, "end": at}}
        ask = session.request
        ask("textDocument/hover", place)
        ask("textDocument/completion", place)
        ask("textDocument/definition", place)
        ask("textDocument/references", {**place, "context": {"includeDeclaration": True}})
        ask("textDocument/documentHighlight", place)
        ask("textDocument/prepareRename", place)
        ask("textDocument/rename", {**place, "newName": "Other, N"})
        ask("textDocument/onTypeFormatting", {**place, "ch": " ", "options": options})
        ask("textDocument/codeAction", {**here, "context": {"diagnostics": []}})
        ask("textDocument/codeAction", {"textDocument": document, "range": whole, "context": {"diagnostics": []}})
        ask("textDocument/inlayHint", {"textDocument": document, "range": whole})
        ask("textDocument/semanticTokens/full", {"textDocument": document})
        ask(
            "textDocument/semanticTokens/full/delta",
            {"textDocument": document, "previousResultId": "1"},
        )
        ask("textDocument/semanticTokens/range", {"textDocument": document, "range": whole})
        ask("textDocument/documentSymbol", {"textDocument": document})
        ask("textDocument/foldingRange", {"textDocument": document})
        ask("textDocument/selectionRange", {"textDocument": document, "positions": [at]})
        ask("textDocument/codeLens", {"textDocument": document})
        ask("textDocument/formatting", {"textDocument": document, "options": options})
        ask("textDocument/rangeFormatting", {**here, "options": options})
        ask("textDocument/diagnostic", {"textDocument": document})
        known = ask("workspace/diagnostic", {"previousResultIds": []})["items"]
        known = [{"uri": item["uri"], "value": item["resultId"]} for item in known]
        known.append({"uri": "file:///book/gone.pgn", "value": "0"})
        again = ask("workspace/diagnostic", {"previousResultIds": known})["items"]
        kinds = [item["kind"] for item in again if item["uri"] != closed.as_uri()]
        if version < 4 and kinds not in (["unchanged", "full"], ["full", "full"]):
            sys.exit(f"workspace/diagnostic: {kinds}")
        if version < 4:
            parts_of_the_workspace(session, closed)
        ask("workspace/symbol", {"query": "d"})
        for command in ("gainsay.board", "gainsay.fen", "gainsay.findings", "gainsay.settleMore"):
            ask("workspace/executeCommand", {"command": command, "arguments": [URI, at]})
        session.notify(
            "textDocument/didChange",
            {
                "textDocument": {"uri": URI, "version": version},
                "contentChanges": [
                    {"range": {"start": at, "end": at}, "text": dice.choice(["e", "{", "}", "\n", "Nf3 ", "😀"])}
                ],
            },
        )
    moved = "file:///book/moved.pgn"
    session.notify("workspace/didRenameFiles", {"files": [{"oldUri": URI, "newUri": moved}]})
    if session.request("textDocument/hover", {"textDocument": {"uri": moved}, "position": {"line": 0, "character": 2}}) is None:
        sys.exit("a renamed document is not known by its new address")
    session.notify("workspace/didDeleteFiles", {"files": [{"uri": moved}]})
    session.request("shutdown")
    session.notify("exit", {})
    if session.server.wait(timeout=20) != 0:
        sys.exit("the server did not end properly")
    total = sum(session.seen.values())
    print(f"{total} messages of {len(session.seen)} methods fit the protocol's types")
    for wanted in ("textDocument/publishDiagnostics", "window/showMessage", "workspace/codeLens/refresh"):
        if wanted not in session.seen:
            sys.exit(f"{wanted} was never sent")


if __name__ == "__main__":
    main()
