//! Statements that the board alone decides.

use gainsay_commentary::{Noun, Nuance, Owner, Shade, Target, Traits};
use gainsay_proof::Verdict;
use shakmaty::{Bitboard, Board, Chess, Color, Move, Position, Role, Square};

use super::{answer::Answer, nouns::squares};
use crate::{
    outcome::{At, Kind, Line, Man, OnFile, PieceWhy, Side},
    question::{Question, Resolved},
    rule::{Severity, rule},
};

rule! {
    /// A piece is said to stand where no such piece ever stands in the game.
    ///
    /// "The bishop on d6", "the e5-pawn", "Black's f6-knight". The positions around the
    /// comment, of the lines it cites, and of the whole game are looked at; for a plain statement
    /// ("White's king has gone to g1") only those two plies before and after. A square, or the
    /// bishop that stands on it, that is said to be of the other colour is false too.
    ///
    /// ```pgn before
    /// 1. e4 e5 2. Nf3 Nc6 {The knight on d6 is well placed.} 3. Bb5 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 2. Nf3 Nc6 {The knight on c6 is well placed.} 3. Bb5 *
    /// ```
    FALSE_PIECE = "false-piece", Severity::Error
}

/// Whether the noun's square or file, role and owner fit the board. `He` and `Other` fit
/// anyone.
fn stands(board: &Board, noun: &Noun) -> bool {
    let Some(square) = noun.square else {
        return noun.file.is_none() || !squares(board, noun).is_empty();
    };
    board.piece_at(square).is_some_and(|piece| {
        noun.role.is_none_or(|role| role == piece.role)
            && match noun.owner {
                Owner::Side(color) => color == piece.color,
                _ => true,
            }
    })
}

/// The sides whose something can be that has this owner.
pub(super) fn owners(owner: Owner) -> Vec<Color> {
    match owner {
        Owner::Side(color) => vec![color],
        _ => Color::ALL.to_vec(),
    }
}

/// "The knight on f6": a piece stands where it is said to stand.
pub(super) fn settle_pieces(question: &Question, noun: &Noun) -> Answer {
    if question.denied() {
        return Answer::unsettled();
    }
    // No bishop of the light squares ever stands on a dark one.
    let light = noun.traits.contains(Traits::LIGHT);
    let shaded = light || noun.traits.contains(Traits::DARK);
    if let Some(square) = noun.square.filter(|at| shaded && at.is_light() != light)
        && noun.determined
        && !noun.plural
        && noun.role == Some(Role::Bishop)
    {
        return of_other_shade(&question.comment.scene.here, square, None);
    }
    let there = |position: &&Chess| stands(position.board(), noun);
    if let Some(position) = question.confirming().find(there) {
        return Answer::new(Verdict::Holds).on(position);
    }
    if let Some(answer) = stands_elsewhere(question, noun) {
        return answer;
    }
    if question.within_reach().any(|position| there(&position)) {
        return Answer::unsettled();
    }
    // Somewhere else in the game it may be meant, or not.
    if question
        .comment
        .scene
        .tree
        .all()
        .any(|position| there(&position))
    {
        return Answer::unsettled();
    }
    let here = &question.comment.scene.here;
    // "A knight on d5: that is the dream."
    let vague = question.claim.wording.begins(Nuance::Any);
    if vague || question.comment_cites_loosely() {
        return Answer::unsettled();
    }
    let moves = |square: Square| may_go_there(question, noun, square);
    if !question.claim.attached && noun.square.is_some_and(moves) {
        return Answer::unsettled();
    }
    let board = here.board();
    let file = match (noun.square, noun.file) {
        (Some(_), _) => None,
        (None, Some(file)) if noun.determined => Some(file),
        _ => return Answer::unsettled(),
    };
    let why = PieceWhy::NoSuchPiece {
        side: match noun.owner {
            Owner::Side(color) => Some(Side(color)),
            _ => None,
        },
        kind: noun.role.map(Kind),
        at: noun.square.map(At),
        file: file.map(OnFile),
        there: noun.square.and_then(|square| Man::on(board, square)),
    };
    Answer::refuted(why, here, Line::new(here, &[]))
}

/// The finding that a piece that is said to stand on a square now stands on another.
fn stands_elsewhere(question: &Question, noun: &Noun) -> Option<Answer> {
    // A noun phrase alone says it by the way.
    let span = question.claim.span;
    let stated = span != noun.span && span != noun.bare && question.speaks_of_now();
    let one = noun.role.is_some() && noun.determined && !noun.plural && noun.traits.is_empty();
    let vague = noun.wording.begins(Nuance::Any) || question.comment_cites_loosely();
    let square = noun.square.filter(|_| stated && one && !vague)?;
    let position = question.place()?;
    let board = position.board();
    let anywhere = Noun {
        square: None,
        ..*noun
    };
    let men = squares(board, &anywhere);
    let near = question
        .meant()
        .any(|position| stands(position.board(), noun));
    if men.is_empty() || near || may_go_there(question, noun, square) {
        return None;
    }
    // Where seven pawns stand tells nothing.
    const FEW: usize = 3;
    let few = men.count() <= FEW;
    let why = PieceWhy::StandsAt {
        at: At(square),
        men: Man::all(board, if few { men } else { Bitboard::EMPTY }),
    };
    Some(Answer::refuted(why, position, Line::new(position, &[])))
}

/// "The bishop runs on dark squares", "h8 is a dark square".
pub(super) fn settle_shade(question: &Question, said: &Shade) -> Answer {
    if question.denied() {
        return Answer::unsettled();
    }
    let here = &question.comment.scene.here;
    let noun = match &said.of {
        Target::Square(square) if square.is_light() == said.light => {
            return Answer::new(Verdict::Holds).on(here);
        }
        Target::Square(square) => return of_other_shade(here, *square, None),
        Target::Piece(noun) => noun,
    };
    let Some(position) = question.place() else {
        return Answer::unsettled();
    };
    let men = squares(position.board(), noun);
    let meant = match noun.count {
        Some(count) => men.count() == usize::from(count),
        None if noun.plural => men.more_than_one(),
        None => men.single_square().is_some(),
    };
    if !meant {
        return Answer::unsettled();
    }
    match men.into_iter().find(|at| at.is_light() != said.light) {
        None => Answer::new(Verdict::Holds).on(position),
        Some(other) => of_other_shade(position, other, Man::on(position.board(), other)),
    }
}

/// That a square has not the colour that is said.
fn of_other_shade(position: &Chess, at: Square, man: Option<Man>) -> Answer {
    let light = at.is_light();
    let at = At(at);
    let why = PieceWhy::OfShade { at, man, light };
    Answer::refuted(why, position, Line::new(position, &[]))
}

/// Whether such a piece can go to the square, or a pawn become it there, so that a move may be told
/// by it: "three checks, of the knight on c7 and the queen on e7 or d8".
fn may_go_there(question: &Question, noun: &Noun, square: Square) -> bool {
    let scene = &question.comment.scene;
    let ends = question.comment.lines.iter().flat_map(Resolved::ends);
    let ends = ends.map(|step| &step.after);
    let passed = scene.passed();
    let goes = |position: &Chess| {
        let moves = position.legal_moves();
        let arrives =
            |m: &Move| m.to() == square && noun.role.is_none_or(|role| becomes(m) == role);
        let own = match noun.owner {
            Owner::Side(color) => color == position.turn(),
            _ => true,
        };
        own && moves.iter().any(arrives)
    };
    ends.chain(std::iter::once(&scene.here)).any(goes) || passed.is_some_and(|passed| goes(&passed))
}

/// What a piece is behind its move.
fn becomes(m: &Move) -> Role {
    m.promotion().unwrap_or(m.role())
}

/// Whether no position that can be meant has this piece where it is said to stand.
pub(super) fn is_nowhere(question: &Question, noun: &Noun) -> bool {
    !question
        .within_reach()
        .chain(question.comment.scene.tree.all())
        .any(|position| stands(position.board(), noun))
}

#[cfg(test)]
mod tests {
    use gainsay_proof::Verdict;

    use crate::{Settings, check};

    #[test]
    fn what_the_next_capture_brings_is_not_so_yet() {
        for (game, verdict) in [
            ("1. e4 d5 {White is a pawn up.} 2. exd5", Verdict::Unsettled),
            ("1. e4 d5 2. exd5 {White is a pawn up.}", Verdict::Holds),
            (
                "1. e4 d5 {The e-file is half open.} 2. exd5",
                Verdict::Unsettled,
            ),
            (
                "1. e4 d5 {The next move opens the e-file.} 2. exd5 e5",
                Verdict::Unsettled,
            ),
            (
                "1. e4 d5 2. exd5 {The e-file is half open.}",
                Verdict::Holds,
            ),
        ] {
            let text = format!("{game} *");
            let report = check(text.as_bytes(), &Settings::default());
            let verdicts: Vec<Verdict> = report.claims.iter().map(|claim| claim.verdict).collect();
            assert_eq!(verdicts, [verdict], "{game}");
        }
    }

    #[test]
    fn squares_and_bishops_have_their_colours() {
        use Verdict::{Fails, Holds, Unsettled};
        crate::marked::all(
            "4k3/8/2b5/8/8/4B3/8/4K3 w - - 0 1 | 1. Kd2",
            &[
                ("[White's bishop runs on dark squares].", Holds),
                ("[White's bishop runs on light squares].", Fails),
                ("[The bishop on c6 is light-squared].", Holds),
                ("[The bishop on c6 is a dark-squared bishop].", Fails),
                ("[Both bishops run on dark squares].", Fails),
                ("[The bishop runs on dark squares].", Unsettled),
                ("[h8 is a dark square].", Holds),
                ("[h8 is a light square].", Fails),
                ("[The light-squared bishop on e3] is strong.", Fails),
                (
                    "[Both bishops travel on squares of the same colour].",
                    Fails,
                ),
                ("[The bishops run on different colours].", Holds),
            ],
        );
    }

    /// In the present a piece stands there now, and not some plies ago.
    #[test]
    fn a_piece_is_where_it_stands_now() {
        use Verdict::{Fails, Holds, Unsettled};
        crate::marked::all(
            "1. e4 e5 2. Nc3 Nf6 3. g3 Bb4 4. Bg2 O-O 5. d3 c6",
            &[
                ("[White's knight is still on b1].", Fails),
                ("[White's king has gone to g1].", Fails),
                ("[Black's king has castled to g8].", Unsettled),
                ("[Black's king has taken refuge on g8].", Holds),
                ("Perhaps [White's knight is still on b1].", Unsettled),
                ("[White's knight is still on g1].", Holds),
                ("[The bishop on b4] is well placed.", Holds),
                ("[The bishop on f8] is well placed.", Unsettled),
                ("After 6.Nge2 [the knight on e2] is modest.", Holds),
            ],
        );
    }
}
