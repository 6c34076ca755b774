//! Phrases of what an exercise asks for.

use crate::lang::make;
use crate::pattern::Phrase;

pub(super) const PHRASES: &[Phrase] = &[
    Phrase::new("SIDE to play|move", make::to_play).inside(),
    // "It was the moment for Black to play 24...Kh7" advises.
    Phrase::nothing("for SIDE to play|move; SIDE to play LINE; SIDE to move PIECE"),
    Phrase::new("SIDE to play|move and win|wins; SIDE plays and wins; SIDE to play|move and win N? material?", make::to_win).inside(),
    Phrase::new("SIDE to play|move and draw|draws|hold|save; SIDE plays and draws; SIDE to draw|hold", make::to_draw).inside(),
    Phrase::new("SIDE to play|move and mate in N @move?; SIDE to mate in N @move?; SIDE to play|move mate in N @move?", make::to_mate).inside(),
    Phrase::new("find the? best|strongest move|continuation|reply; find SIDE 's? best|strongest move|continuation; can you find|see LINE?", make::find_best),
    Phrase::new("find the? only? win|winning move|continuation|line|way?; find the? only? winning|decisive move|continuation|line|way|idea|combination; find SIDE 's? win; find SIDE 's? only? winning move|continuation", make::to_win).nobody(),
    Phrase::new("find the? only? draw; find the? only? drawing|saving move|line|continuation|resource|idea; find the? only? move|way to draw|hold; find SIDE 's? draw; find SIDE 's? only? drawing|saving move|line", make::to_draw).nobody(),
    Phrase::new("find the? mate|checkmate; find SIDE 's? mate", make::find_mate).nobody(),
];
