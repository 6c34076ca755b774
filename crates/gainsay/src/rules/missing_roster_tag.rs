use super::{noticed::faults, result_against_position::on_the_board};
use crate::{
    replay::View,
    report::{Edit, Finding},
    rule::{Severity, rule},
    show::list,
    sink::Sink,
};
use gainsay_notation::{FaultKind, GameResult, Tag};

rule! {
    /// A tag of the seven that every archived game has is missing.
    ///
    /// The seven are Event, Site, Date, Round, White, Black and Result (PGN standard,
    /// 8.1.1). A fragment without any tags is not asked for them.
    ///
    /// ```pgn before
    /// [White "Osk, Tilda"]
    /// [Black "Brandt, Jonne"]
    ///
    /// 1. e4 *
    /// ```
    ///
    /// ```pgn after
    /// [Event "Club evening"]
    /// [Site "Lakeside"]
    /// [Date "2024.03.01"]
    /// [Round "1"]
    /// [White "Osk, Tilda"]
    /// [Black "Brandt, Jonne"]
    /// [Result "*"]
    ///
    /// 1. e4 *
    /// ```
    RULE = "missing-roster-tag", Severity::Hint
}

const ROSTER: [&str; 7] = ["Event", "Site", "Date", "Round", "White", "Black", "Result"];

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    let tags = &view.game.tags;
    let Some(first) = tags.first() else {
        return;
    };
    // Archives give the seven in their order, which this sees without a search.
    if tags.len() >= ROSTER.len()
        && tags
            .iter()
            .zip(ROSTER)
            .all(|(tag, name)| tag.name.of(view.text) == name.as_bytes())
    {
        return;
    }
    // Exercises that begin from a position are not games of an archive.
    if view.replay.start.tag.is_some() {
        return;
    }
    let missing: Vec<&str> = ROSTER
        .into_iter()
        .filter(|name| view.game.tag(view.text, name).is_none())
        .collect();
    if missing.is_empty() {
        return;
    }
    let finding = Finding::new(
        &RULE,
        first.span,
        format!("The game has no tag {}.", list(&missing, "or")),
    )
    .in_game(view);
    // Where a tag that is not complete ends, nobody knows.
    let whole = faults(view, FaultKind::BrokenTag).next().is_none();
    sink.push(if whole {
        let edits = additions(view, first, &missing);
        finding.remedy("Add what is missing, as not known", true, edits)
    } else {
        finding
    });
}

/// Writes every missing tag behind the one that stands before it in the roster. Other
/// programs take Event for the beginning of a game, so that nothing may stand before it.
fn additions(view: &View<'_>, first: &Tag, missing: &[&str]) -> Vec<Edit> {
    let newline = view.line_end();
    let mut edits: Vec<Edit> = Vec::new();
    let mut place = first.span.start;
    for name in ROSTER {
        if !missing.contains(&name) {
            place = (view.game.tag(view.text, name)).map_or(place, |tag| tag.span.end);
            continue;
        }
        let value = match name {
            "Date" => "????.??.??",
            "Result" => {
                let said = view.replay.result.map(|(_, result)| result);
                let said = said.filter(|&result| result != GameResult::Unknown);
                said.or_else(|| on_the_board(view))
                    .map_or("*", GameResult::as_str)
            }
            _ => "?",
        };
        let text = if place == first.span.start {
            format!("[{name} \"{value}\"]{newline}")
        } else {
            format!("{newline}[{name} \"{value}\"]")
        };
        let at = place as usize;
        match edits.iter_mut().find(|edit| edit.span.start == at) {
            Some(edit) => edit.text.push_str(&text),
            None => edits.push(Edit { span: at..at, text }),
        }
    }
    edits.sort_by_key(|edit| edit.span.start);
    edits
}

#[cfg(test)]
mod tests {
    use crate::{Settings, apply, check};

    fn mended(text: &str) -> String {
        let report = check(text.as_bytes(), &Settings::default());
        let finding = report
            .findings
            .iter()
            .find(|finding| finding.rule.name == "missing-roster-tag")
            .expect("it");
        String::from_utf8(apply(text.as_bytes(), &finding.remedies[0].edits)).expect("UTF-8")
    }

    #[test]
    fn what_is_missing_goes_where_the_roster_has_it() {
        assert_eq!(
            mended("[Event \"Club evening\"]\r\n[White \"Osk, Tilda\"]\r\n\r\n1. e4 1-0\r\n"),
            "[Event \"Club evening\"]\r\n[Site \"?\"]\r\n[Date \"????.??.??\"]\r\n[Round \"?\"]\r\n\
             [White \"Osk, Tilda\"]\r\n[Black \"?\"]\r\n[Result \"1-0\"]\r\n\r\n1. e4 1-0\r\n"
        );
        assert!(mended("[White \"Osk\"]\n\n*\n").starts_with(
            "[Event \"?\"]\n[Site \"?\"]\n[Date \"????.??.??\"]\n[Round \"?\"]\n[White \"Osk\"]\n"
        ));
    }
}
