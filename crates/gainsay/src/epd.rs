//! Lines of EPD and FEN: a position and what is claimed of it.
//!
//! Three operations are claims (PGN standard, 16.2.5): `dm` is a mate in so many
//! moves, `bm` names the best moves, `am` moves to avoid. Collections of mates also
//! write `bm #4`, and a negative number where the side to move is mated.

use crate::played;
use std::ops::Range;

use gainsay_notation::{
    EpdFaultKind, EpdOperation, EpdRecord, Language, Span, parse_epd_line, parse_move,
};
use gainsay_proof::{Proof, Verdict, search::Line};
use shakmaty::{Chess, Move, Position};

use crate::{
    Finding, Report, Resolution, Settings, SettledClaim, Sink, Solver,
    claims::Settled,
    read_fen, resolve,
    rules::{broken_epd, false_mate, illegal_move, illegal_position, not_the_best_move},
    show,
    why::why_not,
};

/// Checks one line. Offsets are relative to the line, whose number is 1.
pub(crate) fn check_line(line: &[u8], settings: &Settings, solver: &mut Solver) -> Report {
    let mut report = notation(line, settings);
    if settings.claims && may_claim(line) {
        let settled = solver.settled("epd", &[line], 1, settings, |solver| {
            let settled = claims(line)
                .into_iter()
                .filter_map(|pending| pending.settle(solver, settings));
            settled.collect()
        });
        report.claims.extend(settled.claims);
        report.findings.extend(settled.findings);
        report.sort();
    }
    report
}

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
    report
}

/// The claims of one line, read but not settled, in the order of the text. Offsets are
/// relative to the line, whose number is 1.
#[must_use]
pub fn claims(line: &[u8]) -> Vec<Pending> {
    let Some(record) = parse_epd_line(line) else {
        return Vec::new();
    };
    let Some(position) = read_fen(&fen(line, &record), false).0 else {
        return Vec::new();
    };
    let mut pendings: Vec<Pending> = record
        .operations
        .iter()
        .filter_map(|operation| {
            let span = span_of(operation);
            Some(Pending {
                asked: Asked::of(line, &position, operation).0?,
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

/// The position of a line.
pub(crate) fn position(line: &[u8]) -> Option<Chess> {
    let record = parse_epd_line(line)?;
    read_fen(&fen(line, &record), false).0
}

/// Whether a line may hold a claim, at next to no cost.
pub(crate) fn may_claim(line: &[u8]) -> bool {
    memchr::memchr(b'm', line).is_some()
}

fn words(line: &[u8], span: Span) -> String {
    gainsay_notation::decode(span.of(line)).into_owned()
}

/// The position of a line with its counters, as FEN.
fn fen(line: &[u8], record: &EpdRecord) -> String {
    let mut fen = words(line, record.position);
    if let Some(counters) = record.counters {
        fen.push(' ');
        fen.push_str(&words(line, counters));
    }
    fen
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

/// What an operation claims.
#[derive(Clone, Debug)]
enum Asked {
    /// The side to move mates in so many moves; where negative, it is mated. With the
    /// place of the digits.
    Mate(i32, Span),
    /// The moves are the best ones, or (`best` is false) to be avoided.
    Moves { moves: Vec<Move>, best: bool },
}

impl Asked {
    /// With what is wrong with the moves that are named.
    fn of(line: &[u8], position: &Chess, operation: &EpdOperation) -> (Option<Self>, Vec<Finding>) {
        let number = |sign: &[u8]| {
            let operand = operation.operands.first()?.span.of(line);
            let digits = operand.strip_prefix(sign)?;
            let number: i32 = std::str::from_utf8(digits).ok()?.parse().ok()?;
            let span = operation.operands.first()?.span;
            let span = Span::new(span.end - digits.len() as u32, span.end);
            (number != 0).then_some(Self::Mate(number, span))
        };
        let best = match operation.opcode.of(line) {
            b"dm" => return (number(b""), Vec::new()),
            b"bm" => match number(b"#") {
                Some(mate) => return (Some(mate), Vec::new()),
                None => true,
            },
            b"am" => false,
            _ => return (None, Vec::new()),
        };
        let (moves, troubles) = named_moves(line, position, operation);
        let asked = (!moves.is_empty()).then_some(Self::Moves { moves, best });
        (asked, troubles)
    }
}

/// The moves among the operands, and findings where one cannot be played.
fn named_moves(
    line: &[u8],
    position: &Chess,
    operation: &EpdOperation,
) -> (Vec<Move>, Vec<Finding>) {
    let mut moves = Vec::new();
    let mut troubles = Vec::new();
    for operand in &operation.operands {
        let bytes = operand.span.of(line);
        let Some(written) = parse_move(bytes, Language::English) else {
            continue;
        };
        match resolve(position, &written) {
            Resolution::Legal(m, _) => moves.push(m),
            Resolution::Illegal | Resolution::Null => troubles.push(
                Finding::new(
                    &illegal_move::RULE,
                    operand.span,
                    format!(
                        "{} cannot be played: {}.",
                        words(line, operand.span),
                        why_not(position, &written)
                    ),
                )
                .on(position),
            ),
            Resolution::Ambiguous(list) | Resolution::NoPromotion(list) => {
                moves.extend(list.iter().copied().take(1));
            }
        }
    }
    (moves, troubles)
}

/// A claim of a line that waits for its verdict.
#[derive(Clone, Debug)]
pub struct Pending {
    asked: Asked,
    position: Chess,
    text: String,
    span: Range<usize>,
    /// How many claims share the line's budget.
    claims: u64,
}

impl Pending {
    /// The operation without its semicolon: byte offsets in the line.
    #[must_use]
    pub const fn span(&self) -> &Range<usize> {
        &self.span
    }

    /// Settles the claim within the settings' budget. `None` when the solver was stopped.
    pub fn settle(&self, solver: &mut Solver, settings: &Settings) -> Option<Settled> {
        let proofs = solver.proofs();
        let mut desk = Desk {
            position: &self.position,
            nodes: settings
                .nodes
                .min(settings.of_a_game() / self.claims.max(1)),
            solver,
        };
        let (kind, rule, judged) = match &self.asked {
            Asked::Mate(moves, _) => ("mate-in", &false_mate::RULE, desk.mate(*moves)),
            Asked::Moves { moves, best } => (
                if *best { "best-move" } else { "avoid-move" },
                &not_the_best_move::RULE,
                desk.best_moves(moves, *best),
            ),
        };
        if desk.solver.is_stopped() {
            return None;
        }
        let mut sink = Sink::new(settings);
        if judged.verdict == Verdict::Fails {
            let at = |offset: usize| u32::try_from(offset).unwrap_or(u32::MAX);
            let span = Span::new(at(self.span.start), at(self.span.end));
            let mut finding = Finding::new(rule, span, judged.message).on(&self.position);
            finding.evidence.clone_from(&judged.evidence);
            finding.note.clone_from(&judged.note);
            if let (Asked::Mate(_, digits), Some(right)) = (&self.asked, judged.instead) {
                finding = finding.perhaps(format!("Write {right}"), *digits, right.to_string());
            }
            sink.push(numbered(finding));
        }
        Some(Settled {
            claim: SettledClaim {
                kind: kind.into(),
                text: self.text.clone(),
                span: self.span.clone(),
                game: Some(1),
                mv: None,
                position: Some(show::fen(&self.position)),
                verdict: judged.verdict,
                exact: judged.exact,
                evidence: judged.evidence,
                note: judged.note,
                side_lines: None,
                proof: (judged.proof.filter(|_| proofs)).map(|proof| proof.to_string()),
                nodes: judged.nodes,
                short: judged.verdict == Verdict::Unsettled,
            },
            findings: sink.into_findings(),
        })
    }
}

/// What is needed to judge one operation.
struct Desk<'a> {
    position: &'a Chess,
    nodes: u64,
    solver: &'a mut Solver,
}

/// A verdict with what shows it.
struct Judged {
    verdict: Verdict,
    exact: Option<bool>,
    evidence: Vec<String>,
    note: Option<String>,
    proof: Option<Proof>,
    nodes: u64,
    /// For a claim that fails: one sentence that says what is true instead.
    message: String,
    /// For a false number of moves: the right one.
    instead: Option<i64>,
}

impl Desk<'_> {
    /// The side to move mates in so many moves and not in fewer; where the number is
    /// negative, it is mated, and can last so long.
    fn mate(&mut self, moves: i32) -> Judged {
        let wanted = moves.unsigned_abs();
        let side = show::side(self.position.turn());
        let (answer, verb, none) = if moves > 0 {
            let answer = self.solver.mate(self.position, Some(wanted), self.nodes);
            (answer, "mates", format!("{side} has no mate in {wanted}."))
        } else {
            let answer = self.solver.mated(self.position, Some(wanted), self.nodes);
            (
                answer,
                "is mated",
                format!("{side} is not mated in {wanted}."),
            )
        };
        let note = match answer.verdict {
            Verdict::Holds => answer.others.map(|others| show::others(others).to_owned()),
            Verdict::Fails => Some(show::searched(answer.nodes)),
            Verdict::Unsettled => None,
        };
        let mut judged = Judged {
            verdict: answer.verdict,
            exact: Some(answer.exact),
            evidence: line_of(show::line(self.position, &answer.line)),
            note,
            proof: answer.proof,
            nodes: answer.nodes,
            message: none,
            instead: None,
        };
        if let (Verdict::Holds, Some(least)) = (answer.verdict, answer.moves)
            && least < wanted
        {
            judged.verdict = Verdict::Fails;
            judged.message = format!("{side} {verb} sooner: in {least}, not in {wanted}.");
            judged.instead = answer
                .exact
                .then_some(i64::from(least) * i64::from(moves.signum()));
        }
        judged
    }

    /// The named moves are the best ones (`best`), or are not (`am`).
    ///
    /// A forced mate decides: a move that mates as quickly as any is best, and one that
    /// does not is not. Without one, the search may confirm but not deny.
    fn best_moves(&mut self, moves: &[Move], best: bool) -> Judged {
        let nodes = self.nodes;
        let shortest = self.solver.mate(self.position, None, nodes / 2);
        let mut judged = Judged {
            verdict: Verdict::Unsettled,
            exact: None,
            evidence: Vec::new(),
            note: None,
            proof: None,
            nodes: shortest.nodes,
            message: String::new(),
            instead: None,
        };
        let Some(length) = shortest.moves else {
            self.judge_moves(moves, best, &mut judged);
            return judged;
        };
        judged.evidence = line_of(show::line(self.position, &shortest.line));
        let (verdicts, spent) =
            self.solver
                .mating_moves(self.position, moves, Some(length), nodes / 2);
        judged.nodes += spent;
        // A move that does not mate in `length` is not best, whether or not `length` is
        // the least; one that does is best for certain only if it is.
        let holds = |verdict: Verdict| match (best, verdict) {
            (true, Verdict::Holds) | (false, Verdict::Fails) => Verdict::Holds,
            (true, Verdict::Fails) => Verdict::Fails,
            (false, Verdict::Holds) if shortest.exact => Verdict::Fails,
            _ => Verdict::Unsettled,
        };
        if let Some(told) = verdicts
            .iter()
            .find(|told| holds(told.verdict) == Verdict::Fails)
        {
            judged.verdict = Verdict::Fails;
            judged.message = if best {
                format!(
                    "{} is not the best move: there is a mate in {length}.",
                    show::san(self.position, told.first)
                )
            } else {
                format!(
                    "{} mates in {length}: there is nothing better.",
                    show::san(self.position, told.first)
                )
            };
        } else if verdicts
            .iter()
            .all(|told| holds(told.verdict) == Verdict::Holds)
        {
            judged.verdict = Verdict::Holds;
        }
        judged
    }

    /// Where no mate decides, the search may confirm: the best move of two budgets is
    /// named (`bm`), or every named move is far worse than the best (`am`). It never
    /// denies, for the best move of a hard position can lie beyond any budget.
    fn judge_moves(&mut self, moves: &[Move], best: bool, judged: &mut Judged) {
        /// More seldom changes a judgement.
        const JUDGEMENT: u64 = 120_000;
        /// A move that costs so much more than the best is to be avoided, in centipawns.
        const BAD: i32 = 150;
        let nodes = JUDGEMENT.min(self.nodes / 2);
        let mut look = |position: &Chess, nodes: u64| {
            let (lines, spent) = self.solver.best(position, 1, nodes);
            judged.nodes += spent;
            lines.into_iter().next()
        };
        let Some(early) = look(self.position, nodes / 4) else {
            return;
        };
        let Some(late) = look(self.position, nodes) else {
            return;
        };
        let named = |line: &Line| line.moves.first().is_some_and(|m| moves.contains(m));
        let confirmed = if best {
            named(&early) && named(&late)
        } else {
            !named(&early)
                && !named(&late)
                && moves.iter().all(|&m| {
                    let after = played(self.position, m);
                    let own = match look(&after, nodes / moves.len() as u64) {
                        Some(line) => line.value.reversed().centipawns(),
                        None if after.is_checkmate() => return false,
                        None => 0,
                    };
                    late.value.centipawns() - own >= BAD
                })
        };
        if confirmed {
            judged.verdict = Verdict::Holds;
            judged.evidence = line_of(show::line(self.position, &late.moves));
            let judge = self.solver.judge();
            judged
                .evidence
                .extend(judge.map(|name| format!("judged by {name}")));
        }
    }
}

fn line_of(line: String) -> Vec<String> {
    if line.is_empty() {
        Vec::new()
    } else {
        vec![line]
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
}
