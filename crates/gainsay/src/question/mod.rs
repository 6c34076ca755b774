//! Questions: a claim with its comment and all that it can speak of, and what can be asked of
//! that without settling anything.

mod asked;
mod given;
mod lines;
mod lookout;
mod moves;
mod of_game;
mod of_glyphs;
mod play;
mod pointers;
mod reach;
mod shares;
mod signs;
mod thread;

pub use self::asked::MOST_CLAIMS;
pub(crate) use self::asked::{Comment, Heard, LONGEST_COMMENT, Question, Trust};
pub use self::of_game::{Cited, cited_moves};
pub(crate) use self::{
    given::{Given, GivenMove},
    lines::{Resolved, resolve_lines},
    lookout::{Lookout, Pointed, pointer},
    of_game::{claims, may_claim},
    of_glyphs::GLYPH,
    play::{Broken, expected, may_be_another, step},
    pointers::ply,
    reach::NEAR,
    shares::share_out,
    signs::{captures_are_true, meaning, said, signs_are_true},
    thread::{Reached, Thread},
};
