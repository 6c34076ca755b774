//! Tests.

use gainsay_commentary::{Context, read};

use super::*;
use crate::show;

/// The comment behind 3...Bb4 of `1. d4 Nf6 2. c4 e6 3. Nc3 Bb4`, its lines played.
fn lines(comment: &str) -> Vec<Resolved> {
    let text = format!("1. d4 Nf6 2. c4 e6 3. Nc3 Bb4 {{{comment}}} 4. Qc2 O-O *");
    let mut game = gainsay_notation::Game::default();
    gainsay_notation::read_game(text.as_bytes(), 0, &mut game);
    let replay = crate::Replay::of(text.as_bytes(), &game, None);
    let view = crate::View {
        text: text.as_bytes(),
        game: &game,
        replay: &replay,
        index: 1,
    };
    let tree = std::sync::Arc::new(crate::scene::Tree::of(&view));
    let scene = Scene::of(&view, &replay.comments[0], &tree).expect("a scene");
    let prose = read(comment.as_bytes(), &Context::default());
    resolve_lines(&prose, &scene, None)
}

/// The likeliest way to play a line, as text.
fn played(resolved: &Resolved) -> String {
    let steps = resolved.readings.first().expect("a way to play it");
    steps
        .iter()
        .filter_map(|step| Some(show::numbered(&step.before, step.mv?)))
        .collect::<Vec<_>>()
        .join(" ")
}

#[test]
fn lines_start_at_the_comment_one_move_back_and_on_the_main_line() {
    let found = lines("4.e3 O-O; better was 3...d5; later 4...O-O 5.a3.");
    assert_eq!(played(&found[0]), "4.e3 4...O-O");
    assert_eq!(played(&found[1]), "3...d5");
    assert_eq!(played(&found[2]), "4...O-O 5.a3");
    // The last is played after 4.Qc2 of the game, and after 4.e3 of the comment.
    assert_eq!(found[2].readings.len(), 2);
}

#[test]
fn a_threat_is_played_after_a_pass() {
    let found = lines("White threatens 4...-- 5.e4, or simply threatens 5.e4.");
    assert!(!found.last().expect("a line").readings.is_empty());
}

#[test]
fn numbers_go_back_in_nested_prose() {
    let found = lines("4.Qc2 O-O 5.a3 Bxc3+ 5...Be7 6.e4 5.e4 d5");
    assert_eq!(
        played(&found[0]),
        "4.Qc2 4...O-O 5.a3 5...Bxc3+ 5...Be7 6.e4 5.e4 5...d5"
    );
}

#[test]
fn parentheses_are_left_behind() {
    let found = lines("4.e3 O-O (4...c5 5.a3) 5.Bd3");
    assert_eq!(played(&found[2]), "5.Bd3");
    // 5.Bd3 answers 4...O-O, not what stands in the parentheses.
    let before = &found[2].readings[0][0].before;
    assert_eq!(
        before.board().king_of(Color::Black),
        Some(shakmaty::Square::G8)
    );
}

#[test]
fn a_line_that_breaks_tells_where() {
    let found = lines("4.Qc2 O-O 5.Bxf7+");
    let broken = found[0].broken.as_ref().expect("broken");
    assert_eq!(broken.at, 2);
    assert_eq!(broken.steps.len(), 2);
    // Behind a line that is lost nothing is sure.
    let found = lines("4.Qc2 O-O 5.Bxf7+, then 6.Nxf9 or 6.Rxh7");
    assert!(found.iter().skip(1).all(|line| line.broken.is_none()));
}

#[test]
fn a_wrong_number_is_told_from_a_wrong_move() {
    let found = lines("Possible was 3.Nf3 Bb4+.");
    assert!(!found[0].readings.is_empty());
    let found = lines("Possible is 7.Qc2 O-O.");
    assert!(found[0].readings.is_empty() && found[0].renumbered.is_some());
    let joint = read(b"7.Qc2 O-O", &Context::default()).lines[0].joint;
    assert_eq!(joint, Joint::First);
}
