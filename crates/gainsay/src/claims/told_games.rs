//! What a sentence tells of another game: "in game 3 White castled long", "game 4 was drawn".
//!
//! It holds if it is true in one of the games that can be meant, in any line of it. It fails
//! only where a single game can be meant, the sentence tells it next to the pointer, and no
//! line of that game lets it be true. What is told without the place of the game where it
//! was so is left unsettled, but for what happens once in a game.

use gainsay_commentary::{
    Attribution, CitedMove, Claim, ClaimKind, Ended, Feature, GameEnd, Mood, Owner, Reference,
    Subject,
};
use gainsay_notation::GameResult;
use gainsay_proof::Verdict;
use shakmaty::{CastlingSide, Chess, Color, EnPassantMode, Position};

use super::answer::Answer;
use crate::{
    other::Other,
    outcome::{Evidence, Fault, OtherGame as There, PlaceWhy, Side},
    question::{Question, expected},
    resolve::{Resolution, resolve},
    rule::{Severity, rule},
    scene::{Step, count},
};

rule! {
    /// What the text tells of another game is not true there.
    ///
    /// "In game 3 White castled long" is looked up in game 3: moves, castling, results, how
    /// and when the game ended, and whether a position occurred there. Games are known by
    /// the numbers that the author gives them, in a tag, a comment before the first move or a
    /// heading, or by the rounds of a match. Where the numbers leave a doubt, nothing is said.
    ///
    /// ```pgn before
    /// [Event "Game 1"]
    ///
    /// 1. e4 e5 2. Qh5 Nc6 3. Bc4 Nf6 4. Qxf7# 1-0
    ///
    /// [Event "Game 2"]
    ///
    /// 1. e4 e5 2. Qh5 {In game 1 White mated on move 5.} Nc6 *
    /// ```
    ///
    /// ```pgn after
    /// [Event "Game 1"]
    ///
    /// 1. e4 e5 2. Qh5 Nc6 3. Bc4 Nf6 4. Qxf7# 1-0
    ///
    /// [Event "Game 2"]
    ///
    /// 1. e4 e5 2. Qh5 {In game 1 White mated on move 4.} Nc6 *
    /// ```
    FALSE_REFERENCE = "false-reference", Severity::Error
}

/// Whether a claim is true in one game.
enum InGame {
    /// It holds, by these moves, if any show it.
    Holds(Vec<Step>),
    /// It fails: what is true instead.
    Fails(There),
    Open,
}

/// Settles a claim that is told of another game.
pub(super) fn settle_told(question: &Question, told: Attribution) -> Answer {
    let Some(found) = question.told_game() else {
        return Answer::unsettled();
    };
    let mut fails = None;
    for game in &found.games {
        match there(question, game) {
            InGame::Holds(steps) => {
                let mut answer = Answer::new(Verdict::Holds);
                for step in &steps {
                    answer = answer.on(&step.before).shown_by(step.shown());
                }
                if steps.is_empty() {
                    answer = answer.showing(Evidence::Game(game.title.clone()));
                }
                return answer;
            }
            InGame::Open => return Answer::unsettled(),
            other => fails = Some((game, other)),
        }
    }
    let firm = found.certain && told == Attribution::Plainly && question.claim.mood == Mood::Stated;
    let Some((game, there)) = fails.filter(|_| firm) else {
        return Answer::unsettled();
    };
    let InGame::Fails(what) = there else {
        return Answer::unsettled();
    };
    let title = game.title.clone();
    let shown = what.shown().cloned();
    let why = PlaceWhy::InOtherGame { title, what };
    match shown {
        Some(line) => Answer::refuted(why, &line.start().clone(), line),
        None => Answer::new(Verdict::Fails).found(Fault::of(why)),
    }
}

fn there(question: &Question, game: &Other) -> InGame {
    match &question.claim.kind {
        ClaimKind::Line => line_there(question, game),
        ClaimKind::Mention => move_there(question, game),
        ClaimKind::GameEnd(outcome) if !question.denied() => {
            outcome_there(question, game, *outcome)
        }
        ClaimKind::Structure(said) => match said.feature {
            Feature::Castled(wing) => castled_there(question, game, wing, said.owner),
            _ => InGame::Open,
        },
        ClaimKind::Reference(Reference::SamePosition) if !question.denied() => {
            same_position_there(question, game)
        }
        ClaimKind::Reference(
            Reference::Move(number)
            | Reference::On(number)
            | Reference::Mention(number)
            | Reference::Nth { number, firm: true },
        ) => match game.tree.last_number() {
            Some(last) if *number <= last => InGame::Holds(Vec::new()),
            Some(last) if game.result.is_some() => InGame::Fails(There::NoSuchMove { last }),
            _ => InGame::Open,
        },
        _ => InGame::Open,
    }
}

/// The moves of the line that the claim leans on, as they are written.
fn cited(question: &Question) -> &[CitedMove] {
    let prose = &question.comment.prose;
    let at = question.claim.at.line().unwrap_or(u32::MAX);
    let line = prose.lines.get(at as usize);
    line.map_or(&[], |line| prose.moves_of(line))
}

/// The moves of a line with a number were made in the game, one behind the other.
fn line_there(question: &Question, game: &Other) -> InGame {
    let moves = cited(question);
    let Some(wanted) = moves.first().and_then(|first| expected(first.number?)) else {
        return InGame::Open;
    };
    let firsts = game.tree.moves_at(wanted);
    'first: for first in &firsts {
        let mut steps: Vec<Step> = Vec::new();
        for (cited, at) in moves.iter().zip(wanted..) {
            if cited
                .number
                .and_then(expected)
                .is_some_and(|number| number != at)
            {
                return InGame::Open;
            }
            let next = match steps.last() {
                None => Some(first.clone()),
                Some(last) => (game.tree.moves_at(at).into_iter())
                    .find(|step| step.before == last.after && is_made(step, cited)),
            };
            match next.filter(|step| is_made(step, cited)) {
                Some(step) => steps.push(step),
                None => continue 'first,
            }
        }
        return InGame::Holds(steps);
    }
    match (
        game.main.iter().find(|step| count(&step.before) == wanted),
        moves,
    ) {
        (Some(made), [_]) => InGame::Fails(There::Played {
            side: Side(made.before.turn()),
            by: made.shown(),
        }),
        _ => InGame::Open,
    }
}

/// A move without a number was made at some time.
fn move_there(question: &Question, game: &Other) -> InGame {
    let cited = cited(question).first();
    let made = cited.and_then(|cited| game.main.iter().find(|step| is_made(step, cited)));
    match made {
        Some(step) => InGame::Holds(vec![step.clone()]),
        None => InGame::Open,
    }
}

fn castled_there(
    question: &Question,
    game: &Other,
    wing: Option<CastlingSide>,
    owner: Owner,
) -> InGame {
    let Owner::Side(side) = owner else {
        return InGame::Open;
    };
    let on = |step: &&Step| step.mv.and_then(|m| m.castling_side()).is_some();
    let of_side = |step: &&Step| step.before.turn() == side;
    let castled = game.main.iter().filter(of_side).find(on);
    let number = told_number(question);
    let meant = |step: &Step| {
        let there = step.mv.and_then(|m| m.castling_side());
        (wing.is_none() || there == wing)
            && number.is_none_or(|number| step.before.fullmoves().get() == number)
    };
    let done = castled.filter(|step| meant(step));
    let name = Side(side);
    match (done, castled, question.denied()) {
        (Some(step), _, false) => InGame::Holds(vec![step.clone()]),
        (Some(step), _, true) => InGame::Fails(There::DidCastle {
            side: name,
            by: step.shown(),
        }),
        (None, _, true) => InGame::Open,
        (None, Some(step), false) => {
            let any_line = game.tree.steps().any(|other| {
                other.before.turn() == side
                    && other.mv.is_some_and(|m| m.is_castle())
                    && meant(&other)
            });
            if any_line {
                return InGame::Open;
            }
            InGame::Fails(There::CastledBy {
                side: name,
                by: step.shown(),
            })
        }
        (None, None, false) => {
            let mut steps = game.tree.steps();
            let ever = steps
                .any(|step| step.before.turn() == side && step.mv.is_some_and(|m| m.is_castle()));
            // It may have castled before the moves that are given, or behind them.
            let whole = game
                .main
                .first()
                .is_some_and(|step| step.before == Chess::default());
            if ever || !whole || game.result.is_none() {
                return InGame::Open;
            }
            InGame::Fails(There::DidNotCastle { side: name })
        }
    }
}

/// The number of the move at which the sentence tells it.
fn told_number(question: &Question) -> Option<u32> {
    let claims = question.comment.prose.claims.iter();
    let same = |claim: &&Claim| claim.sentence == question.claim.sentence;
    let mut numbers = claims.filter(same).filter_map(|claim| match claim.kind {
        ClaimKind::Reference(Reference::On(number) | Reference::Nth { number, .. }) => Some(number),
        _ => None,
    });
    numbers.next()
}

fn same_position_there(question: &Question, game: &Other) -> InGame {
    let scene = &question.comment.scene;
    let same = |position: &Chess, other: &Chess| {
        position.board() == other.board()
            && position.turn() == other.turn()
            && position.castles().castling_rights() == other.castles().castling_rights()
            && position.ep_square(EnPassantMode::Legal) == other.ep_square(EnPassantMode::Legal)
    };
    if let Some(there) = game.tree.all().find(|other| same(&scene.here, other)) {
        let step = game.tree.steps().find(|step| step.after == *there);
        return InGame::Holds(step.into_iter().collect());
    }
    // "The same position" may be one behind a cited line, or one near.
    let mut lines = question.comment.lines.iter();
    let known = lines.all(|line| line.broken.is_none() && !line.shaky);
    let mut near = question
        .cited_steps()
        .flat_map(|step| [&step.before, &step.after])
        .chain(scene.around())
        .chain(&scene.beside);
    let loosely = |position: &Chess, other: &Chess| position.board() == other.board();
    let somewhere = near.any(|position| game.tree.all().any(|other| loosely(position, other)));
    if somewhere || !known || !scene.is_of_a_game() || game.result.is_none() {
        return InGame::Open;
    }
    InGame::Fails(There::NoSuchPosition)
}

fn outcome_there(question: &Question, game: &Other, told: GameEnd) -> InGame {
    let side = match question.claim.subject {
        Subject::Side(side) => Some(side),
        _ => None,
    };
    let Some(last) = game.main.last() else {
        return InGame::Open;
    };
    let number = last.before.fullmoves().get();
    let mated = last.after.is_checkmate();
    let winner = match game.result {
        Some(GameResult::Win(color)) => Some(Some(color)),
        Some(GameResult::Draw) => Some(None),
        _ => mated.then(|| Some(!last.after.turn())),
    };
    let Some(winner) = winner else {
        return InGame::Open;
    };
    if told.how == Ended::Mated {
        return mated_there(last, winner, side, told.moves);
    }
    let wanted = match (told.how, side) {
        (Ended::Drawn, _) => None,
        (Ended::Won, Some(side)) => Some(side),
        (Ended::Lost, Some(side)) => Some(!side),
        _ => return InGame::Open,
    };
    if winner != wanted {
        return InGame::Fails(There::Winner {
            side: winner.map(Side),
            last: last.shown(),
        });
    }
    match told.moves {
        // Who counts from the loser's move counts one less.
        Some(moves) if moves != number => {
            // The last moves may not be given.
            if number > moves.saturating_add(1) {
                return InGame::Fails(There::LastMove {
                    number,
                    last: last.shown(),
                });
            }
            InGame::Open
        }
        _ => InGame::Holds(vec![last.clone()]),
    }
}

/// "White mated on move 21", where the last move and the winner are these.
fn mated_there(
    last: &Step,
    winner: Option<Color>,
    side: Option<Color>,
    moves: Option<u32>,
) -> InGame {
    let number = last.before.fullmoves().get();
    if last.after.is_checkmate() {
        let by = last.before.turn();
        let right = side.is_none_or(|side| side == by) && moves.is_none_or(|moves| moves == number);
        if right {
            return InGame::Holds(vec![last.clone()]);
        }
        return InGame::Fails(There::MatedBy {
            side: Side(by),
            last: last.shown(),
        });
    }
    match (winner, side) {
        (Some(winner), Some(side)) if winner != side => InGame::Fails(There::Winner {
            side: Some(Side(winner)),
            last: last.shown(),
        }),
        (None, _) => InGame::Fails(There::Winner {
            side: None,
            last: last.shown(),
        }),
        _ if moves.is_some_and(|moves| moves < number) => {
            InGame::Fails(There::NobodyMated { last: last.shown() })
        }
        _ => InGame::Open,
    }
}

/// Whether a step of the game is the move that is cited.
fn is_made(step: &Step, cited: &gainsay_commentary::CitedMove) -> bool {
    step.mv.is_some()
        && matches!(resolve(&step.before, &cited.written),
            Resolution::Legal(m, _) if Some(m) == step.mv)
}
