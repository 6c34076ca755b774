//! How much of its passage a claim takes up, and what stands between it and its line: told by
//! words, whatever their length.

use gainsay_commentary::{Claim, ClaimKind, Context, Extent, Prose, read};

fn prose(text: &str) -> Prose {
    read(text.as_bytes(), &Context::default())
}

fn claim(text: &str, kind: &str) -> Claim {
    let claims = prose(text).claims;
    let claim = claims.into_iter().find(|claim| claim.kind.name() == kind);
    claim.unwrap_or_else(|| panic!("no {kind} in {text:?}"))
}

#[test]
fn a_claim_knows_what_else_its_passage_says() {
    for (text, kind, extent) in [
        ("Checkmate!", "mate", Extent::Word),
        ("  (Stalemate.) ", "draw", Extent::Word),
        ("Patt!", "draw", Extent::Word),
        ("A blunder.", "quality", Extent::Whole),
        (
            "This, quite simply, is a blunder!",
            "quality",
            Extent::Whole,
        ),
        (
            "And there is really, of course, a stalemate here now.",
            "draw",
            Extent::Whole,
        ),
        ("Rook ending.", "structure", Extent::Whole),
        (
            "The game is drawn by threefold repetition.",
            "draw",
            Extent::Whole,
        ),
        (
            "The position is now, of course, drawn by threefold repetition.",
            "draw",
            Extent::Whole,
        ),
        ("He plays on: it is stalemate.", "draw", Extent::End),
        ("Olsen saw it. A blunder.", "quality", Extent::End),
        ("24.Rd7 wins a pawn", "gain", Extent::End),
        ("24.Rd7 wins a pawn...", "gain", Extent::End),
        (
            "24.Rd7 wins a pawn, but Black gets it back.",
            "gain",
            Extent::Part,
        ),
        ("A blunder; 24.Kf1 holds.", "quality", Extent::Part),
        ("Stalemate? Hardly so.", "draw", Extent::Part),
        ("Stalemate, and a blunder.", "draw", Extent::Part),
    ] {
        assert_eq!(claim(text, kind).extent, extent, "{text}");
    }
}

#[test]
fn a_claim_is_attached_to_the_line_that_leads_to_it() {
    for (text, attached) in [
        ("24.Qh6+, mate in two.", true),
        ("24.Qh6+ and mate in two.", true),
        ("24.Qh6+, and mate in two.", true),
        ("24.Qh6+ with mate in two.", true),
        ("24.Qh6+ with a mate in two.", true),
        ("24.Qh6+ and then, quite simply, mate in two.", true),
        ("24.Qh6+ and now, inevitably, there is mate in two.", true),
        ("24.Qh6+ Qe2 White has mate in two.", false),
        ("24.Qh6+ Kg8: mate in two.", false),
        ("24.Qh6+ h5 so mate in two.", false),
        ("24.Qh6+ draws the king out, mate in two.", false),
    ] {
        assert_eq!(claim(text, "mate-in").attached, attached, "{text}");
    }
}

#[test]
fn a_line_in_apposition_is_closed() {
    for (text, closed) in [
        ("White's third move, 3.Bb5, pins.", true),
        ("White's third move (3.Bb5) pins.", true),
        (
            "White's third move, the famous bishop sally 3.Bb5 , pins.",
            true,
        ),
        ("White's third move, 3.Bb5!?, pins.", true),
        ("White's third move 3.Bb5 pins.", false),
        ("White's third move: 3.Bb5.", false),
        ("White's third move was 3.Bb5", false),
    ] {
        let prose = prose(text);
        let line = prose.lines.first().expect(text);
        assert_eq!(line.apposed, closed, "{text}");
    }
}

#[test]
fn a_claim_of_the_moves_is_no_part_of_the_prose() {
    let claims = prose("24.Kf1 Qe2 25.Kg1").claims;
    assert!(
        claims
            .iter()
            .all(|claim| matches!(claim.kind, ClaimKind::Line) && claim.extent == Extent::Whole)
    );
}
