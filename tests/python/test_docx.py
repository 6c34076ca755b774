"""Documents of a word processor, written and read back with python-docx (PyPI, an independent
library)."""

import json
import subprocess

import docx

from common import gainsay

POSITION = "6k1/5ppp/8/8/8/8/5PPP/4R1K1 w - - 0 1"


def written(path):
    """A document with one true claim, one false one, and a game with a move that cannot be."""
    document = docx.Document()
    document.add_heading("Back ranks", level=1)
    document.add_paragraph("A first paragraph that says nothing of chess.")
    document.add_paragraph("")
    document.add_paragraph("Position: ").add_run(POSITION).bold = True
    false = document.add_paragraph("White mates ")
    false.add_run("in three").italic = True
    false.add_run(" moves & no sooner: 1.Re7 mate.")
    document.add_heading("A short game", level=2)
    document.add_paragraph("1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 4. Bxb7 *")
    table = document.add_table(rows=1, cols=2)
    table.cell(0, 0).text = "left"
    table.cell(0, 1).text = "right"
    document.save(path)


def run(*arguments, cwd):
    return subprocess.run(
        [gainsay(), "check", "--no-cache", *arguments],
        capture_output=True,
        text=True,
        check=False,
        cwd=cwd,
    )


def test_findings_are_comments_on_their_paragraphs(tmp_path):
    written(tmp_path / "book.docx")
    made = run("book.docx", "--format", "json", "--comments", "copy.docx", cwd=tmp_path)
    assert made.returncode == 1, made.stderr
    findings = json.loads(made.stdout)["files"][0]["findings"]
    assert any(finding["rule"] == "illegal-move" for finding in findings), findings

    before = docx.Document(tmp_path / "book.docx")
    after = docx.Document(tmp_path / "copy.docx")
    texts = [paragraph.text for paragraph in before.paragraphs]
    assert [paragraph.text for paragraph in after.paragraphs] == texts
    comments = {comment.comment_id: comment for comment in after.comments}
    assert len(comments) == len(findings)
    marks = "{http://schemas.openxmlformats.org/wordprocessingml/2006/main}"
    told = []
    for number, paragraph in enumerate(after.paragraphs, 1):
        starts = paragraph._p.iter(f"{marks}commentRangeStart")
        ends = [end.get(f"{marks}id") for end in paragraph._p.iter(f"{marks}commentRangeEnd")]
        for start in starts:
            assert start.get(f"{marks}id") in ends
            comment = comments[int(start.get(f"{marks}id"))]
            assert comment.author == "gainsay"
            told.append((number, comment.text.split("\n")[0]))
    assert told == [
        (
            finding["from"]["line"],
            f"{finding['severity']}: {finding['message']} [{finding['rule']}]",
        )
        for finding in findings
    ]
    assert texts.index("1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 4. Bxb7 *") + 1 in dict(told)

    # Ours is written anew; what somebody saved since is not.
    again = run("book.docx", "--comments", "copy.docx", cwd=tmp_path)
    assert again.returncode == 1 and again.stderr == "", again.stderr
    after = docx.Document(tmp_path / "copy.docx")
    after.save(tmp_path / "copy.docx")
    kept = (tmp_path / "copy.docx").read_bytes()
    refused = run("book.docx", "--comments", "copy.docx", cwd=tmp_path)
    assert refused.returncode == 2 and "not written by gainsay" in refused.stderr
    assert (tmp_path / "copy.docx").read_bytes() == kept

    # A document with comments gets more of them.
    more = run("copy.docx", "--format", "json", "--comments", "more.docx", cwd=tmp_path)
    assert more.returncode == 1, more.stderr
    assert len(list(docx.Document(tmp_path / "more.docx").comments)) == 2 * len(findings)


def test_documents_are_read_and_not_mended(tmp_path):
    written(tmp_path / "book.docx")
    before = (tmp_path / "book.docx").read_bytes()
    for options in (["--mend"], ["--export"], ["--mend", "--dry-run"]):
        made = run("book.docx", *options, cwd=tmp_path)
        assert made.returncode == 2 and "read and not mended" in made.stderr, made.stderr
    assert (tmp_path / "book.docx").read_bytes() == before
    document = docx.Document()
    document.add_paragraph("No chess here.")
    document.save(tmp_path / "letter.docx")
    made = run(".", "--format", "json", cwd=tmp_path)
    assert [file["path"] for file in json.loads(made.stdout)["files"]] == ["book.docx"]
    two = run("book.docx", "letter.docx", "--comments", "copy.docx", cwd=tmp_path)
    assert two.returncode == 2 and "one .docx file" in two.stderr
    same = run("book.docx", "--comments", "./book.docx", cwd=tmp_path)
    assert same.returncode == 2 and "file that is checked" in same.stderr
    assert (tmp_path / "book.docx").read_bytes() == before
