//! What glyphs and tags mean, in words.

/// What an annotation glyph means.
///
/// Source: PGN Specification and Implementation Guide (1994), section 10, for 0 to
/// 139; the numbers from 140 on are common practice, no source.
pub(crate) fn glyph(nag: u8) -> Option<String> {
    let sided = |white: u8, words: &str| {
        let side = if nag == white { "White" } else { "Black" };
        format!("{side} {words}")
    };
    let text = match nag {
        0 => "no annotation".to_owned(),
        1 => "a good move".to_owned(),
        2 => "a poor move".to_owned(),
        3 => "a very good move".to_owned(),
        4 => "a very poor move".to_owned(),
        5 => "a speculative move".to_owned(),
        6 => "a questionable move".to_owned(),
        7 => "a forced move; all others lose quickly".to_owned(),
        8 => "the only move; no reasonable alternative".to_owned(),
        9 => "the worst move".to_owned(),
        10 => "a drawish position".to_owned(),
        11 => "equal chances, a quiet position".to_owned(),
        12 => "equal chances, an active position".to_owned(),
        13 => "an unclear position".to_owned(),
        14..=21 => {
            let degree = match nag {
                14 | 15 => "a slight",
                16 | 17 => "a moderate",
                18 | 19 => "a decisive",
                _ => "a crushing",
            };
            let side = if nag.is_multiple_of(2) {
                "White"
            } else {
                "Black"
            };
            let end = if nag >= 20 {
                " and could be spared the rest"
            } else {
                ""
            };
            format!("{side} has {degree} advantage{end}")
        }
        22 | 23 => sided(22, "is in zugzwang"),
        24..=47 => {
            let base = nag - 24;
            let side = if base.is_multiple_of(2) {
                "White"
            } else {
                "Black"
            };
            let (degree, what) = match base / 2 {
                0 => ("a slight", "advantage in space"),
                1 => ("a moderate", "advantage in space"),
                2 => ("a decisive", "advantage in space"),
                3 => ("a slight", "advantage in time"),
                4 => ("a moderate", "advantage in time"),
                5 => ("a decisive", "advantage in time"),
                6 => ("the", "initiative"),
                7 => ("a lasting", "initiative"),
                8 => ("the", "attack"),
                9 => ("insufficient", "compensation for the material"),
                10 => ("sufficient", "compensation for the material"),
                _ => ("more than adequate", "compensation for the material"),
            };
            format!("{side} has {degree} {what}")
        }
        48..=65 => {
            let base = nag - 48;
            let side = if base.is_multiple_of(2) {
                "White"
            } else {
                "Black"
            };
            let degree = ["a slight", "a moderate", "a decisive"][usize::from(base / 2 % 3)];
            let place = ["centre", "kingside", "queenside"][usize::from(base / 6)];
            format!("{side} has {degree} advantage in the control of the {place}")
        }
        66..=77 => {
            let base = nag - 66;
            let side = if base.is_multiple_of(2) {
                "White"
            } else {
                "Black"
            };
            let words = [
                "a vulnerable first rank",
                "a well protected first rank",
                "a poorly protected king",
                "a well protected king",
                "a poorly placed king",
                "a well placed king",
            ][usize::from(base / 2)];
            format!("{side} has {words}")
        }
        78..=101 => {
            let base = nag - 78;
            let side = if base.is_multiple_of(2) {
                "White"
            } else {
                "Black"
            };
            let words = [
                "a very weak pawn structure",
                "a moderately weak pawn structure",
                "a moderately strong pawn structure",
                "a very strong pawn structure",
                "poor knight placement",
                "good knight placement",
                "poor bishop placement",
                "good bishop placement",
                "poor rook placement",
                "good rook placement",
                "poor queen placement",
                "good queen placement",
            ][usize::from(base / 2)];
            format!("{side} has {words}")
        }
        102..=105 => {
            let side = if nag.is_multiple_of(2) {
                "White"
            } else {
                "Black"
            };
            let words = if nag < 104 { "poor" } else { "good" };
            format!("{side} has {words} piece coordination")
        }
        106..=129 => {
            let base = nag - 106;
            let side = if base.is_multiple_of(2) {
                "White"
            } else {
                "Black"
            };
            let how = ["very poorly", "poorly", "well", "very well"][usize::from(base / 2 % 4)];
            let phase = ["opening", "middlegame", "ending"][usize::from(base / 8)];
            format!("{side} has played the {phase} {how}")
        }
        130..=135 => {
            let base = nag - 130;
            let side = if base.is_multiple_of(2) {
                "White"
            } else {
                "Black"
            };
            let degree = ["slight", "moderate", "decisive"][usize::from(base / 2)];
            format!("{side} has {degree} counterplay")
        }
        136 | 137 => sided(136, "has moderate time pressure"),
        138 | 139 => sided(138, "has severe time pressure"),
        140 => "with the idea".to_owned(),
        141 => "aimed against".to_owned(),
        142 => "a better move".to_owned(),
        143 => "a worse move".to_owned(),
        144 => "an equivalent move".to_owned(),
        145 => "an editor's remark".to_owned(),
        146 => "a new move".to_owned(),
        _ => return None,
    };
    Some(text)
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

    /// From the table of section 10 of the PGN standard (1994), from memory.
    #[test]
    fn glyphs_as_the_standard_lists_them() {
        for (nag, words) in [
            (1, "a good move"),
            (16, "White has a moderate advantage"),
            (19, "Black has a decisive advantage"),
            (23, "Black is in zugzwang"),
            (40, "White has the attack"),
            (
                53,
                "Black has a decisive advantage in the control of the centre",
            ),
            (67, "Black has a vulnerable first rank"),
            (98, "White has poor queen placement"),
            (101, "Black has good queen placement"),
            (121, "Black has played the middlegame very well"),
            (129, "Black has played the ending very well"),
            (132, "White has moderate counterplay"),
            (139, "Black has severe time pressure"),
        ] {
            assert_eq!(glyph(nag).as_deref(), Some(words), "{nag}");
        }
        for nag in 0..=146 {
            assert!(glyph(nag).is_some(), "{nag}");
        }
        assert_eq!(glyph(200), None);
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
