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
    assert_eq!(verdicts("$1"), []);
}
