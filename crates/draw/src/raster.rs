//! Pictures of dots.

use resvg::{
    tiny_skia::{Pixmap, Transform},
    usvg::{Options, Tree},
};

/// Why a picture cannot be made of dots.
#[derive(Debug, thiserror::Error)]
pub enum PngError {
    /// It is no SVG.
    #[error("the drawing cannot be read: {0}")]
    Drawing(#[from] resvg::usvg::Error),
    /// So many dots cannot be.
    #[error("a picture of {0} dots a side cannot be made; ask for 16 to {LARGEST}")]
    Size(u32),
    /// The dots cannot be written.
    #[error("the picture cannot be written: {0}")]
    Written(#[from] png::EncodingError),
}

/// The most dots a side.
const LARGEST: u32 = 8192;

/// A square drawing as PNG of `size` dots a side, with a note that names this program.
///
/// ```
/// use gainsay_draw::{Picture, png};
/// use shakmaty::{Board, Color};
/// let board = Board::default();
/// let dots = png(&Picture::of(&board, Color::White).svg(), 64).unwrap();
/// assert!(dots.starts_with(b"\x89PNG"));
/// assert!(png("nothing", 64).is_err() && png("<svg/>", 0).is_err());
/// ```
///
/// # Errors
///
/// Fails where `svg` is no drawing, and for less than 16 or more than 8192 dots a side.
pub fn png(svg: &str, size: u32) -> Result<Vec<u8>, PngError> {
    let tree = Tree::from_str(svg, &Options::default())?;
    let map = (16..=LARGEST).contains(&size);
    let map = map.then(|| Pixmap::new(size, size)).flatten();
    let mut map = map.ok_or(PngError::Size(size))?;
    let scale = size as f32 / tree.size().width();
    resvg::render(
        &tree,
        Transform::from_scale(scale, scale),
        &mut map.as_mut(),
    );
    let mut written = Vec::new();
    let mut encoder = png::Encoder::new(&mut written, size, size);
    encoder.set_color(png::ColorType::Rgba);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.add_text_chunk("Software".to_owned(), "gainsay".to_owned())?;
    let mut writer = encoder.write_header()?;
    writer.write_image_data(&map.take_demultiplied())?;
    writer.finish()?;
    Ok(written)
}
