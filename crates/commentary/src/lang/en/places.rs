//! Phrases that point to other places.

use crate::lang::make;
use crate::pattern::Phrase;

pub(super) const PHRASES: &[Phrase] = &[
    Phrase::new(
        "note|notes|comment|remark|remarks to|on|at|after|under move? N; note|notes|comment|remark|remarks to|on|at|after|under SIDE 's? N move?; see|cf|compare|recall|remember move N; \
         note|notes|comment|remark|remarks to|on|at|after|under N move; see|cf|compare SIDE 's? N move; as|like on|at move N",
        make::move_reference,
    ),
    Phrase::new("SIDE 's N? ORD move", make::nth_reference).inside(),
    Phrase::new(
        "@his N? ORD move; on|at|with|after the? N? ORD move",
        make::nth_reference,
    )
    .nobody(),
    Phrase::new("on|at move N", make::on_move),
    Phrase::nothing(
        "time|clock|control|limit at|by? move N; before|until|reached|reaching|reach|by|within|around move N; move N time|clock|control; \
         agreed|resigned|resigns|ended|ends|drawn|draw|over|finished|flag|forfeited|adjourned|sealed|theory|book|novelty|known|win|wins|won|lost|mated|checkmated|time on|at|by|in|around? move N",
    ),
    Phrase::new("move N", make::move_mention),
    Phrase::new("diagram N", make::diagram_reference),
    Phrase::new(
        "@det diagram; see|cf diagram; diagrammed position",
        make::the_diagram,
    ),
    Phrase::new("N moves|move ago|earlier|before", make::ago_reference),
    Phrase::new("N moves|move later|afterwards", make::later_reference),
];
