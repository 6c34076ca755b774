//! The PGN standard (Portable Game Notation Specification and Implementation Guide,
//! 1994), end to end; the section stands beside each check. The reader's own tests hold
//! its sample game (`crates/notation/tests/standard.rs`).

use gainsay::{Language, Replay, Settings, Severity, check};
use gainsay_notation::{Game, read_game};

fn rules(text: &str) -> Vec<&'static str> {
    check(text.as_bytes(), &Settings::default())
        .findings
        .iter()
        .map(|finding| finding.rule.name)
        .collect()
}

fn replay(text: &str) -> Replay {
    let mut game = Game::default();
    read_game(text.as_bytes(), 0, &mut game).expect("a game");
    Replay::of(text.as_bytes(), &game, None)
}

/// Section 10: glyphs 0 to 139 have a meaning, 8.2.4: those up to 255 may be written.
#[test]
fn glyphs_go_from_0_to_255() {
    for nag in 0..=255_u8 {
        let text = format!("1. e4 ${nag} e5 *");
        // That White is not winning behind 1. e4 is another matter than what may be written.
        let mut found = rules(&text);
        found.retain(|&rule| rule != "false-verdict");
        assert_eq!(found, [""; 0], "${nag}");
        let replay = replay(&text);
        assert_eq!(replay.glyphs.len(), 1);
        assert_eq!(replay.glyphs[0].glyph.number(), nag);
        assert_eq!(replay.glyphs[0].after, Some(0), "it speaks of 1. e4");
    }
    for nag in ["256", "999", "100000000000000000000"] {
        assert_eq!(
            rules(&format!("1. e4 ${nag} e5 *")),
            ["bad-glyph"],
            "${nag}"
        );
    }
}

/// Section 8.2.3.8: the six suffixes are glyphs 1 to 6.
#[test]
fn suffixes_are_glyphs() {
    for (suffix, nag) in [
        ("!", 1),
        ("?", 2),
        ("!!", 3),
        ("??", 4),
        ("!?", 5),
        ("?!", 6),
    ] {
        let text = format!("1. e4{suffix} e5 *");
        assert_eq!(rules(&text), [""; 0], "{suffix}");
        assert_eq!(replay(&text).glyphs[0].glyph.number(), nag, "{suffix}");
    }
}

/// Section 8.2.3.2: the piece letters of each language. A game in any of them is
/// played through without a word, because its letters give it away.
#[test]
fn every_language_of_the_standard_is_recognised() {
    let letters = [
        ("Czech", "PJSVDK"),
        ("Danish", "BSLTDK"),
        ("Dutch", "OPLTDK"),
        ("Estonian", "PROVLK"),
        ("Finnish", "PRLTDK"),
        ("French", "PCFTDR"),
        ("German", "BSLTDK"),
        ("Hungarian", "GHFBVK"),
        ("Icelandic", "PRBHDK"),
        ("Italian", "PCATDR"),
        ("Norwegian", "BSLTDK"),
        ("Polish", "PSGWHK"),
        ("Portuguese", "PCBTDR"),
        ("Romanian", "PCNTDR"),
        ("Spanish", "PCATDR"),
        ("Swedish", "BSLTDK"),
    ];
    for (language, letters) in letters {
        let letter = |english: char| {
            let at = "PNBRQK".find(english).expect("a piece");
            letters.chars().nth(at).expect("six letters")
        };
        let english = "1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 4. d3 d6 5. Be3 Bxe3 6. fxe3 Qe7 \
                       7. Nc3 Nf6 8. Qd2 O-O 9. Rf1 Rd8 10. Ke2 Kh8 *";
        let text: String = english
            .chars()
            .map(|c| if "NBRQK".contains(c) { letter(c) } else { c })
            .collect();
        let report = check(text.as_bytes(), &Settings::default());
        let graver: Vec<&str> = report
            .findings
            .iter()
            .filter(|finding| finding.severity > Severity::Hint)
            .map(|finding| finding.message.as_str())
            .collect();
        assert_eq!(graver, [""; 0], "{language}: {text}");
        let replay = replay(&text);
        assert!(
            replay.plies.iter().all(|ply| ply.played.is_some()),
            "{language}"
        );
        let mut known = replay.language.letters().to_vec();
        known.retain(|c| letters.contains(*c));
        assert!(
            known.len() >= 5,
            "{language} was read as {}",
            replay.language.name()
        );
        assert_ne!(replay.language, Language::English, "{language}");
    }
}

/// Section 16.1.4: the positions after 1. e4, 1... c5 and 2. Nf3, as the standard
/// writes them.
#[test]
fn positions_of_the_fen_section() {
    for (fen, next) in [
        (
            "rnbqkbnr/pppppppp/8/8/8/8/PPPPPPPP/RNBQKBNR w KQkq - 0 1",
            "1. e4",
        ),
        (
            "rnbqkbnr/pppppppp/8/8/4P3/8/PPPP1PPP/RNBQKBNR b KQkq e3 0 1",
            "1... c5",
        ),
        (
            "rnbqkbnr/pp1ppppp/8/2p5/4P3/8/PPPP1PPP/RNBQKBNR w KQkq c6 0 2",
            "2. Nf3",
        ),
        (
            "rnbqkbnr/pp1ppppp/8/2p5/4P3/5N2/PPPP1PPP/RNBQKB1R b KQkq - 1 2",
            "2... d6",
        ),
    ] {
        let text = format!("[SetUp \"1\"]\n[FEN \"{fen}\"]\n\n{next} *\n");
        assert_eq!(rules(&text), [""; 0], "{fen}");
    }
}

/// Sections 8.1.1.3 and 8.1.1.7: dates and results as the standard gives them.
#[test]
fn tag_values_of_the_roster() {
    for date in ["1992.08.31", "1993.??.??", "2001.01.01", "????.??.??"] {
        let text = format!(
            "[Date \"{date}\"]\n[FEN \"7k/8/8/8/8/8/8/K7 w - - 0 1\"]\n[SetUp \"1\"]\n\n*\n"
        );
        assert_eq!(rules(&text), [""; 0], "{date}");
    }
    for result in ["1-0", "0-1", "1/2-1/2", "*"] {
        assert_eq!(rules(&format!("1. e4 {result}")), [""; 0], "{result}");
    }
}
