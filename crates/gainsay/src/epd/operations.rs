//! What an operation asks, and what is wrong with its operands.

use gainsay_notation::{EpdOperation, Language, Span, WrittenMove, parse_move};
use shakmaty::{Chess, Move, Position};

use super::record::words;
use crate::{
    marks::Marks,
    report::Finding,
    resolve::{Resolution, played, resolve, sign_marks},
    rules::{broken_epd, false_check_sign, false_mate_sign, illegal_move},
    show,
    why::why_not,
};

/// What an operation claims.
#[derive(Clone, Debug)]
pub(super) enum Asked {
    /// The side to move mates in so many moves; where negative, it is mated. With the
    /// place of the digits.
    Mate(i32, Span),
    /// The moves are the best ones, or (`best` is false) to be avoided.
    Moves { moves: Vec<Move>, best: bool },
}

impl Asked {
    /// With what is wrong with the operands.
    pub(super) fn of(
        line: &[u8],
        position: &Chess,
        operation: &EpdOperation,
    ) -> (Option<Self>, Vec<Finding>) {
        let opcode = operation.opcode;
        let name = words(line, opcode);
        let none = |message: String| (None, vec![broken_epd::of_operands(opcode, message)]);
        let takes_moves = matches!(opcode.of(line), b"bm" | b"am" | b"pm" | b"sm" | b"pv");
        if operation.operands.is_empty() && takes_moves {
            return none(format!(
                "\"{name}\" names no move; write it behind it, as in {name} Nf3;"
            ));
        }
        let number = |sign: &[u8]| {
            let operand = operation.operands.first()?.span.of(line);
            let digits = operand.strip_prefix(sign)?;
            let number: i32 = std::str::from_utf8(digits).ok()?.parse().ok()?;
            let span = operation.operands.first()?.span;
            let span = Span::new(span.end - digits.len() as u32, span.end);
            (number != 0).then_some(Self::Mate(number, span))
        };
        let best = match operation.opcode.of(line) {
            b"dm" => {
                return match (number(b""), operation.operands.first()) {
                    (Some(mate), _) => (Some(mate), Vec::new()),
                    (None, None) => none(
                        "\"dm\" tells no number of moves; write it behind it, as in dm 2;"
                            .to_owned(),
                    ),
                    (None, Some(operand)) => {
                        let message = format!(
                            "\"{}\" is no number of moves to mate; write digits, as in dm 2;",
                            words(line, operand.span)
                        );
                        (None, vec![broken_epd::of_operands(operand.span, message)])
                    }
                };
            }
            b"bm" => match number(b"#") {
                Some(mate) => return (Some(mate), Vec::new()),
                None => true,
            },
            b"am" => false,
            // What is predicted or supplied claims nothing, but must be playable.
            b"pm" | b"sm" => return (None, named_moves(line, position, operation).1),
            b"pv" => return (None, played_moves(line, position, operation)),
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
            troubles.push(unreadable(line, operand.span));
            continue;
        };
        match resolve(position, &written) {
            Resolution::Legal(m, _) => {
                moves.push(m);
                troubles.extend(false_sign(line, position, m, &written, operand.span));
            }
            Resolution::Illegal | Resolution::Null => {
                troubles.push(unplayable(line, position, operand.span, &written));
            }
            Resolution::Ambiguous(list) | Resolution::NoPromotion(list) => {
                moves.extend(list.iter().copied().take(1));
            }
        }
    }
    (moves, troubles)
}

/// What is wrong with the operands of `pv`, which are played one after the other. Nothing is
/// said behind the first that cannot be.
fn played_moves(line: &[u8], position: &Chess, operation: &EpdOperation) -> Vec<Finding> {
    let mut troubles = Vec::new();
    let mut position = position.clone();
    for operand in &operation.operands {
        let Some(written) = parse_move(operand.span.of(line), Language::English) else {
            troubles.push(unreadable(line, operand.span));
            break;
        };
        let m = match resolve(&position, &written) {
            Resolution::Legal(m, _) => {
                troubles.extend(false_sign(line, &position, m, &written, operand.span));
                m
            }
            Resolution::Illegal | Resolution::Null => {
                troubles.push(unplayable(line, &position, operand.span, &written));
                break;
            }
            Resolution::Ambiguous(_) | Resolution::NoPromotion(_) => break,
        };
        position.play_unchecked(m);
    }
    troubles
}

fn unreadable(line: &[u8], span: Span) -> Finding {
    broken_epd::of_operands(span, format!("\"{}\" is no move.", words(line, span)))
}

fn unplayable(line: &[u8], position: &Chess, span: Span, written: &WrittenMove) -> Finding {
    let message = format!(
        "{} cannot be played: {}.",
        words(line, span),
        why_not(position, written)
    );
    Finding::new(&illegal_move::RULE, span, message).on(position)
}

/// A sign of mate or check behind a move that gives none.
fn false_sign(
    line: &[u8],
    position: &Chess,
    m: Move,
    written: &WrittenMove,
    span: Span,
) -> Option<Finding> {
    let after = played(position, m);
    let marks = sign_marks(written.signs, &after);
    let name = format!("{}{}", show::number(position), words(line, span));
    let text = show::san(position, m);
    let finding = if marks.contains(Marks::FALSE_MATE) {
        false_mate_sign::finding(position, m, text, span, &name)
    } else if marks.contains(Marks::SURPLUS_CHECK) {
        false_check_sign::finding(&after, text, span, &name)
    } else {
        return None;
    };
    Some(finding.on(position))
}
