//! What is not understood around a claim is told, so that the claim is not judged.

use gainsay_commentary::{ClaimKind, Context, Prose, read};

fn prose(text: &str) -> Prose {
    read(text.as_bytes(), &Context::default())
}

/// The words that keep the claims of a text from being judged, pieces and lines aside.
fn unread(text: &str) -> Vec<String> {
    let prose = prose(text);
    let claims = prose.claims.iter();
    let claims = claims.filter(|claim| {
        !matches!(
            claim.kind,
            ClaimKind::Pieces(_) | ClaimKind::Line | ClaimKind::Mention
        )
    });
    let spans: Vec<_> = claims
        .map(|claim| prose.unread_of(claim))
        .inspect(|spans| assert!(spans.is_sorted_by_key(|span| span.start), "{text}"))
        .collect();
    assert!(!spans.is_empty(), "no claim: {text}");
    let words = spans.concat();
    let words = words.iter().map(|span| span.of(text.as_bytes()));
    words
        .map(|word| String::from_utf8_lossy(word).into_owned())
        .collect()
}

#[test]
fn plain_words_leave_a_claim_as_it_is() {
    for text in [
        "White calmly wins a piece.",
        "Black is a pawn down in a difficult endgame.",
        "The knight on f3 attacks the queen.",
        "Here Carrera has mate in two.",
        "The rook swings across and gives check.",
        "Olsen was worried, but White mates in two.",
    ] {
        assert_eq!(unread(text), Vec::<String>::new(), "{text}");
    }
}

#[test]
fn adverbs_of_manner_leave_a_claim_as_it_is() {
    for text in [
        "White ingeniously wins a piece.",
        "Black carelessly loses a pawn.",
        "The rook menacingly attacks the queen.",
        "Astonishingly, White mates in two.",
        "White brilliantly mates in two.",
        "Black stubbornly defends the knight.",
        "Black recklessly threatens mate.",
        "White is undeniably a pawn up.",
        "The bishop audaciously gives check.",
        "Regrettably, the queen is trapped.",
    ] {
        let claims = prose(text).claims;
        let is_asserted = |claim: &gainsay_commentary::Claim| {
            claim.asserted && !matches!(claim.kind, ClaimKind::Pieces(_))
        };
        assert_eq!(unread(text), Vec::<String>::new(), "{text}");
        assert!(claims.iter().any(is_asserted), "{text}: {claims:#?}");
    }
}

/// One or two of each class that `lang/en.adverbs.review.txt` leaves out.
#[test]
fn adverbs_that_change_a_claim_keep_it_from_being_judged() {
    for (text, word) in [
        ("White narrowly wins a piece.", "narrowly"),
        ("White is vastly a pawn up.", "vastly"),
        ("The pawn poorly defends the knight.", "poorly"),
        ("White conceivably wins a piece.", "conceivably"),
        ("Black officially loses a pawn.", "officially"),
        ("White occasionally wins a piece.", "occasionally"),
        ("White belatedly wins a piece.", "belatedly"),
        ("The knight momentarily pins the rook.", "momentarily"),
        ("The rooks independently attack the queen.", "independently"),
        ("Black incorrectly threatens mate.", "incorrectly"),
        ("White vainly attacks the queen.", "vainly"),
        ("The bishop diagonally attacks the queen.", "diagonally"),
        ("White facetiously threatens mate.", "facetiously"),
        ("White audibly threatens mate.", "audibly"),
    ] {
        assert!(unread(text).contains(&word.to_owned()), "{text}");
    }
}

#[test]
fn unknown_verbs_and_attitudes_are_told() {
    for (text, words) in [
        ("White overlooks the mate in two.", &["overlooks"][..]),
        ("Black fears that White mates in two.", &["fears"]),
        ("White gnurbles the mate in two.", &["gnurbles"]),
        ("Black is far from a pawn down.", &["far from"]),
        ("In a similar position White mates in two.", &["a similar"]),
        (
            "Most players think that White is winning.",
            &["Most players"],
        ),
        (
            "Carrera gives her rook in exchange for the bishop.",
            &["in exchange"],
        ),
    ] {
        let told = unread(text);
        assert!(
            words
                .iter()
                .all(|word| told.iter().any(|told| told == word)),
            "{text}: {told:?}"
        );
    }
}

/// A phrase that goes on behind its last word is not all of the claim.
#[test]
fn claims_that_go_on_are_not_cut_short() {
    for (text, word) in [
        ("Black has a queen for a rook and three pawns.", "and"),
        ("White is ahead by a knight and two pawns.", "and"),
        ("It is better for Black to sit still.", "to"),
        ("The only move that keeps the file closed.", "that"),
    ] {
        assert!(unread(text).contains(&word.to_owned()), "{text}");
    }
    let two = "White is a pawn up and Black is lost.";
    assert_eq!(unread(two), Vec::<String>::new());
}

/// What stands in the clause of a claim and is no part of it is told, pieces and squares too.
#[test]
fn a_clause_says_more_than_its_phrase() {
    for (text, words) in [
        (
            "The pawn on f7 is threatened by the bishop alone.",
            &["alone"][..],
        ),
        (
            "The pawn on f7 is attacked by the bishop and the knight.",
            &["the knight"],
        ),
        ("The queen and the knight attack f7.", &["The queen"]),
        ("White is a pawn up, or rather two.", &["or rather"]),
        ("White is a pawn up, not two.", &["not"]),
        ("White is a pawn up if he takes.", &["if"]),
        ("If the king goes to c7, White mates in two.", &["If"]),
        ("Neither king has castled.", &["Neither"]),
        ("The bishop on b5 pins the knight on c6 twice.", &["twice"]),
        ("A draw counts as a win for Black.", &["counts", "as"]),
        (
            "The old handbooks say that White is a pawn up.",
            &["handbooks"],
        ),
        (
            "Black is not mated, but one legal move is not left.",
            &["not"],
        ),
        ("White mates in two, at least on paper.", &["at least"]),
        ("White does not carelessly lose a piece.", &["carelessly"]),
        ("White, merry as a lark, is a piece up.", &["is"]),
    ] {
        let told = unread(text);
        for word in words {
            assert!(told.iter().any(|told| told == word), "{text}: {told:?}");
        }
    }
    for text in [
        "White is a pawn up, and the knight covers f7.",
        "The bishop on b5 pins the knight on c6, and Black cannot castle.",
        "White is a pawn up, but Black has the bishop pair.",
        "In a difficult ending White is a pawn up.",
        "The open b-file matters to nobody but the rooks.",
        "Black's isolated pawn on d5 gnurbles all day.",
        "If Black goes 24...Kh8, 25.Qg7 is mate.",
        "White can mate in two.",
    ] {
        assert_eq!(unread(text), Vec::<String>::new(), "{text}");
    }
}

/// What a clause only wishes, plans or prevents is not said, but for what a definite noun phrase
/// takes for granted.
#[test]
fn what_is_only_supposed_is_not_asserted() {
    let asserted = |text: &str| {
        let prose = prose(text);
        let mut claims = prose.claims.iter().filter(|claim| {
            !matches!(
                claim.kind,
                ClaimKind::Pieces(_) | ClaimKind::Line | ClaimKind::Mention
            )
        });
        let claim = claims.next().unwrap_or_else(|| panic!("no claim: {text}"));
        claim.asserted && claim.unread.is_empty()
    };
    for text in [
        "White hopes to mate in two.",
        "White would be a pawn up.",
        "Black avoids being a pawn down.",
        "Without the rook White mates in two.",
        "A passed pawn is a criminal.",
        "40...h6 stops the mate.",
        "White wants a passed pawn.",
    ] {
        assert!(!asserted(text), "{text}");
    }
    for text in [
        "White mates in two.",
        "White is a pawn up.",
        "The king wants to stop the passed pawn on g7.",
        "24.Qh5 would be mate.",
        "White has a passed pawn.",
        "A passed pawn.",
    ] {
        assert!(asserted(text), "{text}");
    }
}

#[test]
fn lines_of_imagined_boards_are_told_from_others() {
    for (text, imagined) in [
        ("If the bishop ever leaves c8, 19.Qb7+ decides.", true),
        ("He castles, otherwise 12.Ba3.", true),
        ("Doubling the rooks allows 31...Nf4.", true),
        ("Allowing 14.e5 would cost time.", true),
        ("White castles (because of 11...Qa5+).", true),
        (
            "White would drop a rook (27...Bxa1) if the knight went home.",
            true,
        ),
        (
            "Had the rook been on d8, Olsen could have tried 20...Rd1#.",
            true,
        ),
        ("No, since after 8.Nb5 nothing helps.", true),
        ("The other rook was wiser: it would allow 25...Rxd5.", true),
        ("The king must leave before Black plays 14...Rd8+.", true),
        (
            "By moving his king Black could have held on, although 17.Ne5+ is a nuisance.",
            true,
        ),
        (
            "The queen waits so that after 22.Bh6 the rook is free.",
            true,
        ),
        ("24...Kh8 25.Qg7 is mate.", false),
        ("If Black plays 18...Na4, White answers 19.Rc2.", false),
        ("After 24.Kf1 Qe2 Black mates.", false),
        ("24.Rd1 fails because of 24...Qxd1.", false),
        ("This allows 24.Qg7#.", false),
    ] {
        let prose = prose(text);
        assert!(!prose.lines.is_empty(), "{text}");
        let told = prose.lines.iter().any(|line| line.imagined);
        assert_eq!(told, imagined, "{text}");
    }
}

/// What stands beside a square is no piece on it.
#[test]
fn pieces_stand_where_they_are_said_to_stand() {
    for text in [
        "On h4 the bishop does nothing.",
        "Black has his eye with the knight on the d3-pawn.",
    ] {
        let prose = prose(text);
        let placed = prose.claims.iter().any(|claim| {
            matches!(claim.kind, ClaimKind::Pieces(noun) if noun.role != Some(shakmaty::Role::Pawn))
        });
        assert!(!placed, "{text}: {:#?}", prose.claims);
    }
    let owned = |text: &str| {
        prose(text).claims.iter().any(|claim| {
            matches!(claim.kind, ClaimKind::Pieces(noun)
                if noun.owner == gainsay_commentary::Owner::Side(shakmaty::Color::White))
        })
    };
    assert!(!owned("White has attacked the a7-pawn."));
    assert!(owned("White has the knight on c6."));
}

/// The sentences that were not understood, with the words.
fn sentences(text: &str) -> Vec<(String, Vec<String>)> {
    let prose = read(text.as_bytes(), &Context::default());
    let words = |span: gainsay_notation::Span| {
        String::from_utf8_lossy(span.of(text.as_bytes())).into_owned()
    };
    let sentences = prose.sentences.iter();
    sentences
        .map(|sentence| {
            let unread = prose.words_of(sentence).iter();
            (
                words(sentence.span),
                unread.map(|&span| words(span)).collect(),
            )
        })
        .collect()
}

#[test]
fn what_speaks_of_chess_and_is_not_understood_is_listed() {
    for (text, words) in [
        (
            "The bishop on d6 ogles the woodwork.",
            vec!["ogles", "woodwork"],
        ),
        ("A rook belongs on the seventh.", vec!["rook", "seventh"]),
        (
            "Sooner or later the threat fizzles.",
            vec!["threat", "fizzles"],
        ),
        (
            "The knight tours by Nb8-a6-b4.",
            vec!["knight", "tours", "Nb8-a6-b4"],
        ),
        // A claim beside a word that is not understood is not judged, and both are listed once.
        ("White squandered a pawn up.", vec!["squandered"]),
    ] {
        let found = sentences(text);
        let [(sentence, unread)] = found.as_slice() else {
            panic!("{text}: {found:?}");
        };
        assert_eq!(format!("{sentence}."), text);
        for word in &words {
            let has = unread
                .iter()
                .any(|unread| unread.split(' ').any(|part| part == *word));
            assert!(has, "{word} in {text}: {unread:?}");
        }
        let mut apart = unread.clone();
        apart.dedup();
        assert_eq!(&apart, unread, "{text}");
    }
    for text in [
        "White is a pawn up.",
        "24.Qh5 Kg8 25.Qh7#",
        "The knight on c6 is pinned.",
        "It rained all afternoon in the old town hall.",
        "The year 1972 was a good one for clubs.",
        "Black mates in two.",
    ] {
        assert_eq!(sentences(text), [], "{text}");
    }
    // Each sentence by itself.
    let two = sentences("White is a pawn up. The queen sulks on h8. It rains.");
    assert_eq!(two.len(), 1);
    assert_eq!(two[0].0, "The queen sulks on h8");
}
