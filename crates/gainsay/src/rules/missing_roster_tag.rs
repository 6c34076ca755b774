use crate::{Finding, Severity, Sink, View, rule::rule, show::list};
use gainsay_notation::Span;

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
    let insert = Span::new(first.span.start, first.span.start);
    let text: String = missing
        .iter()
        .map(|name| {
            let value = match *name {
                "Date" => "????.??.??",
                "Result" => view
                    .replay
                    .result
                    .map_or("*", |(_, result)| result.as_str()),
                _ => "?",
            };
            format!("[{name} \"{value}\"]\n")
        })
        .collect();
    sink.push(
        Finding::new(
            &RULE,
            first.span,
            format!("The game has no tag {}.", list(&missing, "or")),
        )
        .in_game(view)
        .mended("Add what is missing, as not known", insert, text),
    );
}
