#![allow(clippy::unwrap_used)]

use std::{
    fs::File,
    io::{Read as _, Write as _},
    path::{Path, PathBuf},
};

use zip::{ZipArchive, ZipWriter, write::SimpleFileOptions};

use super::*;

const W: &str = "http://schemas.openxmlformats.org/wordprocessingml/2006/main";
const TYPES: &str = "<Types xmlns=\"http://schemas.openxmlformats.org/package/2006/content-types\">\
     <Default Extension=\"xml\" ContentType=\"application/xml\"/></Types>";

/// A manuscript with this body, and other parts.
fn made(folder: &Path, body: &str, others: &[(&str, &str)]) -> PathBuf {
    let path = folder.join("book.docx");
    let mut writer = ZipWriter::new(File::create(&path).unwrap());
    let document = format!("<w:document xmlns:w=\"{W}\"><w:body>{body}</w:body></w:document>");
    let own = [
        ("[Content_Types].xml", TYPES),
        ("word/document.xml", document.as_str()),
        ("word/media/picture.png", "no picture"),
    ];
    for (name, text) in own.iter().chain(others) {
        writer
            .start_file(*name, SimpleFileOptions::default())
            .unwrap();
        writer.write_all(text.as_bytes()).unwrap();
    }
    writer.finish().unwrap();
    path
}

fn part(path: &Path, name: &str) -> String {
    let mut archive = ZipArchive::new(File::open(path).unwrap()).unwrap();
    let mut text = String::new();
    archive
        .by_name(name)
        .unwrap()
        .read_to_string(&mut text)
        .unwrap();
    text
}

fn run(text: &str) -> String {
    format!("<w:r><w:t xml:space=\"preserve\">{text}</w:t></w:r>")
}

fn copy(from: &Path, remarks: &[Remark], to: &Path) -> Result<(), DocxError> {
    with_comments(from, remarks, File::create(to)?)
}

const HEADING: &str = "<w:p><w:pPr><w:pStyle w:val=\"Heading2\"/><w:tabs>\
     <w:tab w:val=\"left\"/></w:tabs></w:pPr><w:r><w:t>Game 1</w:t></w:r></w:p>";

#[test]
fn paragraphs_are_lines() {
    let folder = tempfile::tempdir().unwrap();
    let cell = |text: &str| format!("<w:tc><w:p>{}</w:p></w:tc>", run(text));
    let body = format!(
        "{HEADING}<w:p/><w:p>{}{}<w:r><w:br/><w:tab/></w:r>{}<w:del><w:r><w:delText>no</w:delText>\
         <w:t>no</w:t></w:r></w:del></w:p><w:tbl><w:tr>{}{}</w:tr><w:tr>{}{}</w:tr></w:tbl><w:p><w:r>\
         <w:txbxContent><w:p>{}</w:p></w:txbxContent></w:r>{}</w:p><w:p>{}</w:p><w:p>{}</w:p>",
        run("  1. e4 &amp; "),
        run("e5&#8212;so"),
        run("it is."),
        cell("a"),
        cell("b"),
        cell("c"),
        cell("d"),
        run("box"),
        run("Last"),
        run("[White \"A\"]"),
        run("[Black \"B\"]"),
    );
    let (text, paragraphs) = read_docx(&made(folder.path(), &body, &[])).unwrap();
    assert_eq!(
        text,
        "# Game 1\n\n1. e4 & e5\u{2014}so\nit is.\n\na\tb\nc\td\n\nLast\n\n[White \"A\"]\n[Black \"B\"]\n"
    );
    let number = |words: &str| {
        let at = paragraphs.at(text.find(words).unwrap()).unwrap();
        (at.number, at.lead)
    };
    assert_eq!(number("Game"), (0, 2));
    assert_eq!(number("1. e4"), (2, 0));
    assert_eq!(number("it is"), (2, 0));
    assert_eq!(number("a\t"), (3, 0));
    assert_eq!(number("d\n"), (6, 0));
    // The paragraph of the box counts.
    assert_eq!(number("Last"), (7, 0));
    assert_eq!(number("[Black"), (10, 0));
}

#[test]
fn remarks_are_comments_and_the_rest_is_as_it_was() {
    let folder = tempfile::tempdir().unwrap();
    let body = format!("{HEADING}<w:p>{}</w:p>", run("White wins."));
    let book = made(folder.path(), &body, &[]);
    let (one, two) = (folder.path().join("1.docx"), folder.path().join("2.docx"));
    let remark = |paragraph, line: &str| Remark {
        paragraph,
        lines: vec![line.to_owned(), "shown by".to_owned()],
    };
    copy(&book, &[remark(0, "1 < 2\u{1}"), remark(1, "No.")], &one).unwrap();
    assert!(is_ours(&one) && !is_ours(&book));
    assert_eq!(part(&one, "word/media/picture.png"), "no picture");
    let text = part(&one, "word/document.xml");
    assert!(
        text.contains(
            "</w:pPr><w:commentRangeStart w:id=\"0\"/><w:r><w:t>Game 1</w:t></w:r>\
             <w:commentRangeEnd w:id=\"0\"/><w:r><w:commentReference w:id=\"0\"/></w:r></w:p>"
        ),
        "{text}"
    );
    assert!(
        text.contains("<w:p><w:commentRangeStart w:id=\"1\"/>"),
        "{text}"
    );
    assert!(part(&one, "word/comments.xml").contains(">1 &lt; 2 <"));
    assert!(part(&one, "word/_rels/document.xml.rels").contains("Target=\"comments.xml\""));
    assert!(part(&one, "[Content_Types].xml").contains("\"/word/comments.xml\""));
    // What a comment says is no text of the author's.
    assert_eq!(read_docx(&one).unwrap().0, read_docx(&book).unwrap().0);
    // There are comments already: their numbers go on, and nothing is told twice.
    copy(&one, &[remark(1, "Again.")], &two).unwrap();
    let comments = part(&two, "word/comments.xml");
    for id in ["\"0\"", "\"1\"", "\"2\""] {
        assert_eq!(
            comments.matches(&format!("w:id={id}")).count(),
            1,
            "{comments}"
        );
    }
    for (name, words) in [
        ("word/_rels/document.xml.rels", "comments.xml"),
        ("[Content_Types].xml", "/word/comments.xml"),
    ] {
        assert_eq!(part(&two, name).matches(words).count(), 1);
    }
}

#[test]
fn what_is_no_manuscript_is_said_to_be_none() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.docx");
    std::fs::write(&path, "1. e4 e5 *").unwrap();
    assert!(matches!(read_docx(&path), Err(DocxError::Package(_))));
    let mut writer = ZipWriter::new(File::create(&path).unwrap());
    writer
        .start_file("other.xml", SimpleFileOptions::default())
        .unwrap();
    writer.finish().unwrap();
    assert!(matches!(read_docx(&path), Err(DocxError::Missing(_))));
    let path = made(folder.path(), "<w:p><w:r></w:p>", &[]);
    assert!(matches!(read_docx(&path), Err(DocxError::Xml { .. })));
}
