//! What glyphs and tags mean, in words.

use gainsay_notation::{Degree, Glyph, GlyphMeaning, Grade, Phase, Wing};
use shakmaty::Color;

/// What an annotation glyph means, in words.
pub(crate) fn glyph(glyph: Glyph) -> Option<String> {
    let words = words(glyph.meaning()?);
    Some(match glyph.side() {
        Some(Color::White) => format!("White {words}"),
        Some(Color::Black) => format!("Black {words}"),
        None => words,
    })
}

fn words(meaning: GlyphMeaning) -> String {
    match meaning {
        GlyphMeaning::Nothing => "no annotation".into(),
        GlyphMeaning::GoodMove => "a good move".into(),
        GlyphMeaning::PoorMove => "a poor move".into(),
        GlyphMeaning::VeryGoodMove => "a very good move".into(),
        GlyphMeaning::VeryPoorMove => "a very poor move".into(),
        GlyphMeaning::SpeculativeMove => "a speculative move".into(),
        GlyphMeaning::QuestionableMove => "a questionable move".into(),
        GlyphMeaning::ForcedMove => "a forced move; all others lose quickly".into(),
        GlyphMeaning::SingularMove => "the only move; no reasonable alternative".into(),
        GlyphMeaning::WorstMove => "the worst move".into(),
        GlyphMeaning::Drawish => "a drawish position".into(),
        GlyphMeaning::EqualQuiet => "equal chances, a quiet position".into(),
        GlyphMeaning::EqualActive => "equal chances, an active position".into(),
        GlyphMeaning::Unclear => "an unclear position".into(),
        GlyphMeaning::Advantage(Degree::Crushing) => {
            "has a crushing advantage and could be spared the rest".into()
        }
        GlyphMeaning::Advantage(degree) => format!("has a {} advantage", much(degree)),
        GlyphMeaning::Zugzwang => "is in zugzwang".into(),
        GlyphMeaning::Space(degree) => format!("has a {} advantage in space", much(degree)),
        GlyphMeaning::Time(degree) => format!("has a {} advantage in time", much(degree)),
        GlyphMeaning::Initiative => "has the initiative".into(),
        GlyphMeaning::LastingInitiative => "has a lasting initiative".into(),
        GlyphMeaning::Attack => "has the attack".into(),
        GlyphMeaning::Compensation(degree) => {
            let enough = match degree {
                Degree::Slight => "insufficient",
                Degree::Moderate => "sufficient",
                Degree::Decisive | Degree::Crushing => "more than adequate",
            };
            format!("has {enough} compensation for the material")
        }
        GlyphMeaning::Control(wing, degree) => {
            let wing = match wing {
                Wing::Centre => "centre",
                Wing::Kingside => "kingside",
                Wing::Queenside => "queenside",
            };
            let much = much(degree);
            format!("has a {much} advantage in the control of the {wing}")
        }
        GlyphMeaning::FirstRank(Grade::VeryPoor | Grade::Poor) => {
            "has a vulnerable first rank".into()
        }
        GlyphMeaning::FirstRank(_) => "has a well protected first rank".into(),
        GlyphMeaning::KingProtected(grade) => format!("has a {} protected king", well(grade)),
        GlyphMeaning::KingPlaced(grade) => format!("has a {} placed king", well(grade)),
        GlyphMeaning::PawnStructure(grade) => {
            let strong = match grade {
                Grade::VeryPoor => "very weak",
                Grade::Poor => "moderately weak",
                Grade::Good => "moderately strong",
                Grade::VeryGood => "very strong",
            };
            format!("has a {strong} pawn structure")
        }
        GlyphMeaning::Placed(role, grade) => {
            format!(
                "has {} {} placement",
                good(grade),
                gainsay::show::piece(role)
            )
        }
        GlyphMeaning::Coordination(grade) => format!("has {} piece coordination", good(grade)),
        GlyphMeaning::Played(phase, grade) => {
            let phase = match phase {
                Phase::Opening => "opening",
                Phase::Middlegame => "middlegame",
                Phase::Ending => "ending",
            };
            format!("has played the {phase} {}", well(grade))
        }
        GlyphMeaning::Counterplay(degree) => format!("has {} counterplay", much(degree)),
        GlyphMeaning::TimePressure(Degree::Slight | Degree::Moderate) => {
            "has moderate time pressure".into()
        }
        GlyphMeaning::TimePressure(_) => "has severe time pressure".into(),
        GlyphMeaning::Idea => "with the idea".into(),
        GlyphMeaning::Against => "aimed against".into(),
        GlyphMeaning::BetterMove => "a better move".into(),
        GlyphMeaning::WorseMove => "a worse move".into(),
        GlyphMeaning::EquivalentMove => "an equivalent move".into(),
        GlyphMeaning::Remark => "an editor's remark".into(),
        GlyphMeaning::Novelty => "a new move".into(),
        GlyphMeaning::Diagram => "a diagram".into(),
    }
}

const fn much(degree: Degree) -> &'static str {
    match degree {
        Degree::Slight => "slight",
        Degree::Moderate => "moderate",
        Degree::Decisive => "decisive",
        Degree::Crushing => "crushing",
    }
}

const fn good(grade: Grade) -> &'static str {
    match grade {
        Grade::VeryPoor => "very poor",
        Grade::Poor => "poor",
        Grade::Good => "good",
        Grade::VeryGood => "very good",
    }
}

const fn well(grade: Grade) -> &'static str {
    match grade {
        Grade::VeryPoor => "very poorly",
        Grade::Poor => "poorly",
        Grade::Good => "well",
        Grade::VeryGood => "very well",
    }
}

/// What a tag holds. Source: the PGN standard (1994), sections 8.1 and 9.
pub(crate) fn tag(name: &str) -> Option<&'static str> {
    TAGS.iter()
        .find(|(known, _)| *known == name)
        .map(|(_, words)| *words)
}

/// The known tags with what they hold, the seven of the roster first, in its order.
pub(crate) const TAGS: &[(&str, &str)] = &[
    (
        "Event",
        "the name of the tournament or match; `?` where unknown",
    ),
    (
        "Site",
        "where it was played: city, region and country; `?` where unknown",
    ),
    (
        "Date",
        "the first day of the game as `YYYY.MM.DD`, with `??` for what is unknown",
    ),
    (
        "Round",
        "the round; `?` where unknown, `-` where there is none",
    ),
    (
        "White",
        "the player of the white pieces: family name, first name",
    ),
    (
        "Black",
        "the player of the black pieces: family name, first name",
    ),
    (
        "Result",
        "`1-0`, `0-1`, `1/2-1/2` or `*`, the same as behind the last move",
    ),
    (
        "WhiteTitle",
        "the title of the white player, such as `FM`, `IM`, `GM`; `-` for none",
    ),
    (
        "BlackTitle",
        "the title of the black player, such as `FM`, `IM`, `GM`; `-` for none",
    ),
    ("WhiteElo", "the rating of the white player"),
    ("BlackElo", "the rating of the black player"),
    (
        "WhiteUSCF",
        "the rating of the white player in the United States",
    ),
    (
        "BlackUSCF",
        "the rating of the black player in the United States",
    ),
    ("WhiteNA", "the network address of the white player"),
    ("BlackNA", "the network address of the black player"),
    ("WhiteType", "`human` or `program`"),
    ("BlackType", "`human` or `program`"),
    ("EventDate", "the first day of the event as `YYYY.MM.DD`"),
    ("EventSponsor", "who sponsored the event"),
    ("Section", "the section of the tournament, such as `Open`"),
    ("Stage", "the stage of the event, such as `Preliminary`"),
    ("Board", "the number of the board in a team event"),
    ("Opening", "the name of the opening"),
    ("Variation", "the variation of the opening"),
    ("SubVariation", "the branch of the variation"),
    ("ECO", "the opening's code, a letter and two digits"),
    ("NIC", "the opening's code in the other common system"),
    ("Time", "when the game began, local time, `HH:MM:SS`"),
    ("UTCTime", "when the game began, universal time, `HH:MM:SS`"),
    ("UTCDate", "the day in universal time, `YYYY.MM.DD`"),
    (
        "TimeControl",
        "the time control, such as `40/9000` or `900+10`",
    ),
    (
        "SetUp",
        "`1` where the game begins from the position of the tag `FEN`",
    ),
    ("FEN", "the position that the game begins from"),
    (
        "Termination",
        "how the game ended, such as `normal` or `time forfeit`",
    ),
    ("Annotator", "who wrote the comments"),
    (
        "Mode",
        "how it was played: `OTB` over the board, `PM` by post",
    ),
    ("PlyCount", "the number of half moves"),
    (
        "Variant",
        "the rules, where they are not the usual ones, such as `Chess960`",
    ),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn glyphs_in_words() {
        for (number, words) in [
            (1, "a good move"),
            (16, "White has a moderate advantage"),
            (
                21,
                "Black has a crushing advantage and could be spared the rest",
            ),
            (23, "Black is in zugzwang"),
            (
                53,
                "Black has a decisive advantage in the control of the centre",
            ),
            (67, "Black has a vulnerable first rank"),
            (98, "White has poor queen placement"),
            (121, "Black has played the middlegame very well"),
            (139, "Black has severe time pressure"),
            (220, "a diagram"),
        ] {
            assert_eq!(
                glyph(Glyph::new(number)).as_deref(),
                Some(words),
                "{number}"
            );
        }
        assert_eq!(glyph(Glyph::new(200)), None);
    }

    #[test]
    fn the_roster_comes_first() {
        let names: Vec<&str> = TAGS.iter().take(7).map(|(name, _)| *name).collect();
        assert_eq!(
            names,
            ["Event", "Site", "Date", "Round", "White", "Black", "Result"]
        );
        assert_eq!(tag("Nonsense"), None);
    }
}
