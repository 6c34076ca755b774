"""The ready files for servers, hooks and package managers: what they run is run here, from the
files themselves, with the built command in repositories of its own."""

import functools
import http.server
import json
import os
import pathlib
import re
import shutil
import subprocess
import sys
import threading

import pytest
import yaml

from common import ROOT, gainsay

RIGHT = '[Event "A"]\n\n1. e4 e5 2. Nf3 *\n'
WRONG = '[Event "A"]\n\n1. e4 e5 2. Ke3 *\n'
ODD = '[Event "A"]\n\n1. e4 e5 3. Nf3 *\n'
TARGET = "x86_64-unknown-linux-gnu"
ACTION = ROOT / ".github" / "actions" / "check" / "action.yml"
RELEASE = ROOT / ".github" / "workflows" / "release.yml"
GITLAB = ROOT / ".gitlab" / "gainsay.yml"
# Tools that pip installed stand beside Python.
TOOLS = pathlib.Path(sys.executable).parent
VERSION = subprocess.run(
    [gainsay(), "--version"], stdout=subprocess.PIPE, text=True, check=True
).stdout.split()[1]


def run(script, cwd, shell=("bash", "--noprofile", "--norc", "-eo", "pipefail"), **more):
    """Runs a script as a step of GitHub's is run: the exit code and all that was said."""
    environment = {
        name: value for name, value in os.environ.items() if not name.startswith("GIT_")
    }
    # An empty home: no settings of Git, no command of somebody else.
    environment.update({"HOME": str(cwd), "XDG_CACHE_HOME": str(cwd / ".cache")})
    environment.update(more)
    done = subprocess.run(
        [*shell, "-c", script],
        cwd=cwd,
        env=environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    return done.returncode, done.stdout


@pytest.fixture
def repository(tmp_path):
    path = tmp_path / "repository"
    path.mkdir()
    for name, text in [("right.pgn", RIGHT), ("wrong one.pgn", WRONG), ("odd.pgn", ODD)]:
        (path / name).write_text(text)
    code, said = run(
        "git init --quiet && git add . && "
        "git -c user.name=Ada -c user.email=ada@example.org commit --quiet -m x",
        path,
    )
    assert code == 0, said
    return path


@pytest.fixture
def on_path(tmp_path):
    """A path on which the command stands."""
    folder = tmp_path / "bin"
    folder.mkdir()
    (folder / "gainsay").symlink_to(gainsay())
    return f"{folder}:{os.environ['PATH']}"


@pytest.fixture(scope="module")
def release(tmp_path_factory):
    """The address of a release, made by the workflow's own lines and served from here."""
    work = tmp_path_factory.mktemp("release")
    for name in ["README.md", "LICENSE", "editors"]:
        (work / name).symlink_to(ROOT / name)
    steps = yaml.safe_load(RELEASE.read_text())["jobs"]["build"]["steps"]
    (archive,) = [step["run"] for step in steps if step.get("name") == "Archive"]
    code, said = run(archive, work, BINARY=gainsay(), TARGET=TARGET)
    assert code == 0, said
    folder = work / "ada" / "book" / "releases" / "download"
    folder.mkdir(parents=True)
    (work / "dist").rename(folder / "v9")
    handler = functools.partial(http.server.SimpleHTTPRequestHandler, directory=work)
    handler.log_message = lambda *_: None
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}", folder / "v9"
    server.shutdown()


def action(cwd, temporary, server="http://127.0.0.1:9", **inputs):
    """Runs the steps of the action, and returns the first code that is not 0."""
    made = yaml.safe_load(ACTION.read_text())
    given = {name: value["default"] for name, value in made["inputs"].items()}
    assert set(inputs) <= set(given)
    given.update(inputs)
    values = {f"inputs.{name}": value for name, value in given.items()}
    values["github.action_repository"] = "ada/book"
    values["inputs.version || github.action_ref"] = given["version"] or "v9"
    all_said = ""
    temporary.mkdir(exist_ok=True)
    output = temporary / "output"
    output.write_text("")
    for step in made["runs"]["steps"]:
        names = step["env"].items()
        expression = re.compile(r"\$\{\{ (.*?) \}\}")
        assert not expression.search(step["run"]), "nobody's words become a script"
        environment = {
            name: expression.sub(lambda found: values[found[1]], value) for name, value in names
        }
        assert step["shell"] == "bash"
        code, said = run(
            step["run"],
            cwd,
            **environment,
            GITHUB_OUTPUT=str(output),
            GITHUB_SERVER_URL=server,
            RUNNER_TEMP=str(temporary),
            RUNNER_OS="Linux",
            RUNNER_ARCH="X64",
        )
        all_said += said
        if code:
            return code, all_said
        for line in output.read_text().splitlines():
            name, value = line.split("=", 1)
            values[f"steps.{step['id']}.outputs.{name}"] = value
        output.write_text("")
    return 0, all_said


def test_action_checks(repository, tmp_path):
    code, said = action(repository, tmp_path, gainsay=gainsay())
    assert code == 1
    assert "::error file=wrong one.pgn,line=3," in said
    check = functools.partial(action, repository, tmp_path, gainsay=gainsay())
    assert check(paths="right.pgn\nodd.pgn\n")[0] == 0
    assert check(paths="odd.pgn", **{"fail-on": "warning"})[0] == 1
    assert check(paths="missing.pgn")[0] == 2
    hostile = 'a"; touch owned; $(touch owned)\n`touch owned`'
    assert check(paths=hostile)[0] == 2
    assert not (repository / "owned").exists()
    (repository / "mine.toml").write_text('[rules]\nillegal-move = "off"\n')
    assert check(settings="mine.toml")[0] == 0
    code, said = check(**{"sarif-file": "log.sarif"})
    assert code == 1 and "::error file=wrong one.pgn" in said
    (results,) = json.loads((repository / "log.sarif").read_text())["runs"]
    assert [result["ruleId"] for result in results["results"]].count("illegal-move") == 1


def test_action_installs_a_release(repository, tmp_path, release):
    server, folder = release
    code, said = action(repository, tmp_path, server)
    assert code == 1 and "::error file=wrong one.pgn" in said, said
    assert action(repository, tmp_path / "x", server, paths="right.pgn")[0] == 0
    # What came is not what was released.
    sums = folder / f"gainsay-{TARGET}.tar.gz.sha256"
    old = sums.read_text()
    sums.write_text("0" * 64 + old[64:])
    code, said = action(repository, tmp_path, server, paths="right.pgn")
    sums.write_text(old)
    assert code == 1 and "::error" not in said
    # No such release.
    assert action(repository, tmp_path, server, version="v8")[0] not in (0, 1)


def gitlab(cwd, shell, **environment):
    job = yaml.safe_load(GITLAB.read_text())["gainsay"]
    names = {**job["variables"], **environment}
    return run("\n".join(job["script"]), cwd, shell=(shell, "-e"), **names)


@pytest.mark.parametrize("shell", ["sh", "bash"])
def test_gitlab_job(repository, on_path, shell):
    code, said = gitlab(repository, shell, PATH=on_path)
    assert code == 1 and "illegal-move" in said
    assert (repository / "gainsay.xml").read_text().count("<failure") == 1
    assert gitlab(repository, shell, PATH=on_path, GAINSAY_PATHS="right.pgn odd.pgn")[0] == 0
    report = (repository / "gainsay.xml").read_text()
    assert "<failure" not in report and "wrong-move-number" in report
    options = {"GAINSAY_OPTIONS": "--fail-on warning", "GAINSAY_PATHS": "odd.pgn"}
    assert gitlab(repository, shell, PATH=on_path, **options)[0] == 1
    code, said = gitlab(repository, shell, PATH=on_path, GAINSAY_PATHS="missing.pgn")
    assert code != 0 and "missing.pgn: no such file" in said


@pytest.mark.skipif(shutil.which("gainsay") is not None, reason="it would not be downloaded")
def test_gitlab_job_installs_a_release(repository, release):
    address = f"{release[0]}/ada/book/releases/download/v9"
    code, said = gitlab(repository, "sh", GAINSAY_RELEASE=address)
    assert code == 1 and "illegal-move" in said, said
    code, said = gitlab(repository, "sh")
    assert code == 2 and "GAINSAY_RELEASE" in said


def test_release_holds_what_it_says(release):
    archive = release[1] / f"gainsay-{TARGET}.tar.gz"
    names = subprocess.run(
        ["tar", "-tzf", archive], stdout=subprocess.PIPE, text=True, check=True
    ).stdout.split()
    names = {name.removeprefix(f"gainsay-{TARGET}/") for name in names} - {""}
    shells = {f"gainsay.{shell}" for shell in "bash elvish fish powershell zsh".split()}
    assert names == {"gainsay", "README.md", "LICENSE", "gainsay.1"} | shells


def test_pre_commit(repository, on_path, tmp_path):
    home = str(tmp_path / "pre-commit")
    check = functools.partial(run, cwd=repository, PATH=on_path, PRE_COMMIT_HOME=home)
    command = f"'{TOOLS}/pre-commit' try-repo '{ROOT}' gainsay"
    code, said = check(f"{command} --files right.pgn odd.pgn")
    assert code == 0 and "Passed" in said, said
    code, said = check(f"{command} --all-files")
    assert code == 1 and "wrong one.pgn:3:" in said, said
    (repository / "notes.txt").write_text(WRONG)
    code, said = check(f"{command} --files notes.txt")
    assert code == 0 and "no files to check" in said, said


@pytest.mark.parametrize(
    "schema, file",
    [("github-actions", ACTION), ("github-workflows", RELEASE), ("gitlab-ci", GITLAB)],
)
def test_files_are_what_their_services_read(schema, file):
    subprocess.run(
        [TOOLS / "check-jsonschema", "--builtin-schema", f"vendor.{schema}", file], check=True
    )


@pytest.mark.skipif(sys.platform != "linux", reason="the packages are named here")
def test_npm_packages(tmp_path, release):
    package = json.loads((ROOT / "editors" / "npm" / "package.json").read_text())
    versions = {package["version"], *package["optionalDependencies"].values()}
    assert versions == {VERSION}
    for name in ["editors"]:
        (tmp_path / name).symlink_to(ROOT / name)
    (tmp_path / "dist").mkdir()
    jobs = yaml.safe_load(RELEASE.read_text())["jobs"]
    steps = jobs["build"]["steps"] + jobs["release"]["steps"]
    for wanted in ["Package for npm", "The npm package that finds the others"]:
        (script,) = [step["run"] for step in steps if step.get("name") == wanted]
        code, said = run(script, tmp_path, BINARY=gainsay())
        assert code == 0, said
    archives = sorted(path.name for path in (tmp_path / "dist").glob("*.tgz"))
    assert archives == [f"gainsay-{VERSION}.tgz", f"gainsay-linux-x64-{VERSION}.tgz"]
    book = tmp_path / "book"
    book.mkdir()
    (book / "package.json").write_text('{"private": true}')
    (book / "wrong.pgn").write_text(WRONG)
    (book / "right.pgn").write_text(RIGHT)
    # Nothing is looked for outside: what is not in the two packages is not needed.
    code, said = run(
        "npm install --offline --no-audit --no-fund ../dist/*.tgz", book
    )
    assert code == 0, said
    for name, expected in [("wrong.pgn", 1), ("right.pgn", 0), ("missing.pgn", 2)]:
        code, said = run(f"npx --offline gainsay check {name}", book)
        assert code == expected, said
    code, said = run("echo '1. e4 e5 2. Ke3 *' | npx --offline gainsay check -", book)
    assert code == 1 and "illegal-move" in said
    shutil.rmtree(book / "node_modules" / "gainsay-linux-x64")
    code, said = run("npx --offline gainsay check right.pgn", book)
    assert code == 2 and "gainsay-linux-x64" in said


def test_wheel(tmp_path):
    # Built in the profile of the command under test, so that nothing is compiled twice.
    profile = ["--release"] if pathlib.Path(gainsay()).parent.name == "release" else []
    subprocess.run(
        [TOOLS / "maturin", "build", "--quiet", "--locked", *profile]
        + ["--manifest-path", ROOT / "crates/cli/Cargo.toml", "--out", tmp_path],
        check=True,
    )
    (wheel,) = tmp_path.glob("*.whl")
    assert wheel.name.startswith(f"gainsay-{VERSION}-py3-none-")
    prefix = tmp_path / "prefix"
    subprocess.run(
        [sys.executable, "-m", "pip", "install", "--quiet", "--disable-pip-version-check"]
        + ["--no-index", "--no-deps", "--ignore-installed", "--prefix", prefix, wheel],
        check=True,
    )
    (tmp_path / "wrong.pgn").write_text(WRONG)
    code, said = run(f"{prefix}/bin/gainsay check wrong.pgn", tmp_path)
    assert code == 1 and "illegal-move" in said
