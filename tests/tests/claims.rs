//! Claims on the corpus in `fixtures/claims`, and properties that every comment has.

use gainsay::{Finding, Settings, Severity, Verdict, check};
use gainsay_tests::accuracy::{corpus, run};

#[test]
fn the_corpus_is_large_and_the_claims_are_right() {
    let accuracy = run(&corpus()).expect("the corpus is there");
    let sum = accuracy.sum();
    assert!(sum.truths >= 200 && sum.falsehoods >= 200, "{sum:?}");
    assert!(accuracy.traps.truths >= 50, "{:?}", accuracy.traps);
    assert!(sum.precision() >= 0.99, "{}", accuracy.misses);
    assert!(sum.recall() >= 0.9, "{}", accuracy.misses);
    assert_eq!(accuracy.traps.false_alarms, 0, "{}", accuracy.misses);
}

const GAME: [&str; 10] = [
    "1. e4", "e5", "2. Qh5", "Nc6", "3. Bc4", "g6", "4. Qf3", "Nf6", "5. Nc3", "Nd4",
];

/// The game with a comment behind its move number `ply`.
fn with_comment(ply: usize, comment: &str) -> String {
    let mut text = String::new();
    for (at, mv) in GAME.iter().enumerate() {
        text.push_str(mv);
        if at == ply {
            text.push_str(&format!(" {{{comment}}}"));
        }
        text.push(' ');
    }
    text.push('*');
    text
}

fn errors(text: &str) -> Vec<Finding> {
    check(text.as_bytes(), &Settings::default())
        .findings
        .into_iter()
        .filter(|finding| finding.severity >= Severity::Warning)
        .collect()
}

/// Statements about the position after a ply of the game, all true there.
const TRUE_THERE: [(usize, &str); 6] = [
    (4, "The bishop on c4 attacks the pawn on f7."),
    (4, "White threatens mate."),
    (5, "The pawn on g6 attacks the queen."),
    (6, "The queen on f3 attacks the f7-pawn."),
    (9, "The knight on d4 attacks the queen."),
    (9, "Material is level."),
];

#[test]
fn a_true_statement_a_ply_too_early_or_too_late_is_no_error() {
    for (ply, comment) in TRUE_THERE {
        for shifted in ply.saturating_sub(1)..=(ply + 1).min(GAME.len() - 1) {
            let text = with_comment(shifted, comment);
            assert!(errors(&text).is_empty(), "{text}\n{:#?}", errors(&text));
        }
    }
}

#[test]
fn not_turns_a_claim_over_or_silences_it() {
    for (ply, plain, denied) in [
        (4, "White threatens mate.", "White does not threaten mate."),
        (7, "It is mate in two.", "It is not mate in two."),
        (
            5,
            "The pawn on g6 attacks the queen.",
            "The pawn on g6 does not attack the queen.",
        ),
        (9, "Material is level.", "Material is not level."),
    ] {
        let verdicts = |comment: &str| -> Vec<Verdict> {
            check(with_comment(ply, comment).as_bytes(), &Settings::default())
                .claims
                .iter()
                .filter(|claim| claim.kind != "piece")
                .map(|claim| claim.verdict)
                .collect()
        };
        for (first, second) in verdicts(plain).iter().zip(&verdicts(denied)) {
            let both = |verdict| *first == verdict && *second == verdict;
            assert!(
                !both(Verdict::Holds) && !both(Verdict::Fails),
                "`{plain}` and `{denied}` are both {first:?}"
            );
        }
        assert!(!verdicts(plain).is_empty(), "`{plain}` is not read");
    }
}

/// Statements whose verb can be denied, with `~` where "not" goes. True and false ones.
const DENIABLE: [(usize, &str); 12] = [
    (4, "White does ~ threaten mate in one."),
    (2, "White does ~ threaten mate in one."),
    (4, "The bishop on c4 does ~ attack the pawn on f7."),
    (4, "The bishop on c4 does ~ attack the knight on c6."),
    (4, "The queen on h5 is ~ attacked."),
    (5, "The queen on h5 is ~ attacked."),
    (4, "The pawn on f7 is ~ pinned."),
    (7, "White is ~ a queen up."),
    (9, "Black is ~ winning."),
    (4, "4.Qxf7 is ~ mate."),
    (2, "3.Qxf7 is ~ mate."),
    (9, "White does ~ force mate."),
];

#[test]
fn adding_not_never_leaves_a_verdict_as_it_was() {
    for (ply, pattern) in DENIABLE {
        let verdicts = |not: &str| -> Vec<(String, Verdict)> {
            let comment = pattern.replace("~ ", not);
            check(with_comment(ply, &comment).as_bytes(), &Settings::default())
                .claims
                .iter()
                .filter(|claim| claim.kind != "piece" && claim.kind != "line")
                .map(|claim| (claim.kind.to_string(), claim.verdict))
                .collect()
        };
        for (kind, plain) in &verdicts("") {
            for (other, denied) in &verdicts("not ") {
                assert!(
                    kind != other || plain != denied || *plain == Verdict::Unsettled,
                    "`{pattern}`: {kind} is {plain:?} with and without \"not\""
                );
            }
        }
    }
}

#[test]
fn any_text_is_settled_without_a_panic() {
    // Words that claims are made of, in an order that no author would write.
    const WORDS: [&str; 24] = [
        "mate",
        "in",
        "two",
        "threatens",
        "5.Qxf7#",
        "Nf6",
        "4...Nf6",
        "6.Nge2",
        "the knight on f6",
        "is",
        "pinned",
        "not",
        "if",
        ",",
        ".",
        "wins the queen",
        "only",
        "legal",
        "move",
        "stalemate",
        "a pawn up",
        "the open e-file",
        "fails to",
        "White",
    ];
    let mut state = 7_u64;
    for _ in 0..60 {
        let mut comment = String::new();
        for _ in 0..12 {
            // Steele, Lea and Flood's SplitMix64 (2014).
            state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
            let mut mixed = state;
            mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
            mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
            mixed ^= mixed >> 31;
            comment.push_str(WORDS[(mixed % WORDS.len() as u64) as usize]);
            comment.push(' ');
        }
        let settings = Settings {
            nodes: 20_000,
            ..Settings::default()
        };
        let text = with_comment(7, &comment);
        let report = check(text.as_bytes(), &settings);
        for claim in &report.claims {
            assert!(claim.span.end <= text.len() && claim.span.start < claim.span.end);
        }
    }
}

#[test]
fn a_glyph_is_contradicted_only_where_the_other_side_is_winning() {
    let verdicts = |glyph: &str| -> Vec<Verdict> {
        let text = format!("1. e4 e5 2. Qh5 Nc6 3. Qxf7+ Kxf7 {glyph} *");
        check(text.as_bytes(), &Settings::default())
            .claims
            .iter()
            .map(|claim| claim.verdict)
            .collect()
    };
    assert_eq!(verdicts("$18"), [Verdict::Fails]);
    assert_eq!(verdicts("$19"), [Verdict::Holds]);
    assert_eq!(verdicts("$13"), [Verdict::Unsettled]);
    assert_eq!(verdicts("$1"), [Verdict::Holds]);
    assert_eq!(verdicts("$5"), []);
}

#[test]
fn a_glyph_on_a_move_is_contradicted_only_where_nobody_could_argue() {
    let told = |moves: &str| -> Vec<&'static str> {
        errors(&format!("{moves} *"))
            .iter()
            .map(|finding| finding.rule.name)
            .filter(|name| name.contains("glyph"))
            .collect()
    };
    // Blamed: mate, and the only legal move. Praised: a move that allows mate.
    assert_eq!(told("1. f3 e5 2. g4 Qh4#??"), ["false-glyph"]);
    assert_eq!(told("1. f3 e5 2. g4! Qh4#"), ["false-glyph"]);
    assert_eq!(
        told("1. e4 e5 2. Qh5 Nc6 3. Bc4 Nf6!! 4. Qxf7#"),
        ["false-glyph"]
    );
    // An opinion is an opinion.
    for moves in [
        "1. e4? e5! 2. Qh5!! Nc6?? 3. Bc4!? g6?!",
        "1. f3? e5 2. g4?? Qh4#!!",
        "1. e4 e5 2. Qh5 Nc6 3. Bc4 Nf6?? 4. Qxf7#!",
    ] {
        assert_eq!(told(moves), Vec::<&str>::new(), "{moves}");
    }
}

/// What is raised about a comment behind ply `ply` of the game.
fn raised(ply: usize, comment: &str) -> Vec<&'static str> {
    errors(&with_comment(ply, comment))
        .iter()
        .map(|finding| finding.rule.name)
        .collect()
}

#[test]
fn one_slip_gives_one_finding() {
    for (ply, comment, rule) in [
        (2, "Threatens 3.Qxf7#.", "false-mate"),
        (2, "Now 3.Qxf7# is mate.", "false-mate"),
        (4, "3...Nf6 fails to 4.Bxf7#.", "false-mate"),
        (4, "3...Ke6 is met by 4.Qxe5#.", "unplayable-line"),
        (4, "The knight on d7 is pinned.", "false-piece"),
        (4, "The rook on e4 attacks the pawn on e5.", "false-piece"),
    ] {
        assert_eq!(raised(ply, comment), [rule], "{comment}");
    }
    // The threat fails with its line, whose finding is the only one.
    let text = with_comment(2, "Threatens 3.Qxf7#.");
    let report = check(text.as_bytes(), &Settings::default());
    assert!(
        report
            .claims
            .iter()
            .all(|claim| claim.verdict == Verdict::Fails)
    );
}

/// A capture that loses wood is a move, not a threat; and what one side may threaten with a
/// move is not shown by the same move of the other.
#[test]
fn what_loses_wood_is_not_confirmed_as_a_threat() {
    const OPENING: &str = "1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 4. O-O Nf6 5. d3 d6 6. Bg5 h6 7. Bh4 g5 \
                           8. Bg3 Bg4";
    for (comment, verdict) in [
        ("Black threatens Bxf3.", Verdict::Holds),
        ("White threatens Nxe5.", Verdict::Unsettled),
        ("Black threatens Nxe4.", Verdict::Unsettled),
        (
            "Black threatens to win the f3-knight with Nd4.",
            Verdict::Unsettled,
        ),
    ] {
        let text = format!("{OPENING} {{{comment}}} 9. c3 *");
        let report = check(text.as_bytes(), &Settings::default());
        let claims = report.claims.iter();
        let threats: Vec<_> = claims.filter(|claim| claim.kind == "threat").collect();
        assert_eq!(threats.len(), 1, "{comment}");
        assert_eq!(threats[0].verdict, verdict, "{comment}");
    }
}

/// The game that Légal's mate is named after, with a comment behind its fourth move
/// and one behind its last.
fn legal(fourth: &str, last: &str) -> String {
    format!(
        "1. e4 e5 2. Nf3 d6 3. Bc4 Bg4 4. Nc3 g6 {{{fourth}}} 5. Nxe5 Bxd1 6. Bxf7+ Ke7 7. Nd5# \
         {{{last}}} 1-0"
    )
}

#[test]
fn a_mate_that_takes_longer_is_told_of_the_side_that_gives_it() {
    let text = legal("After 5. Nxe5 Bxd1 it is mate in one.", "");
    let found = errors(&text);
    assert_eq!(found.len(), 1, "{found:#?}");
    assert_eq!(
        found[0].message,
        "White does not mate in one; it is mate in two."
    );
    assert!(
        found[0]
            .evidence
            .iter()
            .any(|line| line.contains("7. Nd5#"))
    );
}

#[test]
fn a_move_that_cannot_be_played_is_not_confirmed_as_the_only_one() {
    for (comment, verdict) in [
        ("6...Ke7 was forced.", Verdict::Holds),
        ("6...Kd7 was forced.", Verdict::Unsettled),
        ("6...Kf8 was the only move.", Verdict::Unsettled),
    ] {
        let report = check(legal("", comment).as_bytes(), &Settings::default());
        let only = report.claims.iter().find(|claim| claim.kind == "only-move");
        assert_eq!(only.map(|claim| claim.verdict), Some(verdict), "{comment}");
    }
}

#[test]
fn what_is_asked_is_not_raised() {
    for comment in [
        "Black threatens mate on f1? No: there is nothing.",
        "Is it mate in three? Hardly.",
        "A threat of 3.Qxf7#? No, the king takes.",
        "Is the knight on d7 pinned?",
        "Can White play 3.Nd7?",
        "Does 3.Qxf7# work? It does not.",
        "Has Black only one legal move?",
    ] {
        assert_eq!(raised(2, comment), Vec::<&str>::new(), "{comment}");
    }
}

#[test]
fn the_author_is_one_of_the_players() {
    let verdicts = |annotator: &str| -> Vec<Verdict> {
        let text = format!(
            "[White \"Carrera, Ana\"]\n[Black \"Olsen, Bo\"]\n[Annotator \"{annotator}\"]\n\n\
             1. e4 e5 2. Qh5 Nc6 3. Qxf7+ Kxf7 {{I am a queen up.}} *"
        );
        check(text.as_bytes(), &Settings::default())
            .claims
            .iter()
            .map(|claim| claim.verdict)
            .collect()
    };
    assert_eq!(verdicts("Olsen, Bo"), [Verdict::Holds]);
    assert_eq!(verdicts("Carrera, Ana"), [Verdict::Fails]);
    // Who else writes may mean either.
    assert_eq!(verdicts("Lund, Eva"), [Verdict::Unsettled]);
}

#[test]
fn moves_are_cited_in_the_letters_of_the_prose() {
    for (comment, rules) in [
        ("Nach 3...Sf6 4.Dxf7 ist es matt.", vec![]),
        (
            "Nach 3...Sh5 steht Schwarz besser.",
            vec!["unplayable-line"],
        ),
        ("Si 3...Cf6, entonces 4.Dxf7 es mate.", vec![]),
        ("La jugada 3...Ch5 es mejor.", vec!["unplayable-line"]),
    ] {
        assert_eq!(raised(4, comment), rules, "{comment}");
    }
}

/// A claim beside a word that nobody reviewed has no verdict, whether it is true or false, and
/// says which word it is; without the word it has one.
#[test]
fn what_is_not_understood_is_not_judged() {
    // Behind 3...g6 White has not lost a piece, and the bishop on c4 does attack f7.
    let cases = [
        ("White is a rook down.", None),
        ("White overlooks that he is a rook down.", Some("overlooks")),
        ("The bishop on c4 attacks f7.", None),
        ("White gnurbles to attack f7.", Some("gnurbles")),
    ];
    for (comment, word) in cases {
        let report = check(with_comment(5, comment).as_bytes(), &Settings::default());
        let claim = report.claims.iter().find(|claim| claim.kind != "piece");
        let claim = claim.unwrap_or_else(|| panic!("no claim: {comment}"));
        match word {
            None => assert!(claim.unread.is_empty(), "{comment}: {claim:#?}"),
            Some(word) => assert_eq!(claim.unread, [word], "{comment}"),
        }
        let settled = claim.verdict != Verdict::Unsettled;
        assert_eq!(settled, word.is_none(), "{comment}: {claim:#?}");
        let told = report
            .findings
            .iter()
            .any(|finding| finding.severity >= Severity::Warning);
        assert!(!told || word.is_none(), "{comment}");
    }
}
