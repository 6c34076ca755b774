//! Positions that are printed under two numbers.

use std::ops::Range;

use crate::{
    report::Finding,
    rule::{Severity, rule},
    whole::How,
};

rule! {
    /// A position stands under two numbers, or once more mirrored or with colours reversed.
    ///
    /// A reader who solves it once needs it once. Nothing is told where the words beside it say that it
    /// comes again, where another side is to move, or among the solutions; and of few men only where
    /// all is the same.
    ///
    /// ```markdown before
    /// **Exercise 1.** White to move and mate in one.
    ///
    /// ~~~fen
    /// 6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1
    /// ~~~
    ///
    /// **Exercise 2.** White to move and mate in one.
    ///
    /// ~~~fen
    /// 6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1
    /// ~~~
    /// ```
    ///
    /// ```markdown after
    /// **Exercise 1.** White to move and mate in one.
    ///
    /// ~~~fen
    /// 6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1
    /// ~~~
    ///
    /// **Exercise 2.** White to move and mate in one.
    ///
    /// ~~~fen
    /// 6k1/5ppp/8/8/8/8/8/3RK3 w - - 0 1
    /// ~~~
    /// ```
    RULE = "repeated-diagram", Severity::Hint
}

/// The finding about a position that is another one.
pub(super) fn finding(span: &Range<usize>, noun: &str, number: u32, how: How) -> Finding {
    let end = match how {
        How::Same => "",
        How::Mirrored => ", mirrored from left to right",
        How::Reversed => ", with colours reversed",
        How::Both => ", mirrored and with colours reversed",
    };
    Finding::new(
        &RULE,
        span,
        format!("This is the position of {noun} {number}{end}."),
    )
}

#[cfg(test)]
mod tests {
    use crate::{Format, Settings, check_as};

    fn told(text: &str, format: Format) -> Vec<String> {
        let settings = Settings {
            only: vec!["repeated-diagram".to_owned()],
            ..Settings::default()
        };
        let report = check_as(text.as_bytes(), format, &settings);
        report
            .findings
            .into_iter()
            .map(|found| found.message)
            .collect()
    }

    #[test]
    fn positions_are_compared_however_they_stand() {
        let book = |words: &str, fen: &str| {
            format!(
                "`r4rk1/ppp2ppp/8/8/8/8/PP3PPP/R4RK1 w - - 0 1`\n\nDiagram 1.\n\n\
                 {words}\n\n`{fen}`\n\nDiagram 2.\n"
            )
        };
        for (words, fen, end) in [
            ("", "r4rk1/ppp2ppp/8/8/8/8/PP3PPP/R4RK1 w - - 3 9", Some("")),
            (
                "",
                "1kr4r/ppp2ppp/8/8/8/8/PPP3PP/1KR4R w - - 0 1",
                Some(", mirrored from left to right"),
            ),
            (
                "",
                "r4rk1/pp3ppp/8/8/8/8/PPP2PPP/R4RK1 b - - 0 1",
                Some(", with colours reversed"),
            ),
            (
                "",
                "1kr4r/ppp3pp/8/8/8/8/PPP2PPP/1KR4R b - - 0 1",
                Some(", mirrored and with colours reversed"),
            ),
            // The other side to move, another position, and one that is meant to come again.
            ("", "r4rk1/ppp2ppp/8/8/8/8/PP3PPP/R4RK1 b - - 0 1", None),
            ("", "r4rk1/pp3ppp/8/8/8/8/PPP2PPP/R4RK1 w - - 0 1", None),
            ("", "r4rk1/ppp2ppp/8/8/8/8/P4PPP/R4RK1 w - - 0 1", None),
            (
                "Here it is again.",
                "r4rk1/ppp2ppp/8/8/8/8/PP3PPP/R4RK1 w - - 0 1",
                None,
            ),
            (
                "Think of Diagram 1.",
                "r4rk1/ppp2ppp/8/8/8/8/PP3PPP/R4RK1 w - - 0 1",
                None,
            ),
        ] {
            let wanted = end.map(|end| format!("This is the position of diagram 1{end}."));
            let wanted: Vec<String> = wanted.into_iter().collect();
            let text = book(words, fen);
            assert_eq!(told(&text, Format::Markdown), wanted, "{text}");
            let plain = text.replace('`', "");
            assert_eq!(told(&plain, Format::Text), wanted, "{plain}");
            assert_eq!(told(&text, Format::AsciiDoc), wanted, "{text}");
            let latex = text
                .replace("`r", "\\board{r")
                .replace("`1", "\\board{1")
                .replace('`', "}");
            assert_eq!(told(&latex, Format::Latex), wanted, "{latex}");
        }
    }

    #[test]
    fn solutions_may_print_a_position_once_more() {
        let fen = "`r4rk1/ppp2ppp/8/8/8/8/PP3PPP/R4RK1 w - - 0 1`";
        let text = format!("**Exercise 1.** {fen}\n\n# Solutions\n\n**Exercise 2.** {fen}\n");
        assert!(told(&text, Format::Markdown).is_empty());
        let text = text.replace("Solutions", "More");
        assert_eq!(told(&text, Format::Markdown).len(), 1);
    }
}
