//! References to what has no such number.

use std::ops::Range;

use crate::{
    report::Finding,
    rule::{Severity, rule},
    whole::Numbers,
};

rule! {
    /// The text points at a diagram, an exercise or a game by a number that nothing has.
    ///
    /// Told where the text numbers at least three such things from 1 on. A number behind the last one is
    /// told in a whole book only, which has solutions or an index at its end: a chapter may point at
    /// another file. What stands "in" or "of" another book is left alone, and so are pages.
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
    /// 6k1/5ppp/8/8/8/8/8/3RK3 w - - 0 1
    /// ~~~
    ///
    /// **Exercise 3.** White to move and mate in one, as in Exercise 5.
    ///
    /// ~~~fen
    /// 6k1/5ppp/8/8/8/8/8/2R1K3 w - - 0 1
    /// ~~~
    ///
    /// # Solutions
    ///
    /// 1. 1.Ra8#
    /// 2. 1.Rd8#
    /// 3. 1.Rc8#
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
    ///
    /// **Exercise 3.** White to move and mate in one, as in Exercise 2.
    ///
    /// ~~~fen
    /// 6k1/5ppp/8/8/8/8/8/2R1K3 w - - 0 1
    /// ~~~
    ///
    /// # Solutions
    ///
    /// 1. 1.Ra8#
    /// 2. 1.Rd8#
    /// 3. 1.Rc8#
    /// ```
    RULE = "missing-target", Severity::Warning
}

/// The finding about "diagram 29" where there are `numbers`.
pub(super) fn finding(span: &Range<usize>, noun: &str, number: u32, numbers: &Numbers) -> Finding {
    let message = format!("There is no {noun} {number} in this text: the numbers are {numbers}.");
    Finding::new(&RULE, span, message)
}

#[cfg(test)]
mod tests {
    use crate::{Format, Settings, check_as};

    fn told(text: &str, format: Format) -> Vec<String> {
        let report = check_as(text.as_bytes(), format, &Settings::default());
        let found = report.findings.into_iter();
        found
            .filter(|found| found.rule.name == "missing-target")
            .map(|found| format!("{}: {}", &text[found.span], found.message))
            .collect()
    }

    /// Diagrams with these numbers in Markdown, and a text below.
    fn book(numbers: &[u32], end: &str) -> String {
        let fen = "```fen\n6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1\n```";
        let diagrams = numbers
            .iter()
            .map(|number| format!("{fen}\n\nDiagram {number}.\n\n"));
        diagrams.collect::<String>() + end
    }

    #[test]
    fn a_number_in_between_is_missing_everywhere() {
        let text = book(&[1, 2, 4, 5], "Compare Diagrams 2, 3 and 4.\n");
        assert_eq!(
            told(&text, Format::Markdown),
            ["3: There is no diagram 3 in this text: the numbers are 1, 2 and 4, 5."]
        );
    }

    #[test]
    fn a_number_behind_the_last_is_missing_in_a_book_only() {
        let text = "See Diagram 9.\n";
        let end = "See Diagram 9.\n\n## Solutions\n\nNone.\n";
        for (text, count) in [
            (book(&[1, 2, 3], text), 0),
            (book(&[1, 2, 3], end), 1),
            // Too few, or a part of something.
            (book(&[1, 2], end), 0),
            (book(&[11, 12, 13], end), 0),
            ("## Chapter 3\n\n".to_owned() + &book(&[1, 2, 3], end), 0),
            (book(&[1, 2, 3], &end.replace('9', "9 of the workbook")), 0),
            (book(&[1, 2, 3], &end.replace("See D", "All is well. D")), 0),
            (book(&[1, 2, 3], &end.replace('9', "3")), 0),
            // Many numbers that lead out of it.
            (
                book(&[1, 2, 3], &format!("See Diagrams 7, 8 and 9.\n\n{end}")),
                0,
            ),
        ] {
            assert_eq!(told(&text, Format::Markdown).len(), count, "{text}");
        }
    }

    #[test]
    fn every_format_is_read() {
        let fen = "6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1";
        let list = |one: &dyn Fn(u32) -> String| (1..4).map(one).collect::<String>();
        let words = "It was seen before (see\nDiagram 9).";
        for (format, text) in [
            (
                Format::Latex,
                list(&|n| format!("\\board{{{fen}}}\n\n\\textit{{Diagram~{n}.}}\n\n"))
                    + words
                    + "\n\n\\section{Solutions}\n\nNone.\n",
            ),
            (
                Format::AsciiDoc,
                list(&|n| format!(".Diagram {n}\n[fen]\n----\n{fen}\n----\n\n"))
                    + words
                    + "\n\n== Solutions\n\nNone.\n",
            ),
            (
                Format::Text,
                list(&|n| format!("{fen}\n\nDiagram {n}.\n\n"))
                    + words
                    + "\n\nSOLUTIONS\n\nNone.\n",
            ),
        ] {
            assert_eq!(told(&text, format).len(), 1, "{format:?} {text}");
        }
        let game = |n: u32| format!("[Event \"Exercise {n}\"]\n\n1. e4 e5 *\n\n");
        let games: String = [1, 2, 4].map(game).concat();
        let text = games + "[Event \"Exercise 5\"]\n\n1. d4 {As in exercise 3.} d5 *\n";
        assert_eq!(told(&text, Format::Pgn).len(), 1);
    }

    #[test]
    fn an_author_may_allow_it() {
        let end = "See Diagram 3. <!-- allow missing-target: in the next edition -->\n";
        let text = book(&[1, 2, 4], end);
        let report = check_as(text.as_bytes(), Format::Markdown, &Settings::default());
        assert_eq!(report.accepted.len(), 1, "{:?}", report.findings);
        let idle = text.replace("Diagram 3.", "Diagram 2.");
        let report = check_as(idle.as_bytes(), Format::Markdown, &Settings::default());
        assert!(
            report
                .findings
                .iter()
                .any(|found| found.rule.name == "idle-allowance")
        );
    }
}
