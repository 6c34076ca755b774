use super::result_against_position::Contradiction;
use crate::{
    replay::View,
    rule::{Severity, rule},
    sink::Sink,
};

rule! {
    /// The result is left open although the board decides the game.
    ///
    /// `*` says that a game goes on or that its end is not known (PGN standard, 8.1.1.7);
    /// after mate or stalemate it is known. Mending writes it behind the moves, but only
    /// the author changes what the tag Result says.
    ///
    /// ```pgn before
    /// 1. f3 e5 2. g4 Qh4# *
    /// ```
    ///
    /// ```pgn after
    /// 1. f3 e5 2. g4 Qh4# 0-1
    /// ```
    RULE = "result-left-open", Severity::Information
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    if let Some(contradiction) = Contradiction::of(view)
        && contradiction.left_open()
    {
        sink.push(contradiction.finding(&RULE, view));
    }
}

#[cfg(test)]
mod tests {
    use crate::{Settings, check};

    #[test]
    fn it_takes_the_place_of_the_graver_rule() {
        let report = check(
            b"[Result \"*\"]\n\n1. f3 e5 2. g4 Qh4# *\n",
            &Settings::default(),
        );
        let rules: Vec<&str> = report
            .findings
            .iter()
            .map(|finding| finding.rule.name)
            .filter(|name| name.starts_with("result"))
            .collect();
        assert_eq!(rules, ["result-left-open"]);
        let remedy = &report
            .findings
            .iter()
            .find(|f| f.rule.name == rules[0])
            .expect("it")
            .remedies[0];
        // What a tag says is the author's.
        assert!(!remedy.safe);
        assert_eq!(remedy.edits.len(), 2);
    }
}
