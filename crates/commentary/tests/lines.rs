//! The shapes in which prose cites moves.

use gainsay_commentary::{CitedMove, ClaimKind, Context, Joint, Prose, read};
use gainsay_notation::Glyph;

fn prose(text: &str) -> Prose {
    read(text.as_bytes(), &Context::default())
}

/// Every line: its moves as number, dots and text.
fn lines(text: &str) -> Vec<Vec<String>> {
    let prose = prose(text);
    prose
        .lines
        .iter()
        .map(|line| {
            prose
                .moves_of(line)
                .iter()
                .map(|cited| {
                    let words = String::from_utf8_lossy(cited.span.of(text.as_bytes()));
                    match cited.number {
                        Some(number) => format!(
                            "{}/{}/{words}",
                            number
                                .value
                                .map_or("-".to_owned(), |value| value.to_string()),
                            number.dots
                        ),
                        None => words.into_owned(),
                    }
                })
                .collect()
        })
        .collect()
}

#[test]
fn numbers_in_every_shape() {
    assert_eq!(lines("24.Qg7"), [["24/1/Qg7"]]);
    assert_eq!(lines("24. Qg7"), [["24/1/Qg7"]]);
    assert_eq!(lines("23...Rf8"), [["23/3/Rf8"]]);
    assert_eq!(lines("23. ... Rf8"), [["23/3/Rf8"]]);
    assert_eq!(lines("23 ... Rf8"), [["23/3/Rf8"]]);
    assert_eq!(lines("23…Rf8"), [["23/3/Rf8"]]);
    assert_eq!(lines("23 Rf8"), [["23/0/Rf8"]]);
    assert_eq!(lines("...Rf8"), [["-/3/Rf8"]]);
    assert_eq!(lines(".. Rf8"), [["-/2/Rf8"]]);
    assert_eq!(lines("5)Qa4"), [["5/0/Qa4"]]);
    assert_eq!(lines("24.e4"), [["24/1/e4"]]);
}

#[test]
fn lines_go_on_behind_commas_and_semicolons_where_the_number_is_due() {
    assert_eq!(
        lines("He plays 6...Nxc3; 7 bxc3, Qh4+; 8 g3, Qe4+; 9 Qxe4."),
        [["6/3/Nxc3", "7/0/bxc3", "Qh4+", "8/0/g3", "Qe4+", "9/0/Qxe4"]]
    );
    assert_eq!(
        lines("For instance: c6; 7. dxc6, bxc6; 8. Be2, h6; 9. Nf3."),
        [["c6", "7/1/dxc6", "bxc6", "8/1/Be2", "h6", "9/1/Nf3"]]
    );
    assert_eq!(
        lines("No better was 30...Rd3+; 31 Kxc4, b5, mate."),
        [["30/3/Rd3+", "31/0/Kxc4", "b5"]]
    );
    // Elsewhere a comma makes a list, and a semicolon begins another sentence.
    assert_eq!(
        lines("24.Qg7, Qh8 and Kg1 are left."),
        [["24/1/Qg7"], ["Qh8"], ["Kg1"]]
    );
    assert_eq!(
        lines("24.Qg7; 24.Qh8 is no better."),
        [["24/1/Qg7"], ["24/1/Qh8"]]
    );
    assert_eq!(lines("White controls c6; 7. Be2 is best."), [["7/1/Be2"]]);
}

#[test]
fn moves_in_every_shape() {
    for written in [
        "Nxe4", "O-O", "0-0-0", "hxg", "exd5", "e8=Q", "e8Q+", "Qh6+", "Qg7#", "R1d2", "Nbd7",
        "e2-e4", "Ng1-f3",
    ] {
        assert_eq!(
            lines(&format!("Then {written} follows.")),
            [[written]],
            "{written}"
        );
    }
}

#[test]
fn old_and_careless_spellings_are_moves_of_a_line() {
    assert_eq!(
        lines("12.Nxe6 fe 13.Qh5+ Kd7 14.bc+ cb, and")[0],
        ["12/1/Nxe6", "fe", "13/1/Qh5+", "Kd7", "14/1/bc+", "cb"]
    );
    assert_eq!(lines("12...fg 13.NxB5")[0], ["12/3/fg", "13/1/NxB5"]);
    assert_eq!(
        lines("12.b1d2 kh8 13.GxH6")[0],
        ["12/1/b1d2", "kh8", "13/1/GxH6"]
    );
    assert_eq!(
        lines("12.Nc7 dbl. ch. Kd8 13.ed e.p. Qxd6")[0],
        ["12/1/Nc7 dbl. ch.", "Kd8", "13/1/ed e.p.", "Qxd6"]
    );
    for text in [
        "En la jugada 12. de las blancas",
        "Er lehnt 12.Sd5 ab.",
        "They ed and fe.",
    ] {
        assert!(prose(text).moves.iter().all(|cited| !cited.loose), "{text}");
    }
    let spaces = "12.\u{a0}Nd5\u{2009}Kh8\u{202f}13.\u{200b}Qh5\u{a0}ch wins";
    assert_eq!(lines(spaces), [["12/1/Nd5", "Kh8", "13/1/Qh5\u{a0}ch"]]);
    assert_eq!(
        lines("The\u{a0}rook and\u{feff} 24\u{a0}Qg7")[0],
        ["24/0/Qg7"]
    );
}

#[test]
fn what_stands_behind_something_unread_is_severed() {
    let flags = |text: &str| -> Vec<(bool, bool)> {
        let prose = prose(text);
        prose
            .lines
            .iter()
            .map(|line| (line.cut, line.severed))
            .collect()
    };
    assert_eq!(flags("12.Nd5 Nxg9 13.Qh5"), [(true, false), (false, true)]);
    assert_eq!(
        flags("12.Nd5 Kh8 etc. 13.Qh5"),
        [(true, false), (false, true)]
    );
    assert_eq!(flags("12...fgh 13.Qh5"), [(false, true)]);
    assert_eq!(flags("12.Nd5 and 13.Qh5"), [(false, false), (false, false)]);
    assert_eq!(
        flags("12.Nd5 threatening 13.Qh5"),
        [(false, false), (false, false)]
    );
    assert_eq!(flags("The e-file etc. 13.Qh5"), [(false, false)]);
}

#[test]
fn squares_files_and_ways_are_no_moves() {
    for text in [
        "The pawn on e4 is weak.",
        "Control of d5 and f5.",
        "The knight goes Nb8-a6-b4.",
        "The e-file, the h-pawn and the f pawn.",
        "It covers d1/e1.",
        "The f6-knight.",
        "A4 paper, C64, B90.",
    ] {
        assert_eq!(lines(text), Vec::<Vec<String>>::new(), "`{text}`");
    }
}

#[test]
fn a_line_ends_where_words_stand() {
    assert_eq!(
        lines("If 23...Kxg7 24.Qh6+ Kg8 then 25.Qg7#"),
        [vec!["23/3/Kxg7", "24/1/Qh6+", "Kg8"], vec!["25/1/Qg7#"]]
    );
    assert_eq!(lines("28...Nc8 29.Qg6 Nd6 29.Rh1")[0].len(), 4);
    assert_eq!(
        lines("14...Rxb6 15.Bxb6 d4 16.e4, 17.f4"),
        [["14/3/Rxb6", "15/1/Bxb6", "d4", "16/1/e4", "17/1/f4"]]
    );
}

#[test]
fn joints() {
    let joints: Vec<Joint> = prose("24.Qh5, 24.Qg4 or 24.Qf3; then 25.Qh7. But 24.Kh1 draws.")
        .lines
        .iter()
        .map(|line| line.joint)
        .collect();
    // A comma before a number goes on with the line.
    assert_eq!(
        joints,
        [Joint::First, Joint::List, Joint::Words, Joint::Sentence]
    );
}

#[test]
fn signs_glyphs_and_the_word_mate() {
    let prose = prose("24.Qg7! mate, 23.Rxf7?? Kxf7 +- and 25.Qh7 mate. 26.Qh8 mate in two");
    let glyph = |cited: &CitedMove| cited.glyph.map(Glyph::number);
    let glyphs: Vec<Option<u8>> = prose.moves.iter().map(glyph).collect();
    assert_eq!(glyphs, [Some(1), Some(4), Some(18), None, None]);
    let mates: Vec<bool> = prose.moves.iter().map(|cited| cited.mate_word).collect();
    assert_eq!(mates, [true, false, false, true, false]);
}

/// Prose and movetext have the same symbols.
#[test]
fn symbols_behind_cited_moves_are_those_of_the_movetext() {
    for (symbol, number) in [
        ("!?", 5),
        ("\u{203c}", 3),
        ("\u{2047}", 4),
        ("+\u{2212}", 18),
        ("\u{2212}+", 19),
        ("\u{2a72}", 14),
        ("=/\u{221e}", 44),
        ("\u{2295}", 138),
        ("\u{2299}", 22),
        ("\u{2192}", 40),
    ] {
        assert_eq!(
            Glyph::of_symbol(symbol.as_bytes()),
            Some(Glyph::new(number))
        );
        let prose = prose(&format!("24.Qg7{symbol} Kh8 25.Qh7 mate"));
        let glyphs: Vec<Option<Glyph>> = prose.moves.iter().map(|cited| cited.glyph).collect();
        assert_eq!(glyphs, [Some(Glyph::new(number)), None, None], "{symbol}");
    }
}

#[test]
fn numbered_lines_are_read_in_any_language() {
    let prose = prose("Ο ίππος στο f6 αργεί, 24.Qh6 κερδίζει.");
    assert_eq!(prose.claims.len(), 1);
    assert_eq!(prose.claims[0].kind, ClaimKind::Line);
}

#[test]
fn spans_are_bytes_of_the_passage_in_both_encodings() {
    for text in ["é 24.Qg7 wins".as_bytes(), b"\xe9 24.Qg7 wins"] {
        let prose = read(text, &Context::default());
        assert_eq!(prose.moves[0].span.of(text), b"Qg7");
        assert_eq!(prose.lines[0].span.of(text), b"24.Qg7");
    }
}

#[test]
fn old_notation_in_every_shape() {
    for written in [
        "P-K4",
        "Kt-QB3",
        "N-KB3",
        "KtxP",
        "Kt x P",
        "B-Kt5 ch",
        "QKtxKtch",
        "PxP e.p.",
        "R (K 1)-Q 1",
        "R(K1)-Q1",
        "R/K1-Q1",
        "R-\nK1",
        "P\u{2014}Q B 4",
        "P-K8(Q)",
        "P-B8=Q ch",
    ] {
        assert_eq!(
            lines(&format!("Then {written} follows.")),
            [[written]],
            "{written}"
        );
        assert_eq!(lines(&format!("Not {written}.")), [[written]], "{written}");
    }
    // A way over several squares is no move, nor are letters alone.
    for none in [
        "Kt-B1-Kt3",
        "K-R",
        "Black castles",
        "Castles are strong",
        "QB4",
    ] {
        let none = format!("Then {none} follows.");
        assert!(lines(&none).is_empty(), "{none}");
    }
}

#[test]
fn old_lines_are_separated_by_commas_and_semicolons() {
    assert_eq!(
        lines("After 1. KtxB, KtxKt; 2. RxKt, QxR; 3. Kt-B7ch, K-Kt1 White wins."),
        [[
            "1/1/KtxB",
            "KtxKt",
            "2/1/RxKt",
            "QxR",
            "3/1/Kt-B7ch",
            "K-Kt1"
        ]]
    );
    assert_eq!(
        lines("Black can play 1. ... KtxP; 2 R-K1, B-B4 or else."),
        [["1/3/KtxP", "2/0/R-K1", "B-B4"]]
    );
    assert_eq!(
        lines("6. Castles, B-K2; 7. R-K1, PxP; 8. KtxP, Castles. The rest is easy."),
        [[
            "6/1/Castles",
            "B-K2",
            "7/1/R-K1",
            "PxP",
            "8/1/KtxP",
            "Castles"
        ]]
    );
    // In a list without numbers every move stands for itself.
    assert_eq!(
        lines("White threatens KtxP, B-Kt5 and Q-K2."),
        [["KtxP"], ["B-Kt5"], ["Q-K2"]]
    );
    // In the standard's notation nothing changes.
    assert_eq!(
        lines("1. e4, Nf6 is met by 2.e5."),
        [vec!["1/1/e4"], vec!["Nf6"], vec!["2/1/e5"]]
    );
}
