//! Every trap of commentary that was measured on real annotations: each must give no
//! claim, or a claim whose polarity, mood or tie keeps it from being called false.

use gainsay_commentary::{
    At, Claim, ClaimKind, Context, Draw, LineRole, Mate, Mood, Names, OnlyMove, Polarity, Prose,
    Subject, Tense, Threat, read,
};
use shakmaty::Color;

fn prose(text: &str) -> Prose {
    read(text.as_bytes(), &Context::default())
}

fn of_kind(prose: &Prose, name: &str) -> Vec<Claim> {
    prose
        .claims
        .iter()
        .filter(|claim| claim.kind.name() == name)
        .cloned()
        .collect()
}

/// The only claim of this kind.
#[track_caller]
fn one(text: &str, name: &str) -> Claim {
    let prose = prose(text);
    let found = of_kind(&prose, name);
    assert_eq!(found.len(), 1, "`{text}` has {:#?}", prose.claims);
    found[0].clone()
}

#[track_caller]
fn none(text: &str, names: &[&str]) {
    let prose = prose(text);
    for name in names {
        assert_eq!(of_kind(&prose, name), [], "`{text}`");
    }
}

const MATES: [&str; 4] = ["mate-in", "forced-mate", "mate-next-move", "mate"];

#[test]
fn counting_after_a_check_is_tied_to_the_line() {
    let claim = one("24.Qh6+ and mate in two follows.", "mate-in");
    assert_eq!(
        claim.kind,
        ClaimKind::Mate(Mate::In {
            moves: 2,
            at_most: false
        })
    );
    assert_eq!(claim.at, At::End(0));
}

#[test]
fn whose_mate_it_is() {
    let context = Context {
        names: Names::new("Carrera, Ana", "Olsen, Bo"),
        ..Context::default()
    };
    let by = |text: &str| {
        let prose = read(text.as_bytes(), &context);
        of_kind(&prose, "mate-in")
            .first()
            .map(|claim| claim.subject)
    };
    assert_eq!(
        by("Carrera mates in three."),
        Some(Subject::Side(Color::White))
    );
    assert_eq!(
        by("Now Olsen has a mate in three."),
        Some(Subject::Side(Color::Black))
    );
    assert_eq!(by("He mates in three."), Some(Subject::He));
    assert_eq!(
        by("Black mates in three."),
        Some(Subject::Side(Color::Black))
    );
    assert_eq!(by("Mate in three."), Some(Subject::Nobody));
    // Who is mated does not mate.
    assert_eq!(
        by("Black is mated in three moves."),
        Some(Subject::Side(Color::White))
    );
}

#[test]
fn what_was_mate_is_an_alternative() {
    let claim = one("g4 was mate in one.", "mate-in");
    assert_eq!((claim.tense, claim.at), (Tense::Past, At::End(0)));
}

#[test]
fn a_threat_is_no_line_to_be_played() {
    let prose = prose("Threatens 13.Qh5+.");
    assert_eq!(prose.lines[0].role, LineRole::Threat);
    assert_eq!(
        of_kind(&prose, "threat")[0].kind,
        ClaimKind::Threat(Threat::Line)
    );
}

#[test]
fn if_it_were_not_for_something() {
    let claim = one("Without the knight on f6 this would be mate.", "mate");
    assert_eq!(
        (claim.mood, claim.polarity),
        (Mood::Unreal, Polarity::Affirmed)
    );
    assert_eq!(
        one("But for the rook it is mate in two.", "mate-in").mood,
        Mood::Unreal
    );
}

#[test]
fn not() {
    let prose = prose("Not 72.Kb6, stalemate.");
    assert_eq!(prose.lines[0].role, LineRole::Denied);
    let draw = &of_kind(&prose, "draw")[0];
    assert_eq!(draw.kind, ClaimKind::Draw(Draw::Stalemate));
    assert_eq!((draw.polarity, draw.at), (Polarity::Affirmed, At::End(0)));

    let claim = one("Rc8+ no longer threatens mate.", "mate-threat");
    assert_eq!(claim.polarity, Polarity::Denied);
    assert_eq!(
        one("It is not mate in two.", "mate-in").polarity,
        Polarity::Denied
    );
    assert_eq!(
        one("This isn't mate yet.", "mate").polarity,
        Polarity::Denied
    );
    assert_eq!(
        one("There is no mate in two.", "no-mate").kind,
        ClaimKind::Mate(Mate::Absent { moves: Some(2) })
    );
    // A negation of another clause is none of its business.
    assert_eq!(
        one("Black does not see it, and mate in two follows.", "mate-in").polarity,
        Polarity::Affirmed
    );
    assert_eq!(
        one("There is no doubt: mate in two.", "mate-in").polarity,
        Polarity::Affirmed
    );
    assert_eq!(
        one("Not only is it mate in two.", "mate-in").polarity,
        Polarity::Affirmed
    );
}

#[test]
fn prevented() {
    assert_eq!(prose("Stops 31.Ng6#.").lines[0].role, LineRole::Prevented);
    assert_eq!(one("Avoids mate in two.", "mate-in").mood, Mood::Prevented);
    assert_eq!(
        one("Parrying the threat of mate.", "mate-threat").mood,
        Mood::Prevented
    );
}

#[test]
fn mate_that_cannot_be_avoided_is_affirmed() {
    for text in [
        "There is no defence to mate.",
        "Black cannot avoid mate.",
        "Mate cannot be prevented.",
        "Mate is unavoidable.",
        "White forces mate.",
    ] {
        let claim = one(text, "forced-mate");
        assert_eq!(
            (claim.polarity, claim.mood),
            (Polarity::Affirmed, Mood::Stated),
            "`{text}`"
        );
    }
}

#[test]
fn plans_are_no_lines() {
    none(
        "The knight heads for h4 by c6, e7 and g6.",
        &["line", "move"],
    );
    assert_eq!(
        prose("With the idea of Qh5 and Ng5.").lines[0].role,
        LineRole::Plan
    );
    assert_eq!(
        prose("Preparing Rd8, Rd2 and Rad1.").lines[2].role,
        LineRole::Plan
    );
}

#[test]
fn only() {
    assert_eq!(
        one("His only move.", "only-move").kind,
        ClaimKind::OnlyMove(OnlyMove::Sensible)
    );
    assert_eq!(
        one("The only legal move.", "only-move").kind,
        ClaimKind::OnlyMove(OnlyMove::Legal)
    );
}

#[test]
fn half_a_sentence() {
    none("Black cannot play", &["line", "move", "only-move"]);
    none("And now if", &["line", "move"]);
}

#[test]
fn other_games() {
    for text in [
        "Smith - Jones, London 1922, ended with mate in two.",
        "In the fourth match game it was mate in two.",
        "In game 12 of the match White had mate in two.",
        "In my game 12 White had mate in two.",
        "In game 12 against Jones White had mate in two.",
        "Compare games 11 and 12, where White had mate in two.",
        "In game 12 of 1922 White had mate in two.",
        "In the World Cup game 12 it was mate in two.",
        "In game 12 (London) White had mate in two.",
    ] {
        assert_eq!(one(text, "mate-in").mood, Mood::Elsewhere, "`{text}`");
    }
    for text in [
        "Compare game 12, where White had mate in two.",
        "In the previous game White had mate in two.",
        "In game 12 (Smith - Jones, London 1922) White had mate in two.",
    ] {
        assert!(one(text, "mate-in").told.is_some(), "`{text}`");
    }
    // What follows is still told of the other game.
    let prose = prose("So in Smith - Jones, London 1922. Then 14.Qh7 was mate.");
    assert_eq!(prose.lines[0].mood, Mood::Elsewhere);
}

#[test]
fn words_with_two_senses() {
    none("His mates watched.", &MATES);
    none("My two mates from the club.", &MATES);
    none("The Mate in Two Cup was held in June.", &MATES);
}

#[test]
fn the_first_move_of_two_is_threatened_too() {
    let prose = prose("This threatens mate by 26...h3 and 27...Qg2#.");
    assert_eq!(
        prose.lines.iter().map(|line| line.role).collect::<Vec<_>>(),
        [LineRole::Threat; 2]
    );
    assert_eq!(of_kind(&prose, "mate-threat")[0].at, At::Shown(0));
}

#[test]
fn questions_quotations_and_wishes() {
    assert_eq!(one("Is it mate in two?", "mate-in").mood, Mood::Asked);
    assert_eq!(
        one("He hopes for mate in two.", "mate-in").mood,
        Mood::Wished
    );
    assert_eq!(
        one("She called \"mate in two\" at once.", "mate-in").mood,
        Mood::Elsewhere
    );
    assert_eq!(
        one("Perhaps it is mate in two.", "mate-in").mood,
        Mood::Hedged
    );
    assert_eq!(
        one("If he takes, it is mate in two.", "mate-in").mood,
        Mood::Conditional
    );
    assert_eq!(
        one("It would be mate in two.", "mate-in").mood,
        Mood::Counterfactual
    );
}

#[test]
fn what_is_no_prose() {
    let text = "[%csl Ge4,Rf5][%cal Gb1c3] http://example.org/Qh7 on 2019.04.28 at 12:45, scores 29-41-30/612, 1-0";
    assert_eq!(prose(text).claims, []);
}

#[test]
fn other_languages_are_silent() {
    for text in [
        "Il re nero subisce matto in due mosse, e il bianco vince.",
        "Bialy matuje w dwoch ruchach.",
        "Wit geeft mat in twee zetten en zwart geeft op.",
        "Τα λευκά κάνουν ματ σε δύο κινήσεις.",
    ] {
        assert_eq!(prose(text).claims, [], "`{text}`");
    }
}
