//! Every kind of claim is read, in English and for the commonest kinds in German and Spanish.

use gainsay_commentary::{
    ClaimKind, Context, Goods, Material, Nuance, Reference, Standing, Subject, Threat, Way, read,
};
use gainsay_notation::Language;
use shakmaty::Color;

fn kinds(text: &str) -> Vec<&'static str> {
    read(text.as_bytes(), &Context::default())
        .claims
        .iter()
        .map(|claim| claim.kind.name())
        .collect()
}

#[test]
fn every_kind_in_english() {
    for (text, kind) in [
        ("24.Qg7+ Kf8 25.Qh8 follows.", "line"),
        ("Then Rxg7 was simpler.", "move"),
        ("Mate in two.", "mate-in"),
        ("The mate is unavoidable.", "forced-mate"),
        ("Mate next move.", "mate-next-move"),
        ("Qh7 is mate.", "mate"),
        ("White threatens mate.", "mate-threat"),
        ("This threatens the queen.", "threat"),
        ("The only move.", "only-move"),
        ("23...Rxb2 fails to 24.Qd8+.", "refutation"),
        ("The knight on f6 is strong.", "piece"),
        ("The d6-bishop is strong.", "piece"),
        ("The knight on f6 is pinned.", "relation"),
        ("The rook attacks the queen and the bishop.", "relation"),
        ("24.Nd5 forks king and queen.", "relation"),
        ("It is double check.", "relation"),
        ("Black is a piece up for a pawn.", "material"),
        ("White has two pieces for a rook.", "material"),
        ("He is the exchange down.", "material"),
        ("24.Rd7 wins the queen.", "gain"),
        ("Black loses a piece.", "gain"),
        ("White is clearly better.", "standing"),
        ("The position is equal.", "standing"),
        ("24.Kf1 +-", "standing"),
        ("A terrible blunder.", "quality"),
        ("24.Kf1 was better.", "quality"),
        ("It is stalemate.", "draw"),
        ("With perpetual check.", "draw"),
        ("The b-file is open.", "structure"),
        ("A passed a-pawn.", "structure"),
        ("White has the bishop pair.", "structure"),
        ("Bishops of opposite colours.", "structure"),
        ("A smothered mate.", "pattern"),
        ("White to play and win.", "stipulation"),
        ("See game 12.", "reference"),
        ("Mate.", "mate"),
        ("Parrying mate on g7.", "mate-threat"),
        ("There is no defence to 24.Qg7.", "threat"),
        ("The knight has only one free square.", "only-move"),
        ("Black has only one legal move.", "only-move"),
        ("Forced.", "only-move"),
        ("23...Rxb2 is bad because of 24.Qd8+.", "refutation"),
        ("23...Rxb2 can be met by 24.Qd8+.", "refutation"),
        ("This loses at once.", "refutation"),
        ("The rook x-rays the queen.", "relation"),
        ("The knight blocks the d-pawn.", "relation"),
        ("A fork on e7.", "relation"),
        ("The king cannot leave the corner.", "relation"),
        ("White is a queen and a pawn up.", "material"),
        ("Black has an extra knight.", "material"),
        ("He gave up the exchange.", "gain"),
        ("White picks up a pawn.", "gain"),
        ("Better for Black.", "standing"),
        ("A gaffe.", "quality"),
        ("He should have played 24.Kf1.", "quality"),
        ("Black cannot escape the checks.", "draw"),
        ("There is no stopping the a-pawn.", "structure"),
        ("White's passer decides.", "structure"),
        ("The pawn on d6 is backward.", "structure"),
        ("Philidor's legacy mate.", "pattern"),
        ("Find the best move.", "stipulation"),
        ("See the note to Black's 12th move.", "reference"),
    ] {
        assert!(
            kinds(text).contains(&kind),
            "`{text}` gives {:?}",
            kinds(text)
        );
    }
}

#[test]
fn the_commonest_kinds_in_german_and_spanish() {
    for (text, kind) in [
        (
            "Weiß gibt in zwei Zügen matt, das ist Matt in 2.",
            "mate-in",
        ),
        ("Weiß droht Matt mit der Dame.", "mate-threat"),
        ("Der Springer auf f6 ist nicht gut.", "piece"),
        ("Das war der einzige Zug.", "only-move"),
        ("Schwarz hat einen Bauern mehr.", "material"),
        ("Schwarz steht auf Verlust.", "standing"),
        ("Das ist Patt und die Partie ist remis.", "draw"),
        ("Las blancas dan mate en dos jugadas.", "mate-in"),
        ("Las blancas amenazan mate en la siguiente.", "mate-threat"),
        ("El caballo de f6 es muy fuerte.", "piece"),
        ("Es la única jugada.", "only-move"),
        ("Las negras tienen una posición perdida.", "standing"),
        ("El rey está ahogado.", "draw"),
    ] {
        assert!(
            kinds(text).contains(&kind),
            "`{text}` gives {:?}",
            kinds(text)
        );
    }
}

#[test]
fn moves_are_read_in_the_letters_of_their_language() {
    let context = Context {
        letters: Language::German,
        ..Context::default()
    };
    let prose = read(
        "Weiß droht Dxh7 und nach 24...Sf6 folgt 25.Lxf6.".as_bytes(),
        &context,
    );
    assert_eq!(prose.moves.len(), 3);
    // Printed in English letters, cited in those of the prose.
    for (text, letters) in [
        ("Nach 24...Sf6 folgt 25.Lxf6.", Language::German),
        ("Tras 24...Cf6 gana 25.Axf6.", Language::Spanish),
        ("After 24...Nf6 follows 25.Bxf6.", Language::English),
        ("Nach 24...Nf6 folgt 25.Bxf6.", Language::English),
    ] {
        let read = read(text.as_bytes(), &Context::default());
        assert_eq!(read.letters, letters, "{text}");
    }
    assert!(
        prose
            .claims
            .iter()
            .any(|claim| claim.kind == ClaimKind::Threat(Threat::Line))
    );
}

#[test]
fn what_is_claimed_of_whom() {
    let claim = |text: &str, name: &str| {
        let prose = read(text.as_bytes(), &Context::default());
        prose
            .claims
            .into_iter()
            .find(|claim| claim.kind.name() == name)
            .map(|claim| (claim.kind, claim.subject))
    };
    assert_eq!(
        claim("Black is a piece up for a pawn.", "material"),
        Some((
            ClaimKind::Material(Material::For(Goods::Pieces(1), Goods::Pawns(1))),
            Subject::Side(Color::Black)
        ))
    );
    assert_eq!(
        claim("24.Kf1 -+", "standing"),
        Some((
            ClaimKind::Standing(Standing::Winning),
            Subject::Side(Color::Black)
        ))
    );
    // Said of a move it is another claim than said of a side.
    assert_eq!(claim("24.Kf1 is better.", "standing"), None);
    assert!(claim("24.Kf1 is better.", "quality").is_some());
    // Whose something is says not what somebody is.
    for text in [
        "White's better half was watching.",
        "Black's worse structure was a burden.",
        "White's winning attempts had failed so far.",
        "The defender's best friend is the clock.",
        "The rook's best square is a8.",
    ] {
        assert_eq!(claim(text, "standing"), None, "{text}");
        assert_eq!(claim(text, "quality"), None, "{text}");
    }
    for text in [
        "White's better.",
        "White's better after the exchange.",
        "White's winning in all lines.",
        "White's winning because of the pawns.",
    ] {
        assert!(claim(text, "standing").is_some(), "{text}");
    }
    // Advice is no verdict.
    assert_eq!(claim("Black's better watch out.", "standing"), None);
}

#[test]
fn words_with_two_senses_are_told_apart() {
    // The exchange of pieces, a pair of rooks in an ending, a piece as an attribute.
    for (text, kind) in [
        ("After the exchange of queens.", "material"),
        ("A queen sacrifice.", "piece"),
        ("Rooks belong behind passed pawns.", "structure"),
        ("The pawn structure is sound.", "piece"),
        ("He loses a tempo.", "gain"),
        ("Castling queen's side.", "piece"),
        ("Setting up the knights.", "material"),
        ("Rather than giving up a rook he resigns.", "material"),
        ("It is even more true here.", "standing"),
        ("A 1500+-rated player.", "standing"),
        ("The diagonal a1-h8 and the route Bc8-g7.", "move"),
        ("The forced exchange of queens.", "only-move"),
        ("The time control at move 40.", "reference"),
        ("The Qh2 follow-up.", "piece"),
    ] {
        assert!(
            !kinds(text).contains(&kind),
            "`{text}` gives {:?}",
            kinds(text)
        );
    }
}

#[test]
fn a_sign_is_told_from_words() {
    for (text, sign) in [
        ("24.Kf1 +-", true),
        ("24.Kf1 and White is winning.", false),
        ("With the idea of 24.Kf1 =", true),
        ("24.Kf1 is equal.", false),
    ] {
        let claims = read(text.as_bytes(), &Context::default()).claims;
        let mut verdicts = claims
            .iter()
            .filter(|claim| matches!(claim.kind, ClaimKind::Standing(_)));
        let said = verdicts.next().map(|claim| claim.wording.has(Nuance::Sign));
        assert_eq!(said, Some(sign), "{text}");
    }
}

#[test]
fn a_side_of_the_page_is_given_with_its_contrary() {
    for (text, way, word, other) in [
        ("See game 3 above.", Way::Above, "above", "below"),
        ("As in game 3 below.", Way::Below, "below", "above"),
    ] {
        let claims = read(text.as_bytes(), &Context::default()).claims;
        let said = claims.iter().find_map(|claim| match claim.kind {
            ClaimKind::Reference(Reference::Game(game)) => game.way,
            _ => None,
        });
        let said = said.expect(text);
        let written = said.span.of(text.as_bytes());
        assert_eq!(
            (said.way, written, said.other),
            (way, word.as_bytes(), other)
        );
    }
}

#[test]
fn numbers_of_two_words_are_one() {
    for (text, number) in [
        ("White mates in twenty-one moves.", 21),
        ("White mates in twenty one moves.", 21),
        ("White mates in twenty moves.", 20),
        ("White has thirty-five legal moves.", 35),
        ("White mates in one move.", 1),
    ] {
        let claims = read(text.as_bytes(), &Context::default()).claims;
        let said = claims.iter().find_map(|claim| claim.number);
        assert_eq!(said.map(|said| said.value), Some(number), "{text}");
    }
}
