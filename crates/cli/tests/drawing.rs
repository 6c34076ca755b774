//! `gainsay board`, `gainsay diagrams` and `gainsay sheet` as files: what they write, and what
//! they leave alone.

mod common;

use std::{fs, path::Path};

use common::{Run, column, command};

fn run(folder: &Path, arguments: &[&str]) -> Run {
    let output = command(folder).args(arguments).output();
    output.expect("the command runs").into()
}

/// A folder with a book of two diagrams, a marked moment and a game.
fn book() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let text = "# Ends\n\n```fen\n6k1/5ppp/8/8/8/8/8/R5K1 w - - 0 1\n```\n\nWhite mates in one.\n\n\
        ```pgn\n1. e4 e5 $221\n2. Nf3 {[diagram]} *\n```\n\n```fen\n8/8/8/8/8/2k5/2p5/2K5 w - - 0 1\n```\n";
    fs::write(folder.path().join("book.md"), text).expect("written");
    folder
}

#[test]
fn a_board_is_that_of_its_line() {
    let folder = book();
    let at = |what: &str| run(folder.path(), &["board", what]);
    let lines = [
        ("book.md:4", "White: king g1, rook a1. Black: king g8"),
        ("book.md:8", "White: king g1, rook a1. Black: king g8"),
        ("book.md:10", "After 1...e5. White: king e1"),
        ("book.md:11", "After 2.Nf3. White: king e1"),
    ];
    for (what, told) in lines {
        let drawn = at(what);
        assert_eq!((drawn.code, drawn.err.as_str()), (Some(0), ""), "{what}");
        assert!(
            drawn.out.contains(&format!("<title>{told}")),
            "{what} is not {told}"
        );
    }
    let illegal = at("8/8/8/8/8/8/8/N7 b - - 0 1");
    assert_eq!(illegal.code, Some(0), "it is drawn all the same");
    assert!(
        (illegal.out).contains("<title>White: knight a1. Black: nothing. Black to move."),
        "{}",
        illegal.out
    );
    assert!(illegal.err.contains("a king is missing"), "{}", illegal.err);
    for (what, told) in [
        ("book.md:1", "no position stands there or before it"),
        ("book.md:99", "it has 17 lines"),
        ("gone.md:1", "neither a FEN nor FILE:LINE"),
    ] {
        let drawn = at(what);
        assert_eq!((drawn.code, drawn.out.as_str()), (Some(2), ""), "{what}");
        assert!(drawn.err.contains(told), "{what}: {}", drawn.err);
    }
}

/// How many pieces an SVG shows, which must be XML.
fn pieces(svg: &str) -> usize {
    let mut reader = quick_xml::Reader::from_str(svg);
    let mut strokes = 0;
    loop {
        match reader.read_event().expect("XML") {
            quick_xml::events::Event::Start(start) if start.name().as_ref() == b"g" => {
                let joined = start.attributes().flatten();
                let width = |value: &[u8]| value == b"4" || value == b"3";
                let piece =
                    joined.filter(|one| one.key.as_ref() == b"stroke-width" && width(&one.value));
                strokes += piece.count();
            }
            quick_xml::events::Event::Eof => return strokes,
            _ => {}
        }
    }
}

#[test]
fn drawings_are_xml_with_every_piece() {
    let folder = tempfile::tempdir().expect("a folder");
    let drawn = |fen: &str| run(folder.path(), &["board", fen]).out;
    // The signs around the board are strokes of their own.
    let signs = pieces(&drawn("8/8/8/8/8/8/8/8 w - - 0 1"));
    let all = pieces(&drawn(
        "rnbqkbnr/pppppppp/8/8/8/8/PPPPPPPP/RNBQKBNR w KQkq - 0 1",
    ));
    assert_eq!(all - signs, 32);
    assert!(
        drawn("rnbqkbnr/pppppppp/8/8/8/8/PPPPPPPP/RNBQKBNR w KQkq - 0 1").contains("width=\"640\"")
    );
}

#[test]
fn diagrams_are_numbered_as_in_the_text() {
    let folder = book();
    let drawn = run(folder.path(), &["diagrams", "book.md", "--out", "out"]);
    assert_eq!(drawn.code, Some(0), "{}", drawn.err);
    let told: Vec<&str> = drawn.out.lines().collect();
    assert_eq!(
        told,
        [
            "out/book-diagram-01.svg  book.md:4",
            "out/book-game-1-diagram-01.svg  book.md:10",
            "out/book-game-1-diagram-02.svg  book.md:11",
            "out/book-diagram-02.svg  book.md:15",
        ]
    );
    let first = fs::read_to_string(folder.path().join("out/book-diagram-01.svg")).expect("drawn");
    assert!(
        first.contains("<title>Diagram 1. White: king g1, rook a1."),
        "{first}"
    );
    let dots = run(
        folder.path(),
        &[
            "diagrams", "book.md", "--out", "out", "--format", "png", "--size", "64",
        ],
    );
    assert_eq!(dots.code, Some(0), "{}", dots.err);
    let png = fs::read(folder.path().join("out/book-diagram-01.png")).expect("drawn");
    assert_eq!(
        png.get(16..24),
        Some(&[0, 0, 0, 64, 0, 0, 0, 64][..]),
        "the size in its header"
    );
    // All are its own, so that it may draw them again.
    let again = run(folder.path(), &["diagrams", "book.md", "--out", "out"]);
    assert_eq!(again, drawn);
}

#[test]
fn what_somebody_else_wrote_stands() {
    let folder = book();
    let own = folder.path().join("out");
    fs::create_dir(&own).expect("a folder");
    for file in ["book-diagram-01.svg", "book.html"] {
        fs::write(own.join(file), "mine").expect("written");
    }
    for arguments in [
        &["diagrams", "book.md", "--out", "out"][..],
        &["sheet", "book.md", "--out", "out"],
        &["board", "book.md:4", "--out", "out/book.html"],
    ] {
        let refused = run(folder.path(), arguments);
        assert_eq!(
            (refused.code, refused.out.as_str()),
            (Some(2), ""),
            "{arguments:?}"
        );
        assert!(
            refused.err.contains("was not written by gainsay"),
            "{}",
            refused.err
        );
    }
    let left: Vec<_> = fs::read_dir(&own).expect("a folder").collect();
    assert_eq!(left.len(), 2, "{left:?}");
}

#[test]
fn sheets_are_the_same_with_any_number_of_threads() {
    let folder = tempfile::tempdir().expect("a folder");
    let column = column();
    let column = column.to_str().expect("a path");
    let pages = ["1", "2", "3"].map(|threads| {
        let out = folder.path().join(threads);
        let out = out.to_str().expect("a path");
        let made = run(
            folder.path(),
            &["sheet", column, "--out", out, "--threads", threads],
        );
        assert_eq!(made.code, Some(0), "{}", made.err);
        assert_eq!(
            made.out.lines().count(),
            6,
            "five sheets and their list: {}",
            made.out
        );
        let mut files: Vec<_> = (fs::read_dir(out).expect("a folder"))
            .map(|entry| entry.expect("an entry").path())
            .map(|path| {
                (
                    path.file_name().map(ToOwned::to_owned),
                    fs::read(&path).expect("a page"),
                )
            })
            .collect();
        files.sort();
        files
    });
    assert_eq!(pages[0].len(), 6);
    assert!(pages[0] == pages[1] && pages[1] == pages[2]);
}

#[test]
fn a_sheet_says_what_the_check_says() {
    let folder = book();
    let made = run(folder.path(), &["sheet", "book.md", "--out", "out"]);
    assert_eq!(
        made.out,
        "out/book.html: 1 claim: 1 holds, 0 fail, 0 unsettled; 0 wrong in the notation\n"
    );
    assert_eq!(made.code, Some(0), "{}", made.err);
    let page = fs::read_to_string(folder.path().join("out/book.html")).expect("a page");
    assert!(page.contains("White <u>mates in one</u>."), "the words");
    assert!(page.contains("href=\"../book.md\""), "a link to the file");
    assert!(page.contains("1. Ra8#"), "the moves");
    assert!(
        !folder.path().join("out/index.html").exists(),
        "one sheet needs no list"
    );
}

#[test]
fn a_sheet_of_nothing_has_nothing_to_filter() {
    let folder = book();
    fs::write(folder.path().join("plain.md"), "Just some words.\n").expect("written");
    let made = run(
        folder.path(),
        &["sheet", "plain.md", "book.md", "--out", "out"],
    );
    assert_eq!(made.code, Some(0), "{}", made.err);
    for (name, has) in [("plain", false), ("book", true)] {
        let page = fs::read_to_string(folder.path().join(format!("out/{name}.html")));
        let page = page.expect("a page");
        for part in ["<form", "Every verdict shows its moves", "<script>"] {
            assert_eq!(page.contains(part), has, "{name}: {part}");
        }
    }
}
