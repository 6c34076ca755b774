//! Adjectives stand where the language has them.

use gainsay_commentary::{
    ClaimKind, Context, Feature, Noun, Owner, Relation, Structure, Target, Tongue, Traits, read,
};
use shakmaty::{Color, Role, Square};

fn kinds(text: &str, tongue: Tongue) -> Vec<ClaimKind> {
    let context = Context {
        tongue: Some(tongue),
        ..Context::default()
    };
    let claims = read(text.as_bytes(), &context).claims;
    claims.into_iter().map(|claim| claim.kind).collect()
}

/// The pieces that a Spanish text names on squares.
fn pieces(text: &str) -> Vec<Noun> {
    let kinds = kinds(text, Tongue::Spanish).into_iter();
    let pieces = kinds.filter_map(|kind| match kind {
        ClaimKind::Pieces(noun) => Some(noun),
        _ => None,
    });
    pieces.collect()
}

/// What a Spanish text says of pawns.
fn structures(text: &str) -> Vec<Structure> {
    let kinds = kinds(text, Tongue::Spanish).into_iter();
    let said = kinds.filter_map(|kind| match kind {
        ClaimKind::Structure(said) => Some(said),
        _ => None,
    });
    said.collect()
}

#[test]
fn a_colour_behind_the_noun_says_whose_the_piece_is() {
    for (text, owner, role, square) in [
        (
            "La torre blanca de d1 es fuerte.",
            Owner::Side(Color::White),
            Role::Rook,
            Square::D1,
        ),
        (
            "El caballo negro en f6 salta.",
            Owner::Side(Color::Black),
            Role::Knight,
            Square::F6,
        ),
        (
            "La dama enemiga de g7 amenaza mate.",
            Owner::Other,
            Role::Queen,
            Square::G7,
        ),
    ] {
        let pieces = pieces(text);
        let said: Vec<_> = (pieces.iter())
            .map(|noun| (noun.owner, noun.role, noun.square))
            .collect();
        assert_eq!(said, [(owner, Some(role), Some(square))], "{text}");
    }
}

#[test]
fn what_is_said_behind_the_noun_is_claimed() {
    for (text, feature, square) in [
        (
            "El peón aislado de d4 es débil.",
            Feature::IsolatedPawn,
            Some(Square::D4),
        ),
        (
            "Las blancas tienen un peón pasado.",
            Feature::PassedPawn,
            None,
        ),
        (
            "El peón negro pasado y aislado de a5 avanza.",
            Feature::Pawn(Traits::PASSED.with(Traits::ISOLATED)),
            Some(Square::A5),
        ),
    ] {
        let said = structures(text);
        let said: Vec<_> = said
            .iter()
            .map(|said| (said.feature, said.square))
            .collect();
        assert_eq!(said, [(feature, square)], "{text}");
    }
    let kinds = kinds(
        "El caballo clavado de f6 no puede moverse.",
        Tongue::Spanish,
    );
    let pinned = kinds.iter().find_map(|kind| match kind {
        ClaimKind::Relation {
            relation: Relation::Pinned,
            targets,
            ..
        } => targets.first(),
        _ => None,
    });
    let square = match pinned {
        Some(Target::Piece(noun)) => noun.square,
        _ => None,
    };
    assert_eq!(square, Some(Square::F6));
}

#[test]
fn what_is_no_adjective_of_the_piece_is_left_alone() {
    // A side, not a colour.
    for noun in pieces("Con la torre en d1 blancas ganan.") {
        assert_eq!(noun.owner, Owner::Anyone);
    }
    // A rule of thumb.
    assert_eq!(structures("Los peones aislados son débiles."), []);
    // The other pawn is isolated.
    let said = structures("Ataca el peón de e5 y el peón aislado de d4.");
    let squares: Vec<_> = said.iter().map(|said| said.square).collect();
    assert_eq!(squares, [Some(Square::D4)]);
}

#[test]
fn english_has_its_adjectives_in_front() {
    let said = |text: &str| {
        let kinds = kinds(text, Tongue::English);
        let structures = kinds.iter();
        structures
            .filter(|kind| matches!(kind, ClaimKind::Structure(_)))
            .count()
    };
    assert_eq!(said("The isolated pawn on d4 is weak."), 1);
    assert_eq!(said("He gave the pawn isolated on d4 away."), 0);
}
