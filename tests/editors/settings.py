"""Starts the server as the settings of an editor that is not run here say, in the editor's stead.

Helix and Sublime Text are in no package registry that the tests reach. What can be known
without them is checked: that their files can be read as the formats that their documentation
names, that the command in them is a server, that it takes the settings in them without a
complaint, and that it finds what a reader would find.
"""

import json
import os
import pathlib
import subprocess
import sys
import tomllib

HERE = pathlib.Path(__file__).resolve().parent
EDITORS = HERE.parent.parent / "editors"
TEXT = (HERE / "column.pgn").read_text(encoding="utf-8")


def frame(message):
    body = json.dumps({"jsonrpc": "2.0", **message}).encode()
    return b"Content-Length: %d\r\n\r\n%b" % (len(body), body)


def read(stream):
    length = 0
    while line := stream.readline().strip():
        name, value = line.split(b":")
        if name.lower() == b"content-length":
            length = int(value)
    return json.loads(stream.read(length)) if length else None


def findings(command, settings):
    """The codes of the findings in `column.pgn`; what the server complains of is an error."""
    assert command[0] == "gainsay", command
    server = subprocess.Popen(
        [os.environ["GAINSAY"], *command[1:]], stdin=subprocess.PIPE, stdout=subprocess.PIPE
    )
    try:
        return talk(server, settings)
    finally:
        server.kill()


def talk(server, settings):
    uri = "file:///somewhere/column.pgn"
    document = {"uri": uri, "languageId": "pgn", "version": 1, "text": TEXT}

    def tell(*messages):
        server.stdin.write(b"".join(map(frame, messages)))
        server.stdin.flush()

    def hear(wanted):
        while True:
            message = read(server.stdout)
            assert message is not None, "the server ended"
            assert message.get("method") != "window/showMessage", message
            if wanted(message):
                return message

    first = {"capabilities": {}, "initializationOptions": settings}
    tell({"id": 1, "method": "initialize", "params": first})
    hear(lambda message: message.get("id") == 1)
    tell(
        {"method": "initialized", "params": {}},
        {"method": "workspace/didChangeConfiguration", "params": {"settings": settings}},
        {"method": "textDocument/didOpen", "params": {"textDocument": document}},
    )
    told = hear(lambda message: message.get("method") == "textDocument/publishDiagnostics")
    tell({"id": 2, "method": "shutdown"}, {"method": "exit"})
    server.stdin.close()
    server.stdout.read()
    assert server.wait(20) == 0
    return [one["code"] for one in told["params"]["diagnostics"]]


def check(name, command, settings):
    found = findings(command, settings)
    assert found == ["missing-mate-sign"], (name, found)
    # With a setting that does not exist the check itself must fail.
    try:
        findings(command, {**settings, "no-such-setting": 1})
    except AssertionError:
        return
    sys.exit(f"{name}: the server takes any setting, so this check cannot fail")


def helix():
    languages = tomllib.loads((EDITORS / "helix/languages.toml").read_text())
    servers = languages["language-server"]
    for language in languages["language"]:
        assert language["scope"] and language["file-types"], language
        assert all(server in servers for server in language["language-servers"]), language
    server = servers["gainsay"]
    check("Helix", [server["command"], *server["args"]], server["config"])


def sublime():
    client = json.loads((EDITORS / "sublime/LSP.sublime-settings").read_text())["clients"]["gainsay"]
    assert client["enabled"] is True
    check("Sublime Text", client["command"], client["initializationOptions"])


if __name__ == "__main__":
    helix()
    sublime()
    print("Helix, Sublime Text: the server takes the settings and finds what it should")
