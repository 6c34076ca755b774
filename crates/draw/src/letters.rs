//! The letters of the files and the digits of the ranks, drawn as lines: so they look the same
//! on every machine, whatever fonts it has.

use maud::{Markup, html};
use shakmaty::{Color, File, Rank, Square};

use crate::{
    marks::corner,
    pieces::{Colours, SIDE},
};

/// The width and the height of a sign, in units of the picture.
const SIGN: [u32; 2] = [15, 22];

const FILES: [&str; 8] = [
    "M13 14.3A5.5 6.8 0 1 0 2 14.3A5.5 6.8 0 1 0 13 14.3M13 7.5V21.5",
    "M2 0V21.5M2 14.3A5.5 6.8 0 1 0 13 14.3A5.5 6.8 0 1 0 2 14.3",
    "M12.5 9.5A6 6.8 0 1 0 12.5 19",
    "M13 0V21.5M2 14.3A5.5 6.8 0 1 0 13 14.3A5.5 6.8 0 1 0 2 14.3",
    "M2 14H13A5.5 6.8 0 1 0 11.5 19.2",
    "M12 1.2A4.6 4.6 0 0 0 6 5.5V21.5M2 8.5H11.5",
    "M13 7.5V22A5.3 5 0 0 1 3 24.5M2 14.3A5.5 6.8 0 1 0 13 14.3A5.5 6.8 0 1 0 2 14.3",
    "M2 0V21.5M2 13A5.4 5.6 0 0 1 12.8 13V21.5",
];

const RANKS: [&str; 8] = [
    "M3.5 4.5L8.5 1V21M3.5 21H13",
    "M2.5 6A5.2 5.2 0 0 1 13 6.3C13 11.5 2 15.5 2 21H13.2",
    "M2.5 1H12.5L7 8.6A6 6.2 0 1 1 2 17.5",
    "M10.3 21.5V1L1.5 15H14",
    "M12 1H4L3 9.8A5.9 6.1 0 1 1 2.2 18",
    "M11 1.2C5 4 2 9.5 2 15A5.6 6 0 1 0 13.2 15A5.6 6 0 0 0 2 15",
    "M2 1H13L6 21.5",
    "M3 5.6A4.5 4.5 0 1 0 12 5.6A4.5 4.5 0 1 0 3 5.6M2 15.6A5.5 5.5 0 1 0 13 15.6A5.5 5.5 0 1 0 2 15.6",
];

/// The letters and digits around a board of which `below` is the lower side. They stand in a
/// margin of this width.
pub(crate) fn around(below: Color, margin: u32) -> Markup {
    let edge = SIDE * 8;
    let [width, height] = SIGN;
    let (aside, under) = ((margin - width) / 2, (margin - height) / 2);
    html! {
        g fill="none" stroke=(Colours::INK) stroke-width="3" stroke-linecap="round" stroke-linejoin="round" {
            @for (file, sign) in File::ALL.into_iter().zip(FILES) {
                @let x = corner(Square::from_coords(file, Rank::First), below).0 + (SIDE - width) / 2;
                path transform=(format!("translate({x} {})", edge + under)) d=(sign) {}
            }
            @for (rank, sign) in Rank::ALL.into_iter().zip(RANKS) {
                @let y = corner(Square::from_coords(File::A, rank), below).1 + (SIDE - height) / 2;
                path transform=(format!("translate(-{} {y})", margin - aside)) d=(sign) {}
            }
        }
    }
}
