use crate::section::SectionKind;
use crate::{Format, manuscript};

/// What is shown, without blanks at the ends of lines.
fn shown(text: &str) -> String {
    let read = manuscript(text.as_bytes(), Format::AsciiDoc);
    let view = String::from_utf8(read.view.into_owned()).expect("text");
    let lines: Vec<&str> = view.split('\n').map(str::trim_end).collect();
    lines.join("\n")
}

#[test]
fn signs_of_the_format_are_left_out() {
    for (text, wanted) in [
        ("== Two *words*", "## Two  words"),
        ("so *23...Rf8* and _24.Qg4_!", "so  23...Rf8  and  24.Qg4!"),
        ("**N**f3 `good`", "  Nf3    good"),
        ("1. e4 e5 *", "1. e4 e5 *"),
        (".Diagram 1\nimage::a.png[]", " Diagram 1\n"),
        ("image::a.png[One, width=3]", "             One"),
        ("// no word\nword", "           word"),
        ("one\n// two\nthree", "one\n       three"),
        ("////\nno\n////\nword", "\n\n\nword"),
        (":name: value\n[quote]\nword", "\n\nword"),
        ("[White \"Ada\"]", "[White \"Ada\"]"),
        ("|===\n|1. |e4 |e5\n|===\n", "\n 1.  e4  e5\n\n"),
        ("see <<a,Game 3>> there", "see     Game 3   there"),
        ("see https://a.b[this]", "see             this"),
        ("one{nbsp}two +\nthree", "one      two\nthree"),
        ("a footnote:[He won.]", "a          (He won.)"),
        ("* one\n** two\n. three", "- one\n - two\n- three"),
        ("[start=10]\n. one `x`\n\n. two", "\n\n10. one  x\n11. two"),
        ("*1.* ::\n  1.Re5", " 1.\n  1.Re5"),
        (
            "// allow false-mate: so\nword",
            " [%allow false-mate so] word",
        ),
    ] {
        assert_eq!(shown(text), wanted, "{text}");
    }
}

#[test]
fn blocks_hold_games_and_positions() {
    let text = "[source,pgn]\n----\n1. e4 e5 *\n----\n\n[fen]\n....\nk7/8/8/8/8/8/8/7K w - -\n....\n\n\
                [source,rust]\n----\n1. e4 e5 2. Nf3\n----\n\n----\n1. d4 d5 2. c4\n----\n";
    let read = manuscript(text.as_bytes(), Format::AsciiDoc);
    let blocks = read.sections.iter();
    let blocks = blocks.filter(|section| section.kind != SectionKind::Prose);
    let found: Vec<_> = blocks
        .map(|section| (section.kind, &text[section.range.clone()]))
        .collect();
    assert_eq!(
        found,
        [
            (SectionKind::Games, "1. e4 e5 *\n"),
            (SectionKind::Epd, "k7/8/8/8/8/8/8/7K w - -\n"),
        ]
    );
}
