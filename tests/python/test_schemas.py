"""What is printed as JSON against the schemas that the command prints, and against the
published schema of SARIF, by the Python package jsonschema."""

import json
import re
import subprocess
import tomllib

import pytest
from jsonschema import Draft7Validator, Draft202012Validator

from common import ROOT, gainsay

FOLDERS = ["column", "manuscript", "files"]


def printed(*arguments):
    run = subprocess.run(
        [gainsay(), *arguments], stdout=subprocess.PIPE, cwd=ROOT / "fixtures"
    )
    # Some files of the fixtures cannot be read to their end.
    assert run.returncode in (0, 1, 2)
    return run.stdout


def schema(name, *whole):
    """The schema, in which the objects named allow no field that they do not describe."""
    made = json.loads(printed("schema", name))
    Draft202012Validator.check_schema(made)
    for at in whole:
        part = made["$defs"][at] if at else made
        assert part["properties"]
        part["additionalProperties"] = False
    return Draft202012Validator(made)


WHOLE = ["File", "Finding", "Claim", "Unread", "Totals", "Related", "Remedy", "Edit"]


@pytest.mark.parametrize("folder", FOLDERS)
def test_report(folder):
    report = json.loads(printed("check", "--format", "json", folder))
    schema("report", "", *WHOLE).validate(report)
    assert any(file["findings"] for file in report["files"])


@pytest.mark.parametrize("folder", FOLDERS)
def test_findings(folder):
    lines = printed("check", "--format", "ndjson", folder).splitlines()
    whole = schema("finding", "", "Related", "Remedy", "Edit")
    assert lines
    for line in lines:
        whole.validate(json.loads(line))


def test_a_schema_refuses():
    whole = schema("finding")
    line = json.loads(printed("check", "--format", "ndjson", "column").splitlines()[0])
    for wrong in [{"severity": "grave"}, {"span": {"start": 1}}, {"message": None}]:
        assert not whole.is_valid({**line, **wrong})
    for field in line:
        assert not whole.is_valid({key: line[key] for key in line if key != field}), field


@pytest.fixture(scope="module")
def sarif():
    """The schema of SARIF 2.1.0 as OASIS published it, which `tests/run` fetches."""
    made = json.loads((ROOT / ".venv" / "sarif-2.1.0.json").read_text())
    assert made["$id"].endswith("oasis-tcs/sarif-spec/master/Schemata/sarif-schema-2.1.0.json")
    Draft7Validator.check_schema(made)
    return Draft7Validator(made, format_checker=Draft7Validator.FORMAT_CHECKER)


@pytest.mark.parametrize("folder", FOLDERS)
def test_sarif(folder, sarif):
    log = json.loads(printed("check", "--format", "sarif", folder))
    sarif.validate(log)
    (run,) = log["runs"]
    assert run["results"]


def test_sarif_of_nothing_and_of_what_is_accepted(sarif, tmp_path):
    sarif.validate(json.loads(printed("check", "--format", "sarif", "missing.pgn")))
    path = tmp_path / "a.pgn"
    path.write_text("1. e4+ {[%allow false-check-sign a joke]} e5 2. Ke3 *\n")
    log = json.loads(printed("check", "--format", "sarif", str(path)))
    sarif.validate(log)
    assert [len(result["suppressions"]) for result in log["runs"][0]["results"]].count(1) == 1


def test_the_schema_of_sarif_refuses(sarif):
    log = json.loads(printed("check", "--format", "sarif", "column"))
    for name, wrong in [("level", "grave"), ("rank", 101), ("codeFlows", [{}])]:
        log["runs"][0]["results"][0][name] = wrong
        assert not sarif.is_valid(log), name
        del log["runs"][0]["results"][0][name]


def test_settings_of_the_readme():
    made = json.loads(printed("schema", "settings"))
    Draft7Validator.check_schema(made)
    settings = Draft7Validator(made)
    readme = (ROOT / "README.md").read_text()
    examples = re.findall(r"```toml\n(.*?)```", readme, re.DOTALL)
    examples.append(printed("settings").decode())
    for example in examples:
        settings.validate(tomllib.loads(example))
    assert any("[rules]" in example for example in examples)
    for wrong in [{"noeds": 1}, {"rules": {"no-such-rule": "off"}}, {"memory": 10}, {"fail-on": "off"}]:
        assert not settings.is_valid(wrong), wrong
