//! Draws chess positions: as SVG that stands alone, as SVG for a page of many boards, and, with
//! the feature `png`, as PNG.
//!
//! It knows boards, squares and moves, and nothing of files, claims or editors. All marks differ
//! in shape, so that a print in grey says as much as one in colour, and no font is needed.
//!
//! ```
//! use gainsay_draw::Picture;
//! use shakmaty::{Chess, Position, Square};
//!
//! let position = Chess::default();
//! let mut picture = Picture::of(position.board(), position.turn());
//! picture.named = Square::E4.into();
//! let svg = picture.svg();
//! assert!(svg.starts_with("<svg ") && svg.contains("White to move"));
//! ```

mod letters;
mod marks;
mod picture;
mod pieces;
#[cfg(feature = "png")]
mod raster;
mod words;

pub use picture::{EXTENT, Picture, symbols};
pub use pieces::Colours;
#[cfg(feature = "png")]
pub use raster::{PngError, png};
pub use words::{capital, describe, end};
