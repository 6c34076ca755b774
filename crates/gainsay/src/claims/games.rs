//! Pointers at other games: that there is such a game, and where.

use gainsay_commentary::{OtherGame, Way, Which};
use gainsay_proof::Verdict;

use super::answer::Answer;
use crate::{
    book::Wrong,
    outcome::{Evidence, Fault, PlaceWhy, WrongPointer},
    question::{Pointed, Question},
};

/// Settles that there is such a game.
pub(super) fn settle_other_game(question: &Question, game: &OtherGame) -> Answer {
    let mut pointed = question.comment.pointed.iter();
    let Some(pointed) = pointed.find(|pointed| pointed.at == question.claim.span.start) else {
        return Answer::unsettled();
    };
    if let Some(wrong) = &pointed.found.wrong {
        return wrong_pointer(game, pointed, wrong);
    }
    let games = pointed.found.games.iter();
    let titles: Vec<Evidence> = games
        .map(|game| Evidence::Game(game.title.clone()))
        .collect();
    if titles.is_empty() {
        return Answer::unsettled();
    }
    titles
        .into_iter()
        .fold(Answer::new(Verdict::Holds), Answer::showing)
}

fn wrong_pointer(game: &OtherGame, pointed: &Pointed, wrong: &Wrong) -> Answer {
    let Which::Number(number) = game.which else {
        return Answer::unsettled();
    };
    let below = game.way.is_some_and(|said| said.way == Way::Above);
    let (why, remedy) = match wrong {
        Wrong::Players { number, other } => (
            WrongPointer::Players {
                players: pointed.players.clone().unwrap_or_default(),
                number: *number,
                other: other.clone(),
            },
            Some((game.number, number.to_string())),
        ),
        Wrong::Way => {
            let other = game.way.map(|said| (said.span, said.other.to_owned()));
            (WrongPointer::Way { number, below }, other)
        }
        Wrong::Beyond(end) => (
            WrongPointer::Beyond {
                number,
                end: *end,
                down: !below,
            },
            None,
        ),
        Wrong::Missing { below, above } => (
            WrongPointer::Missing {
                number,
                below: *below,
                above: *above,
            },
            None,
        ),
    };
    let mut fault = Fault::of(PlaceWhy::WrongGame(why));
    if let Some((span, text)) = remedy {
        fault = fault.or(span.start..span.end, text);
    }
    Answer::new(Verdict::Fails).found(fault)
}
