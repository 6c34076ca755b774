//! Headings that say something else than the game below them.

use std::ops::Range;

use gainsay_notation::GameResult;

use crate::{
    report::Finding,
    rule::{Severity, rule},
    show,
    whole::Against,
};

rule! {
    /// A heading gives another result or year than the game below it.
    ///
    /// "Lind – Haas, Harwich 1911, 1-0" is compared with the first game below it: with mate on the board, and
    /// with the tags where these name the same players.
    ///
    /// ```markdown before
    /// ## Lind – Haas, Harwich 1911, 1-0
    ///
    /// 1. f3 e5 2. g4 Qh4#
    /// ```
    ///
    /// ```markdown after
    /// ## Lind – Haas, Harwich 1911, 0-1
    ///
    /// 1. f3 e5 2. g4 Qh4#
    /// ```
    RULE = "wrong-heading", Severity::Warning
}

/// The finding about words of a heading, and what stands against them.
pub(super) fn finding(span: &Range<usize>, against: &Against) -> Finding {
    let message = match against {
        Against::Mate { winner } => format!(
            "In the game below this heading {} mates: {}.",
            show::side(*winner),
            GameResult::Win(*winner).as_str()
        ),
        Against::Result(result) => {
            format!("The game below this heading ends with {}.", result.as_str())
        }
        Against::Year(year) => {
            format!("The tags of the game below this heading say that it was played in {year}.")
        }
    };
    Finding::new(&RULE, span, message)
}

#[cfg(test)]
mod tests {
    use crate::{Format, Settings, check_as};

    fn told(text: &str, format: Format) -> Vec<String> {
        let settings = Settings {
            only: vec!["wrong-heading".to_owned()],
            ..Settings::default()
        };
        let report = check_as(text.as_bytes(), format, &settings);
        let found = report.findings.into_iter();
        found
            .map(|found| format!("{}: {}", &text[found.span], found.message))
            .collect()
    }

    const MATE: &str = "1. f3 e5 2. g4 Qh4#";

    #[test]
    fn mate_decides_in_every_format() {
        let wanted = ["1-0: In the game below this heading Black mates: 0-1."];
        for (format, heading) in [
            (Format::Markdown, "## Lind \u{2013} Haas, 1-0"),
            (Format::AsciiDoc, "== Lind \u{2013} Haas, 1-0"),
            (Format::Latex, "\\section{Lind -- Haas, 1-0}"),
            (Format::Text, "Lind - Haas, 1-0\n----------------"),
        ] {
            let text = format!("{heading}\n\nA short one.\n\n{MATE}\n\nWell.\n");
            assert_eq!(told(&text, format), wanted, "{text}");
            let right = text.replace("1-0", "0-1");
            assert!(told(&right, format).is_empty(), "{right}");
        }
    }

    #[test]
    fn tags_decide_where_they_name_the_same_players() {
        let text = |heading: &str, result: &str| {
            format!(
                "## {heading}\n\n```pgn\n[White \"Lind, Eva\"]\n[Black \"Haas, Tom\"]\n\
                 [Date \"1911.05.02\"]\n[Result \"{result}\"]\n\n1. e4 e5 {result}\n```\n"
            )
        };
        for (heading, result, found) in [
            ("Lind \u{2013} Haas, Harwich 1911, 1-0", "1-0", None),
            (
                "Lind \u{2013} Haas, Harwich 1911, 1-0",
                "0-1",
                Some("1-0: The game below this heading ends with 0-1."),
            ),
            (
                "Lind v. Haas, Harwich 1912",
                "1-0",
                Some(
                    "1912: The tags of the game below this heading say that it was played in 1911.",
                ),
            ),
            ("Lind \u{2013} Haas, \u{bd}\u{2013}\u{bd}", "1/2-1/2", None),
            // Other players, the other way round, open, or two years.
            ("Osk \u{2013} Moreau, Harwich 1912, 1-0", "0-1", None),
            ("Haas \u{2013} Lind, 1-0", "0-1", None),
            ("Lind \u{2013} Haas, 1-0", "*", None),
            ("Lind \u{2013} Haas, 1911 and 1912", "1-0", None),
            ("The years of Lind and Haas, 1912", "1-0", None),
        ] {
            let text = text(heading, result);
            let found: Vec<String> = found.into_iter().map(str::to_owned).collect();
            assert_eq!(told(&text, Format::Markdown), found, "{text}");
        }
    }

    #[test]
    fn a_heading_speaks_of_the_game_below_it() {
        let other =
            format!("## Lind \u{2013} Haas, 1-0\n\n1. e4 e5 2. Qh5 Nc6\n\n## More\n\n{MATE}\n");
        assert!(told(&other, Format::Markdown).is_empty());
    }
}
