//! Pages as PNG pictures, by way of SVG and the embedded font: nothing of the machine's own fonts.

use super::font::{self, Face};
use super::list::Page;
use super::svg;
use crate::length::Length;
use resvg::{tiny_skia, usvg};
use std::sync::{Arc, OnceLock};

/// Why a picture could not be made: defects of this program, or too large a picture.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PngError {
    #[error("the drawing could not be read back: {0}")]
    Drawing(String),
    #[error("a picture of {0} x {1} dots is too large")]
    Size(u32, u32),
    #[error("the picture could not be packed: {0}")]
    Packing(String),
}

/// The most dots along a side.
const MOST: u32 = 20_000;

fn fonts() -> Arc<usvg::fontdb::Database> {
    static FONTS: OnceLock<Arc<usvg::fontdb::Database>> = OnceLock::new();
    let load = || {
        let mut fonts = usvg::fontdb::Database::new();
        for face in [Face::Regular, Face::Bold] {
            let source = usvg::fontdb::Source::Binary(Arc::new(font::bytes(face)));
            fonts.load_font_source(source);
        }
        fonts.set_sans_serif_family(font::FAMILY);
        Arc::new(fonts)
    };
    Arc::clone(FONTS.get_or_init(load))
}

/// A page as a picture on white, at this resolution (dots an inch).
///
/// # Errors
/// See [`PngError`].
pub fn file(page: &Page, dots_per_inch: u32) -> Result<Vec<u8>, PngError> {
    let options = usvg::Options {
        fontdb: fonts(),
        font_family: font::FAMILY.to_owned(),
        // SVG's own unit is 1/96 in; lengths in the file are in millimetres.
        dpi: 96.0,
        ..usvg::Options::default()
    };
    let tree = usvg::Tree::from_str(&svg::file(page), &options)
        .map_err(|e| PngError::Drawing(e.to_string()))?;
    let scale = dots_per_inch as f32 / 96.0;
    let side = |length: f32| (length * scale).round().max(1.0) as u32;
    let (width, height) = (side(tree.size().width()), side(tree.size().height()));
    if width > MOST || height > MOST {
        return Err(PngError::Size(width, height));
    }
    let mut picture = tiny_skia::Pixmap::new(width, height).ok_or(PngError::Size(width, height))?;
    picture.fill(tiny_skia::Color::WHITE);
    let scaled = tiny_skia::Transform::from_scale(scale, scale);
    resvg::render(&tree, scaled, &mut picture.as_mut());
    let packed = picture.encode_png();
    let mut bytes = packed.map_err(|e| PngError::Packing(e.to_string()))?;
    // How large it is on paper, too.
    let chunks = [signed(), sized(dots_per_inch)].concat();
    bytes.splice(HEAD..HEAD, chunks);
    Ok(bytes)
}

/// The length of what every PNG file begins with: its signature and the chunk with its size.
const HEAD: usize = 33;
const SOFTWARE: &[u8] = b"tEXtSoftware\0tuckwright";

/// The chunk that tells which program made the picture.
fn signed() -> Vec<u8> {
    chunk(SOFTWARE)
}

/// The chunk that tells how many dots there are in a metre, across and up (PNG, 11.3.4.3).
fn sized(dots_per_inch: u32) -> Vec<u8> {
    let metre = (u64::from(dots_per_inch) * 1_000_000_000 / Length::INCH.nm() as u64) as u32;
    let dots = metre.to_be_bytes();
    chunk(&[b"pHYs", &dots[..], &dots[..], &[1]].concat())
}

/// A chunk with its length and its check.
fn chunk(content: &[u8]) -> Vec<u8> {
    // The name of a chunk, four bytes, is not counted.
    let length = (content.len() - 4) as u32;
    let check = crc32fast::hash(content);
    [&length.to_be_bytes(), content, &check.to_be_bytes()].concat()
}

/// Whether a file that begins so was made here.
pub fn is_ours(head: &[u8]) -> bool {
    head.get(HEAD..)
        .is_some_and(|rest| rest.starts_with(&signed()))
}
