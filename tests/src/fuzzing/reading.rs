//! Reading, checking and mending.

use std::{collections::BTreeSet, ops::Range, path::Path, sync::LazyLock};

use gainsay::{Document, Format, Language, Report, Settings, Solver};
use gainsay_commentary::{Context, Names, Prose, Reader};
use gainsay_notation::parse_epd_line;
use gainsay_proof::{Budget, MateProver, Verdict, verify};
use shakmaty::Position;

use super::held;
use crate::mending;

/// Reading games: spans lie in order and in the text, and sections read like the whole.
pub fn notation(data: &[u8]) {
    held::check_all(data);
}

/// Positions: of every line all spans lie in it, and the check holds what it promises.
pub fn epd(data: &[u8]) {
    for line in data.split_inclusive(|&byte| byte == b'\n') {
        let Some(record) = parse_epd_line(line) else {
            continue;
        };
        let spans = record.operations.iter().map(|operation| operation.span);
        for span in spans.chain([record.span, record.position]) {
            inside(&span.range(), line.len());
        }
    }
    checked(data, Format::Epd);
}

/// Manuscripts, in every format.
pub fn manuscripts(data: &[u8]) {
    checked(data, Format::Markdown);
    checked(data, Format::Text);
    checked(data, Format::Latex);
    checked(data, Format::AsciiDoc);
}

/// Games with their claims.
pub fn check(data: &[u8]) {
    checked(data, Format::Pgn);
}

/// Checks with a budget so small that thousands of texts can be tried, twice.
fn checked(text: &[u8], format: Format) {
    let settings = Settings {
        nodes: 100,
        game_nodes: Some(1_000),
        ..Settings::default()
    };
    // With little memory, since clearing it would cost more than the check.
    let check = || {
        let mut solver = Solver::new(1 << 20);
        let document = Document::in_pieces(text, format, usize::MAX);
        let mut report = Report::default();
        for (at, piece) in document.pieces().iter().enumerate() {
            let part = document.check(at, &settings, &mut solver);
            report.append(part, piece.range.start);
        }
        report
    };
    let report = check();
    for finding in &report.findings {
        inside(&finding.span, text.len());
        assert!(!finding.message.is_empty(), "{}", finding.rule.name);
        for related in &finding.related {
            inside(&related.span, text.len());
        }
        for remedy in &finding.remedies {
            let mut end = 0;
            for edit in &remedy.edits {
                inside(&edit.span, text.len());
                assert!(edit.span.start >= end, "edits in order: {remedy:?}");
                end = edit.span.end;
            }
        }
    }
    for claim in &report.claims {
        inside(&claim.span, text.len());
        assert!(
            claim.verdict != Verdict::Fails || !report.findings.is_empty(),
            "a claim that fails is found: {claim:?}"
        );
    }
    assert_eq!(told(&report), told(&check()));
}

fn told(report: &Report) -> String {
    format!("{report:?}")
}

#[track_caller]
fn inside(span: &Range<usize>, length: usize) {
    assert!(
        span.start <= span.end && span.end <= length,
        "{span:?} in {length}"
    );
}

/// Mending and formatting: see [`mending::check`]. The first byte chooses between letters
/// that are recognised and German ones.
pub fn remedies(data: &[u8]) {
    let Some((&choice, text)) = data.split_first() else {
        return;
    };
    let settings = Settings {
        claims: false,
        language: (choice == b'G').then_some(Language::German),
        ..Settings::default()
    };
    let format = if choice == b'M' {
        Format::Markdown
    } else {
        Format::Pgn
    };
    if let Err(broken) = mending::check(text, format, &settings) {
        panic!("{broken}");
    }
}

/// The words that the English phrases are made of, and the signs and moves that stand
/// between them.
static WORDS: LazyLock<Vec<String>> = LazyLock::new(|| {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("../crates/commentary/lang/en.txt");
    let text = std::fs::read_to_string(file).expect("the data is beside this crate");
    let pieces = text.split(|letter: char| !letter.is_ascii_alphabetic() && letter != '\'');
    let pieces = pieces.filter(|word| !word.is_empty());
    let mut words: BTreeSet<String> = pieces.map(ToOwned::to_owned).collect();
    let signs =
        "24.Qh6+ Qg7# ...Rf8 1-0 Nb8-a6-b4 d1/e1 e4 f6 h-pawn 's , . ; : ? ! ( ) \" — 2 1922";
    words.extend(signs.split(' ').map(ToOwned::to_owned));
    words.into_iter().collect()
});

/// Prose: what is claimed has a place in it. A byte of ASCII is a letter; any other, with
/// the byte behind it, is a word of the lexicon.
pub fn commentary(data: &[u8]) {
    let mut passage = Vec::new();
    let mut bytes = data.iter().copied();
    while let Some(byte) = bytes.next() {
        if byte.is_ascii() {
            passage.push(byte);
            continue;
        }
        let number = usize::from(byte & 0x7f) << 8 | usize::from(bytes.next().unwrap_or(0));
        passage.push(b' ');
        passage.extend(WORDS[number % WORDS.len()].bytes());
    }
    let context = Context {
        names: Names::new("Wren, Tilda", "Osk"),
        ..Context::default()
    };
    let mut prose = Prose::default();
    Reader::new().read(&passage, &context, &mut prose);
    for claim in &prose.claims {
        assert!(claim.span.start < claim.span.end);
        inside(&claim.span.range(), passage.len());
        if let Some(line) = claim.at.line() {
            assert!((line as usize) < prose.lines.len());
        }
    }
    for line in &prose.lines {
        assert!(!prose.moves_of(line).is_empty());
    }
}

/// Proofs: one that is sound is of a mate, which the prover does not refute. The last line
/// is added, since no chance finds its digits.
pub fn verifier(data: &[u8]) {
    let body = String::from_utf8_lossy(data);
    // FNV-1a in 64 bits, by the description of the format in `gainsay_proof::evidence`.
    let digits = body.bytes().fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    });
    assert!(verify(&body).is_err() || body.contains("\nend "));
    let Ok(sound) = verify(&format!("{body}end {digits:016x}\n")) else {
        return;
    };
    if sound.position.turn() == sound.attacker {
        let answer = MateProver::new(1 << 20).mate_within(
            &sound.position,
            sound.moves,
            &mut Budget::nodes(20_000),
        );
        assert_ne!(answer.verdict, Verdict::Fails, "{sound:?}");
    }
}
