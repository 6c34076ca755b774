use crate::{
    replay::View,
    report::Finding,
    rule::{Severity, rule},
    sink::Sink,
};

rule! {
    /// A tag is given twice in one game.
    ///
    /// Programs differ in which of the two they believe (PGN standard, 8.1: a name is
    /// given once). The first is believed here.
    ///
    /// ```pgn before
    /// [White "Osk, Tilda"]
    /// [White "Osk, T."]
    ///
    /// 1. e4 *
    /// ```
    ///
    /// ```pgn after
    /// [White "Osk, Tilda"]
    ///
    /// 1. e4 *
    /// ```
    RULE = "duplicate-tag", Severity::Warning
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    let tags = &view.game.tags;
    // Games seldom name a tag twice, and a small filter spares comparing all pairs.
    let mut seen = [0_u64; 64];
    let mut twice = false;
    for tag in tags {
        let hash = tag.name.of(view.text).iter().fold(0_u32, |hash, &byte| {
            (hash.rotate_left(5) ^ u32::from(byte)).wrapping_mul(0x9e37_79b9)
        });
        if let Some(word) = seen.get_mut((hash >> 26) as usize) {
            let bit = 1_u64 << ((hash >> 20) & 63);
            twice |= *word & bit != 0;
            *word |= bit;
        }
    }
    if !twice {
        return;
    }
    for (at, tag) in tags.iter().enumerate() {
        let name = tag.name.of(view.text);
        // A flood of tags is no game; a bound keeps the work linear.
        let earlier = tags.iter().take(at.min(256)).find(|earlier| {
            earlier.name.len() == tag.name.len() && earlier.name.of(view.text) == name
        });
        let Some(earlier) = earlier.filter(|_| !name.is_empty()) else {
            continue;
        };
        let same = earlier.value.of(view.text) == tag.value.of(view.text);
        let finding = Finding::new(
            &RULE,
            tag.span,
            format!(
                "The tag {} is given a second time{}.",
                view.words(tag.name),
                if same { "" } else { ", and with another value" }
            ),
        )
        .in_game(view)
        .related(earlier.span, "the first one");
        sink.push(if same {
            finding.perhaps("Remove it", tag.span, "")
        } else {
            finding
        });
    }
}
