//! Names that are spelled two ways.

use std::ops::Range;

use crate::{
    report::{Edit, Finding, Remedy},
    rule::{Severity, rule},
};

rule! {
    /// The name of a person is spelled otherwise than everywhere else.
    ///
    /// Told of a full name ("Agnes Tellovar", "A. Tellovar") that stands once and differs by one letter from
    /// one with the same first name that stands at least three times. Endings are no letters, and two who
    /// stand side by side are two people.
    ///
    /// ```pgn before
    /// {Agnes Tellovar won the first game. Nobody expected Tellovar to win, for this was
    /// the first time that Tellovar played in the evening, and the room was cold. In the
    /// end she was the first to smile, and so said all who had come to watch. One year
    /// later Agnes Telovar came again.} 1. e4 e5 *
    /// ```
    ///
    /// ```pgn after
    /// {Agnes Tellovar won the first game. Nobody expected Tellovar to win, for this was
    /// the first time that Tellovar played in the evening, and the room was cold. In the
    /// end she was the first to smile, and so said all who had come to watch. One year
    /// later Agnes Tellovar came again.} 1. e4 e5 *
    /// ```
    RULE = "name-spelling", Severity::Hint
}

/// The finding about a name that is spelled otherwise so many times.
pub(super) fn finding(span: &Range<usize>, name: &str, times: usize) -> Finding {
    let mut finding = Finding::new(
        &RULE,
        span,
        format!("Everywhere else this name is spelled {name} ({times} times)."),
    );
    finding.remedies.push(Remedy {
        title: format!("Write {name}"),
        safe: false,
        edits: vec![Edit {
            span: span.clone(),
            text: name.to_owned(),
        }],
    });
    finding
}

#[cfg(test)]
mod tests {
    use crate::{Format, Settings, check_as};

    fn told(text: &str, format: Format) -> Vec<String> {
        let settings = Settings {
            only: vec!["name-spelling".to_owned()],
            ..Settings::default()
        };
        let report = check_as(text.as_bytes(), format, &settings);
        let found = report.findings.into_iter();
        found.map(|found| text[found.span].to_owned()).collect()
    }

    #[test]
    fn a_name_is_told_where_it_stands_alone_in_its_spelling() {
        let far = "Nothing happened here for a long time, and nobody minded. ".repeat(3);
        let often =
            format!("Agnes Tellovar won. Then Tellovar lost, and Tellovar smiled. {far}\n\n");
        for (words, found) in [
            ("Later Agnes Telovar came.", Some("Telovar")),
            ("Later A. Tellowar came.", Some("Tellowar")),
            ("Later Agnes Tellovar came.", None),
            // Another person, another first name, no first name, an ending, and often.
            ("Later Agnes Tillower came.", None),
            ("Later Ida Telovar came.", None),
            ("Later Telovar came.", None),
            ("Later the Agnes Tellovars came.", None),
            ("Later Agnes Telovar came, and Telovar won.", None),
            ("Later Agnes Telovar and Agnes Tellovar came.", None),
        ] {
            let text = format!("{often}{words}\n");
            let found: Vec<String> = found.into_iter().map(str::to_owned).collect();
            for format in [
                Format::Markdown,
                Format::Latex,
                Format::AsciiDoc,
                Format::Text,
            ] {
                assert_eq!(told(&text, format), found, "{format:?} {words}");
            }
            let game = format!("{{{text}}} 1. e4 e5 *");
            assert_eq!(told(&game, Format::Pgn), found, "{words}");
        }
        let game =
            |white: &str| format!("[White \"{white}\"]\n[Black \"Haas, Tom\"]\n\n1. e4 e5 *\n\n");
        let rest = game("Osk, Ida").repeat(3);
        let text = game("Marlow, Eva").repeat(3) + &rest + &game("Marlov, Eva");
        assert_eq!(told(&text, Format::Pgn), ["Marlov"]);
    }
}
