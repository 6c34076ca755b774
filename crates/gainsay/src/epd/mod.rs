//! Lines of EPD and FEN: a position and what is claimed of it.
//!
//! Three operations are claims (PGN standard, 16.2.5): `dm` is a mate in so many
//! moves, `bm` names the best moves, `am` moves to avoid. Collections of mates also
//! write `bm #4`, and a negative number where the side to move is mated.

pub(crate) mod desk;
mod operations;
pub(crate) mod record;

use std::ops::Range;

use gainsay_notation::{EpdFaultKind, EpdOperation, EpdRecord, Span, parse_epd_line};
use shakmaty::Chess;

use self::{
    desk::Desk,
    operations::Asked,
    record::{fen, words},
};
use crate::{
    allowance,
    memory::Digest,
    outcome::{Claimed, Judged},
    passage::{self, Posed},
    question::Heard,
    recognise,
    replay::read_fen,
    report::{Finding, Report},
    rules::{broken_epd, illegal_position},
    settings::Settings,
    show,
    sink::Sink,
    solver::Solver,
};

/// Findings of one line that are no matter of its claims.
pub(crate) fn notation(line: &[u8], settings: &Settings) -> Report {
    let mut report = Report {
        numbers: 1,
        ..Report::default()
    };
    let Some(record) = parse_epd_line(line) else {
        return report;
    };
    report.games = 1;
    let mut sink = Sink::new(settings);
    for fault in &record.faults {
        sink.push(numbered(broken_epd::finding(fault.span, fault.kind)));
    }
    let missing = record
        .faults
        .iter()
        .any(|fault| fault.kind == EpdFaultKind::MissingFields);
    let (position, trouble) = read_fen(&fen(line, &record), false);
    if let Some(trouble) = trouble
        && !missing
    {
        sink.push(numbered(illegal_position::finding(
            record.position,
            &trouble,
        )));
    }
    if let Some(position) = position {
        for operation in &record.operations {
            let (_, troubles) = Asked::of(line, &position, operation);
            for trouble in troubles {
                sink.push(numbered(trouble));
            }
        }
    }
    report.findings = sink.into_findings();
    let allowances = allowance::of_line(line);
    allowance::tell_notation(&allowances, &mut report.findings, settings);
    recognise::mark(&mut report.findings, 0, |span| {
        line.get(span.clone()).unwrap_or_default()
    });
    allowance::apply(&allowances, &mut report.findings, &mut report.accepted);
    report
}

/// What the operations of one line claim, read but not settled, and what its comments do.
/// Offsets are relative to the line, whose number is 1.
pub(crate) fn claims(line: &[u8], settings: &Settings) -> (Vec<Operation>, Heard) {
    let Some(record) = parse_epd_line(line) else {
        return (Vec::new(), Heard::default());
    };
    let Some(position) = read_fen(&fen(line, &record), false).0 else {
        return (Vec::new(), Heard::default());
    };
    (
        operations(line, &record, &position),
        prose(line, &record, &position, settings),
    )
}

fn operations(line: &[u8], record: &EpdRecord, position: &Chess) -> Vec<Operation> {
    let mut pendings: Vec<Operation> = record
        .operations
        .iter()
        .filter_map(|operation| {
            let span = span_of(operation);
            Some(Operation {
                asked: Asked::of(line, position, operation).0?,
                position: position.clone(),
                text: words(line, span),
                span: span.range(),
                claims: 1,
            })
        })
        .collect();
    let claims = pendings.len() as u64;
    for pending in &mut pendings {
        pending.claims = claims;
    }
    pendings
}

/// The claims of the comments `c0` to `c9`, which speak of the line's position (PGN standard,
/// 16.2.5.6).
fn prose(line: &[u8], record: &EpdRecord, position: &Chess, settings: &Settings) -> Heard {
    let mut asked = Heard::default();
    let operands = (record.operations.iter())
        .filter(|operation| matches!(operation.opcode.of(line), [b'c', b'0'..=b'9']))
        .flat_map(|operation| &operation.operands)
        .filter(|operand| operand.quoted);
    for operand in operands {
        let base = operand.span.start as usize;
        let text = operand.span.of(line);
        passage::of_position(
            text,
            base,
            (position, Some(1)),
            Posed::default(),
            settings,
            &mut asked,
        );
    }
    asked
}

/// Whether a line may hold a claim, at next to no cost.
pub(crate) fn may_claim(line: &[u8]) -> bool {
    memchr::memchr(b'm', line).is_some() || memchr::memchr(b'"', line).is_some()
}

/// An operation without its semicolon.
fn span_of(operation: &EpdOperation) -> Span {
    let end = operation
        .operands
        .last()
        .map_or(operation.opcode.end, |operand| operand.span.end);
    Span::new(operation.opcode.start, end)
}

fn numbered(mut finding: Finding) -> Finding {
    finding.game = Some(1);
    finding
}

/// A claim of a line that waits for its verdict.
#[derive(Clone, Debug)]
pub(crate) struct Operation {
    asked: Asked,
    position: Chess,
    text: String,
    span: Range<usize>,
    /// How many claims share the line's budget.
    claims: u64,
}

impl Operation {
    fn nodes(&self, settings: &Settings) -> u64 {
        let share = settings.of_a_game() / self.claims.max(1);
        settings.nodes.min(share)
    }

    /// All that the verdict depends on: what is asked of which position, and the budget.
    pub(crate) fn depends(&self, settings: &Settings, tables: bool) -> Digest {
        // Where the digits stand in the line does not matter, but how far in the operation.
        let asked = match &self.asked {
            Asked::Mate(moves, digits) => {
                format!("mate {moves} {}", digits.start as usize - self.span.start)
            }
            Asked::Moves { moves, best } => format!("moves {moves:?} {best}"),
        };
        Digest::of(&[
            b"operation",
            asked.as_bytes(),
            show::fen(&self.position).as_bytes(),
            &self.nodes(settings).to_le_bytes(),
            &[u8::from(tables)],
        ])
    }

    /// Settles the claim within the settings' budget. `None` when the solver was stopped.
    pub(crate) fn settle(&self, solver: &mut Solver, settings: &Settings) -> Option<Judged> {
        let mut desk = Desk {
            position: &self.position,
            nodes: self.nodes(settings),
            solver,
        };
        let judged = match &self.asked {
            Asked::Mate(moves, digits) => {
                let start = u32::try_from(self.span.start).unwrap_or(u32::MAX);
                let from = |offset: u32| offset.saturating_sub(start);
                desk.mate(*moves, from(digits.start)..from(digits.end))
            }
            Asked::Moves { moves, best } => desk.best_moves(moves, *best),
        };
        (!desk.solver.is_stopped()).then_some(judged)
    }

    /// The claim as it stands in the line.
    pub(crate) fn claimed(&self) -> Claimed<'_> {
        Claimed {
            kind: match self.asked {
                Asked::Mate(..) => "mate-in",
                Asked::Moves { best: true, .. } => "best-move",
                Asked::Moves { best: false, .. } => "avoid-move",
            },
            text: &self.text,
            span: &self.span,
            base: self.span.start,
            game: Some(1),
            mv: None,
            here: &self.position,
        }
    }
}

#[cfg(test)]
mod tests {
    use gainsay_notation::Format;

    use crate::{Settings, Verdict, check_as};

    fn verdicts(text: &str) -> Vec<(String, Verdict, Option<bool>, Option<u32>)> {
        check_as(text.as_bytes(), Format::Epd, &Settings::default())
            .claims
            .iter()
            .map(|claim| {
                (
                    claim.kind.to_string(),
                    claim.verdict,
                    claim.exact,
                    claim.game,
                )
            })
            .collect()
    }

    #[test]
    fn mates_are_settled_by_line() {
        let text = "\n6k1/5ppp/8/8/8/8/8/R3K3 w - - dm 1;\n\
                    6k1/5ppp/8/8/8/8/8/R3K3 w - - dm 2;\n\
                    6k1/5pp1/7p/8/8/8/8/R3K3 w - - dm 2;\n";
        assert_eq!(
            verdicts(text),
            [
                ("mate-in".to_owned(), Verdict::Holds, Some(true), Some(2)),
                ("mate-in".to_owned(), Verdict::Fails, Some(true), Some(3)),
                ("mate-in".to_owned(), Verdict::Fails, Some(false), Some(4)),
            ]
        );
    }

    #[test]
    fn the_true_number_of_moves_is_offered() {
        let text = b"6k1/5ppp/8/8/8/8/8/R3K3 w - - bm #12;\n";
        let report = check_as(text, Format::Epd, &Settings::default());
        let edit = &report.findings[0].remedies[0].edits[0];
        assert_eq!(
            (&text[edit.span.clone()], edit.text.as_str()),
            (&b"12"[..], "1")
        );
    }

    #[test]
    fn being_mated_is_a_negative_number() {
        // Two rooks against a lone king on the edge: whatever it plays, mate follows.
        let text = "7k/R7/1R6/8/8/8/8/K7 b - - bm #-1;\n";
        assert_eq!(
            verdicts(text),
            [("mate-in".to_owned(), Verdict::Holds, Some(true), Some(1))]
        );
    }

    #[test]
    fn best_moves_are_settled_by_mates() {
        let text = "6k1/5ppp/8/8/8/8/8/R3K3 w - - bm Ra8; am Ra7;\n\
                    6k1/5ppp/8/8/8/8/8/R3K3 w - - bm Ra7; am Ra8+;\n";
        assert_eq!(
            verdicts(text),
            [
                ("best-move".to_owned(), Verdict::Holds, None, Some(1)),
                ("avoid-move".to_owned(), Verdict::Holds, None, Some(1)),
                ("best-move".to_owned(), Verdict::Fails, None, Some(2)),
                ("avoid-move".to_owned(), Verdict::Fails, None, Some(2)),
            ]
        );
    }

    #[test]
    fn best_moves_are_confirmed_by_search_and_never_denied_by_it() {
        // The rook takes a queen that nothing defends; the other moves lose the rook.
        let text = "6k1/5ppp/8/3q4/8/8/5PPP/3R2K1 w - - bm Rxd5; am Ra1;\n\
                    6k1/5ppp/8/3q4/8/8/5PPP/3R2K1 w - - bm Kf1; am Rxd5;\n";
        assert_eq!(
            verdicts(text),
            [
                ("best-move".to_owned(), Verdict::Holds, None, Some(1)),
                ("avoid-move".to_owned(), Verdict::Holds, None, Some(1)),
                ("best-move".to_owned(), Verdict::Unsettled, None, Some(2)),
                ("avoid-move".to_owned(), Verdict::Unsettled, None, Some(2)),
            ]
        );
    }

    #[test]
    fn a_move_that_cannot_be_played_is_told() {
        let report = check_as(
            b"6k1/5ppp/8/8/8/8/8/R3K3 w - - bm Qh5;\n8/8 w - - dm 1;\n",
            Format::Epd,
            &Settings::default(),
        );
        let rules: Vec<&str> = report.findings.iter().map(|f| f.rule.name).collect();
        assert_eq!(rules, ["illegal-move", "illegal-position"]);
        assert_eq!(
            report.findings[0].message,
            "Qh5 cannot be played: White has no queen."
        );
    }

    /// What an operation does not say is told at the line, whatever it lacks.
    #[test]
    fn operands_that_are_none_are_told() {
        let position = "6k1/5ppp/8/8/8/8/8/R3K3 w - - ";
        for (operations, rule, words) in [
            ("bm Qh9;", "broken-epd", "Qh9"),
            ("bm;", "broken-epd", "bm"),
            ("am;", "broken-epd", "am"),
            ("dm;", "broken-epd", "dm"),
            ("dm two;", "broken-epd", "two"),
            ("pv Rb8#;", "illegal-move", "Rb8#"),
            ("pv Rb1 h6 Rb8#;", "false-mate-sign", "Rb8#"),
            ("pm Rh8;", "illegal-move", "Rh8"),
            ("bm Ra7#;", "false-mate-sign", "Ra7#"),
            ("id \"x\" bm Ra8;", "broken-epd", "bm"),
        ] {
            let text = format!("{position}{operations}");
            let found = check_as(text.as_bytes(), Format::Epd, &Settings::default()).findings;
            let told: Vec<_> = (found.iter())
                .filter(|finding| finding.rule.name != "not-the-best-move")
                .map(|finding| (finding.rule.name, &text[finding.span.clone()]))
                .collect();
            assert_eq!(told, [(rule, words)], "{operations}");
        }
        for sound in ["bm Ra8#;", "dm 1;", "pv Rb1 h6 Rb8+;", "id \"x\"; ce 30;"] {
            let text = format!("{position}{sound}");
            let found = check_as(text.as_bytes(), Format::Epd, &Settings::default()).findings;
            assert!(found.is_empty(), "{sound} {found:?}");
        }
    }

    #[test]
    fn comments_of_a_position_are_prose() {
        let text = "6k1/5ppp/8/8/8/8/8/R3K3 w - - c0 \"White mates in two.\"; \
                    c1 \"The rook on a1 mates by 1.Ra8#.\"; id \"White mates in two.\";\n";
        let report = check_as(text.as_bytes(), Format::Epd, &Settings::default());
        let wrong: Vec<&str> = (report.findings.iter())
            .map(|finding| &text[finding.span.clone()])
            .collect();
        assert_eq!(wrong, ["mates in two"]);
        assert!(
            report
                .claims
                .iter()
                .any(|claim| claim.verdict == Verdict::Holds)
        );
        assert!(report.claims.iter().all(|claim| claim.game == Some(1)));
    }
}
