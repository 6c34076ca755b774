//! References that point the wrong way.

use std::ops::Range;

use gainsay_commentary::Way;

use crate::{
    report::{Edit, Finding, Remedy},
    rule::{Severity, rule},
};

rule! {
    /// The text says that a diagram or an exercise stands above or below, and it stands on the other side.
    ///
    /// Told where all that has the number stands there. In LaTeX, figures that float have no certain side.
    ///
    /// ```markdown before
    /// ~~~fen
    /// 6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1
    /// ~~~
    ///
    /// Diagram 1.
    ///
    /// The rook mates, as it does once more (see Diagram 3 above).
    ///
    /// ~~~fen
    /// 6k1/5ppp/8/8/8/8/8/3RK3 w - - 0 1
    /// ~~~
    ///
    /// Diagram 2.
    ///
    /// ~~~fen
    /// 6k1/5ppp/8/8/8/8/8/2R1K3 w - - 0 1
    /// ~~~
    ///
    /// Diagram 3.
    /// ```
    ///
    /// ```markdown after
    /// ~~~fen
    /// 6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1
    /// ~~~
    ///
    /// Diagram 1.
    ///
    /// The rook mates, as it does once more (see Diagram 3 below).
    ///
    /// ~~~fen
    /// 6k1/5ppp/8/8/8/8/8/3RK3 w - - 0 1
    /// ~~~
    ///
    /// Diagram 2.
    ///
    /// ~~~fen
    /// 6k1/5ppp/8/8/8/8/8/2R1K3 w - - 0 1
    /// ~~~
    ///
    /// Diagram 3.
    /// ```
    RULE = "wrong-direction", Severity::Warning
}

/// The finding about "diagram 12 above" that stands below; `word` can be replaced.
pub(super) fn finding(
    span: &Range<usize>,
    noun: &str,
    number: u32,
    stands: Way,
    word: Option<&Range<usize>>,
) -> Finding {
    let place = match stands {
        Way::Above => "above",
        Way::Below => "below",
    };
    let mut finding = Finding::new(
        &RULE,
        span,
        format!("The {noun} with the number {number} stands {place}."),
    );
    finding.remedies.extend(word.map(|word| Remedy {
        title: format!("Write {place}"),
        safe: false,
        edits: vec![Edit {
            span: word.clone(),
            text: place.to_owned(),
        }],
    }));
    finding
}

#[cfg(test)]
mod tests {
    use crate::{Format, Settings, apply, check_as};

    fn told(text: &str) -> Vec<String> {
        let settings = Settings {
            only: vec!["wrong-direction".to_owned()],
            ..Settings::default()
        };
        let report = check_as(text.as_bytes(), Format::Markdown, &settings);
        let found = report.findings.iter();
        found
            .map(|found| match found.remedies.first() {
                Some(remedy) => {
                    String::from_utf8_lossy(&apply(text.as_bytes(), &remedy.edits)).into_owned()
                }
                None => found.message.clone(),
            })
            .collect()
    }

    #[test]
    fn a_reference_may_not_point_away() {
        let fen = "```fen\n6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1\n```";
        let text = |words: &str| {
            format!(
                "{fen}\n\nDiagram 1.\n\nAll is well ({words}).\n\n{fen}\n\nDiagram 2.\n\n{fen}\n\nDiagram 3.\n"
            )
        };
        for (words, right) in [
            ("see Diagram 1 below", Some("see Diagram 1 above")),
            ("see Diagram 3 above", Some("see Diagram 3 below")),
            ("see Diagram 3 below", None),
            ("see Diagram 1 above", None),
            ("see Diagram 3 on the next page", None),
            ("see Diagram 9 above", None),
        ] {
            let right: Vec<String> = right.into_iter().map(text).collect();
            assert_eq!(told(&text(words)), right, "{words}");
        }
        assert_eq!(
            told(&text("see Diagram 1 on the next page")),
            ["The diagram with the number 1 stands above."]
        );
    }
}
