//! Tests of reading moves.

use shakmaty::{CastlingSide, File, Rank};

use super::*;

/// Shows a move so that a test can be read: shape, signs, oddities.
fn show(text: &str, language: Language) -> String {
    let Some(written) = parse_move(text.as_bytes(), language) else {
        return "none".to_string();
    };
    let becomes = |promotion: Option<Role>| {
        promotion
            .map(|role| format!("={}", role.upper_char()))
            .unwrap_or_default()
    };
    let mut out = match written.shape {
        WrittenShape::To {
            role,
            file,
            rank,
            capture,
            to,
            promotion,
        } => format!(
            "{}{}{}{}{to}{}",
            role.upper_char(),
            file.map(|file| file.char().to_string()).unwrap_or_default(),
            rank.map(|rank| rank.char().to_string()).unwrap_or_default(),
            if capture { "x" } else { "" },
            becomes(promotion),
        ),
        WrittenShape::PawnCapture {
            from,
            to,
            promotion,
        } => format!("P{}x{}?{}", from.char(), to.char(), becomes(promotion)),
        WrittenShape::Castle(CastlingSide::KingSide) => "short".into(),
        WrittenShape::Castle(CastlingSide::QueenSide) => "long".into(),
        WrittenShape::Castles => "castles".into(),
        WrittenShape::Descriptive(old) => descriptive(old),
        WrittenShape::Null => "null".into(),
    };
    out.push_str(match written.signs {
        Signs::None => "",
        Signs::Check => "+",
        Signs::DoubleCheck => "++",
        Signs::Mate => "#",
    });
    for (oddity, name) in [
        (Oddities::HYPHEN, "hyphen"),
        (Oddities::ZEROS, "zeros"),
        (Oddities::PROMOTION, "promotion"),
        (Oddities::EN_PASSANT, "ep"),
        (Oddities::FIGURINE, "figurine"),
        (Oddities::COLON, "colon"),
        (Oddities::PAWN_LETTER, "pawn"),
        (Oddities::SIGN_WORD, "word"),
        (Oddities::FILES_ONLY, "files"),
        (Oddities::FOREIGN, "foreign"),
        (Oddities::LONG, "long"),
        (Oddities::NULL, "null"),
        (Oddities::CASE, "case"),
        (Oddities::DESCRIPTIVE, "old"),
    ] {
        if written.oddities.contains(oddity) {
            out.push(' ');
            out.push_str(name);
        }
    }
    out
}

/// The files of a set, as letters.
fn files(files: Files) -> String {
    let among = |file: &File| files.contains(*file);
    File::ALL
        .into_iter()
        .filter(among)
        .map(File::char)
        .collect()
}

/// Shows a descriptive move: piece and where it may stand, what it takes, where it goes.
fn descriptive(old: Descriptive) -> String {
    let man = |man: Man| format!("{}[{}]", man.role.upper_char(), files(man.files));
    let rank = |rank: Option<Rank>| rank.map(|rank| rank.char().to_string()).unwrap_or_default();
    format!(
        "{}{}{}>{}{}{}",
        man(old.mover),
        rank(old.from_rank),
        old.captured
            .map(|taken| format!("x{}", man(taken)))
            .unwrap_or_default(),
        files(old.to_files),
        rank(old.to_rank),
        old.promotion
            .map(|role| format!("={}", role.upper_char()))
            .unwrap_or_default(),
    )
}

fn check(language: Language, cases: &[(&str, &str)]) {
    for (text, expected) in cases {
        assert_eq!(show(text, language), *expected, "{text}");
    }
}

#[test]
fn plain_moves_have_no_oddities() {
    check(
        Language::English,
        &[
            ("e4", "Pe4"),
            ("exd5", "Pexd5"),
            ("ed5", "Ped5"),
            ("Nf3", "Nf3"),
            ("Nbd2", "Nbd2"),
            ("N1d2", "N1d2"),
            ("R1xd5", "R1xd5"),
            ("Nf3+", "Nf3+"),
            ("Qh7#", "Qh7#"),
            ("e8=Q", "Pe8=Q"),
            ("dxe8=N+", "Pdxe8=N+"),
            ("O-O", "short"),
            ("O-O-O+", "long+"),
            ("--", "null"),
        ],
    );
}

#[test]
fn other_ways_of_writing_are_noted() {
    check(
        Language::English,
        &[
            ("e2-e4", "Pe2e4 hyphen"),
            ("Ng1-f3", "Ng1f3 hyphen"),
            ("Ng1f3", "Ng1f3 long"),
            ("Ng1xf3", "Ng1xf3 long"),
            ("e4xd5", "Pe4xd5 long"),
            ("0-0", "short zeros"),
            ("0-0-0#", "long# zeros"),
            ("o-o", "short case"),
            ("OO", "short case"),
            ("O\u{2013}O", "short case"),
            ("exd6e.p.", "Pexd6 ep"),
            ("exd6 e.p.", "Pexd6 ep"),
            ("exd6ep+", "Pexd6+ ep"),
            ("exd6+ e.p.", "Pexd6+ ep"),
            ("e8Q", "Pe8=Q promotion"),
            ("e8(Q)", "Pe8=Q promotion"),
            ("e8/Q+", "Pe8=Q+ promotion"),
            ("e8=(Q)", "Pe8=Q promotion"),
            ("e8=q", "Pe8=Q case"),
            ("hxg", "Phxg? files"),
            ("hg", "Phxg? files"),
            ("hxg+", "Phxg?+ files"),
            ("hxg=Q", "Phxg?=Q files"),
            ("N:f3", "Nxf3 colon"),
            ("Nf3:", "Nxf3 colon"),
            ("e:d5", "Pexd5 colon"),
            ("ed5:", "Pexd5 colon"),
            ("Pe4", "Pe4 pawn"),
            ("nf3", "Nf3 case"),
            ("qxd5", "Qxd5 case"),
            ("Nf3++", "Nf3++ word"),
            ("Qh7mate", "Qh7# word"),
            ("Bb5ch", "Bb5+ word"),
            ("Bb5ch.", "Bb5+ word"),
            ("Bb5check", "Bb5+ word"),
            ("Bb5\u{2020}", "Bb5+ word"),
            ("\u{2658}f3", "Nf3 figurine"),
            ("\u{265e}xf3", "Nxf3 figurine"),
            ("\u{2654}e2", "Ke2 figurine"),
            ("e8\u{2655}", "Pe8=Q promotion figurine"),
            ("Z0", "null null"),
            ("<>", "null null"),
            ("@@@@", "null null"),
            ("--+", "null+"),
            ("N\u{d7}f3", "Nxf3"),
        ],
    );
}

#[test]
fn other_languages_have_their_own_letters() {
    check(
        Language::German,
        &[
            ("Sf3", "Nf3 foreign"),
            ("Lxf7+", "Bxf7+ foreign"),
            ("Ta1-d1", "Ra1d1 hyphen foreign"),
            ("Kf1", "Kf1"),
            ("e8D", "Pe8=Q promotion foreign"),
            ("e8=D#", "Pe8=Q# foreign"),
            ("Nf3", "none"),
            ("\u{2658}f3", "Nf3 figurine"),
            ("O-O", "short"),
        ],
    );
    check(
        Language::French,
        &[
            ("Rd4", "Kd4 foreign"),
            ("Cf3", "Nf3 foreign"),
            ("Fb5", "Bb5 foreign"),
        ],
    );
    check(
        Language::Estonian,
        &[("Ob5", "Bb5 foreign"), ("O-O", "short")],
    );
    check(Language::English, &[("Sf3", "none")]);
}

#[test]
fn what_is_no_move_is_none() {
    for text in [
        "", "N", "Nf", "Nf9", "Ni3", "e9", "x", "e", "hxf", "O", "O-", "0", "-", "Nf3!", "Nf3 ",
        " Nf3", "Nf3e", "e4e5e6", "Nxx5", "e8=", "e8(Q", "e.p.", "Nf3=Q", "e4Q", "mate", "1-0",
    ] {
        assert_eq!(show(text, Language::English), "none", "{text:?}");
    }
}

#[test]
fn the_common_path_agrees_with_the_long_one() {
    let mut met = 0;
    for piece in ["", "N", "B", "R", "Q", "K", "P", "O", "n"] {
        for from in ["", "e", "4", "e4"] {
            for capture in ["", "x", ":", "-"] {
                for to in ["d5", "d8", "d9", "i5", "d"] {
                    for tail in ["", "+", "#", "++", "=Q", "(Q)", " e.p.", "!", "+-", ","] {
                        let text = format!("{piece}{from}{capture}{to}{tail}        ");
                        let bytes = text.as_bytes();
                        if let Some(common) = read_common(bytes, 0) {
                            met += 1;
                            let long = read_move(bytes, 0, Language::English);
                            assert_eq!(long, Some(common), "{text}");
                        }
                    }
                }
            }
        }
    }
    assert!(met > 50, "{met}");
}

#[test]
fn descriptive_moves_say_what_must_be_true() {
    const ANY: &str = "abcdefgh";
    let any = |text: &str| text.replace('*', ANY);
    for (text, expected) in [
        ("P-K4", "P[*]>e4 old"),
        ("P-K 4", "P[*]>e4 old"),
        ("P - Q B 4", "P[*]>c4 old"),
        ("P--KB4", "P[*]>f4 old"),
        ("P\u{2013}K4", "P[*]>e4 old"),
        ("P-\nK4", "P[*]>e4 old"),
        ("P-\r\n    K4", "P[*]>e4 old"),
        ("P to K4", "P[*]>e4 old"),
        ("Kt-B3", "N[*]>cf3 old"),
        ("N-QB3", "N[*]>c3 old"),
        ("B-Kt5 ch", "B[*]>bg5+ old"),
        ("B-Kt5ch.", "B[*]>bg5+ old"),
        ("B-Kt5 double ch", "B[*]>bg5++ old"),
        ("B-Kt5 dis. ch.", "B[*]>bg5+ old"),
        ("R-K8 mate", "R[*]>e8# old"),
        ("R-K8+", "R[*]>e8+ old"),
        ("R-Ksq", "R[*]>e1 old"),
        ("KtxP", "N[*]xP[*]>* old"),
        ("Kt x P", "N[*]xP[*]>* old"),
        ("Kt\u{d7}P", "N[*]xP[*]>* old"),
        ("Kt takes P", "N[*]xP[*]>* old"),
        ("PxQP", "P[*]xP[d]>* old"),
        ("KPxP", "P[e]xP[*]>* old"),
        ("BPxKtP", "P[cf]xP[bg]>* old"),
        ("KRPxQKtP", "P[h]xP[b]>* old"),
        ("PxP e.p.", "P[*]xP[*]>* ep old"),
        ("PxP(B6)", "P[*]xP[*]>cf6 old"),
        ("QR-K1", "R[abcd]>e1 old"),
        ("KKt-Q2", "N[efgh]>d2 old"),
        ("QKtxKtch", "N[abcd]xN[*]>*+ old"),
        ("BxKKt", "B[*]xN[efgh]>* old"),
        ("R (K 1)-Q 1", "R[e]1>d1 old"),
        ("R(K1)-Q1", "R[e]1>d1 old"),
        ("R/K1-Q1", "R[e]1>d1 old"),
        ("Kt(QB3)xP", "N[c]3xP[*]>* old"),
        ("QxPch", "Q[*]xP[*]>*+ old"),
        ("Q x P mate", "Q[*]xP[*]>*# old"),
        ("P-K8(Q)", "P[*]>e8=Q old"),
        ("P-K8Q", "P[*]>e8=Q old"),
        ("P-B8=Q ch", "P[*]>cf8=Q+ old"),
        ("P-B8=Kt", "P[*]>cf8=N old"),
        ("P-R8 queens", "P[*]>ah8=Q old"),
        ("PxR(Q)", "P[*]xR[*]>*=Q old"),
        ("PxR-Q", "P[*]xR[*]>*=Q old"),
        ("Ktf3", "Nf3 old"),
        ("Ktb1-c3+", "Nb1c3+ old"),
        ("Ktgxe2 ch", "Ngxe2+ old"),
        ("Castles", "castles old"),
        ("Castles K", "short old"),
        ("Castles KR", "short old"),
        ("Castles Q.", "long old"),
        ("Castles (QR)", "long old"),
        ("Castles Q.R.", "long old"),
        ("O--O--O", "long old"),
        ("O-O", "short"),
    ] {
        assert_eq!(show(text, Language::English), any(expected), "{text:?}");
    }
    for text in [
        "P-9",
        "P-K",
        "P-K9",
        "P-K0",
        "Kt-",
        "K-t3",
        "PxZ",
        "Ktx",
        "KtxKtxKt",
        "Kt-B1-Kt3",
        "QQ-K1",
        "KK-B1",
        "P-K4ever",
        "PxPawn",
        "castles",
        "Castlesque",
        "R(K)-Q1",
        "R(K1-Q1",
        "KtxP!",
        "QB4",
        "Kt",
        "KtB3",
        "P-K4(Q",
        "B-e5x",
    ] {
        assert_eq!(show(text, Language::English), "none", "{text:?}");
    }
    assert_eq!(show("P-K4", Language::German), "none");
}

#[test]
fn the_tree_is_as_small_as_before() {
    assert!(size_of::<WrittenMove>() <= 12);
    assert!(size_of::<crate::tree::Element>() <= 24);
}
