//! The size of a picture and when it was taken, off the head of its file: JPEG, PNG, WebP, HEIC, AVIF.
//! No picture is decoded.

use super::{HeadError, heic};
use crate::text::Place;
use exif::{In, Tag};
use imagesize::ImageType;
use std::io::{BufRead, Seek, SeekFrom};

/// How the names of pictures end.
pub const ENDINGS: [&str; 8] = ["jpg", "jpeg", "jpe", "png", "webp", "heic", "heif", "avif"];
/// The most pixels of a side.
pub const MOST_PIXELS: u64 = 1_000_000;

/// What a picture's head says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Head {
    /// Width and height as it is looked at, in pixels.
    pub sides: (i64, i64),
    pub date: Option<String>,
    /// A turn that is none of the eight there are.
    pub odd_turn: Option<u32>,
}

/// Reads the head of a picture.
///
/// # Errors
/// Why it gives no size.
pub fn read(file: &mut (impl BufRead + Seek)) -> Result<Head, HeadError> {
    let mut start = [0; 32];
    let mut got = 0;
    while let Some(rest) = start.get_mut(got..) {
        match file.read(rest) {
            Ok(0) | Err(_) => break,
            Ok(more) => got += more,
        }
    }
    let start = start.get(..got).unwrap_or_default();
    let kind = imagesize::image_type(start).map_err(|_| HeadError::NoPicture)?;
    let back = |file: &mut dyn Seek| {
        file.seek(SeekFrom::Start(0))
            .map_err(|_| HeadError::CutShort)
    };
    back(file)?;
    let turned = match kind {
        ImageType::Heif(_) => None,
        ImageType::Jpeg | ImageType::Png | ImageType::Webp => {
            let size = imagesize::reader_size(&mut *file);
            let size = size.map_err(|error| match error {
                imagesize::ImageError::IoError(_) => HeadError::CutShort,
                _ => HeadError::NoSize,
            })?;
            let (mut across, mut up) = (size.width as u64, size.height as u64);
            if start.get(12..16) == Some(b"VP8 ") {
                // Above the fourteen bits of a side stands how it may be enlarged.
                (across, up) = (across & 0x3fff, up & 0x3fff);
            }
            Some((across, up))
        }
        _ => return Err(HeadError::NoPicture),
    };
    let (across, up) = match turned {
        Some(size) => size,
        None => heic::size(file)?,
    };
    if [across, up]
        .iter()
        .any(|side| !(1..=MOST_PIXELS).contains(side))
    {
        return Err(HeadError::Pixels(across, up));
    }
    back(file)?;
    let mut reader = exif::Reader::new();
    reader.continue_on_error(true);
    let exif = reader.read_from_container(file);
    // What is broken there leaves a date out; the size stands.
    let exif = exif
        .or_else(|error| error.distill_partial_result(|_| {}))
        .ok();
    let field = |tag| exif.as_ref()?.get_field(tag, In::PRIMARY);
    let turn = field(Tag::Orientation).and_then(|field| field.value.get_uint(0));
    let (across, up) = match (turned, turn) {
        (Some(_), Some(5..=8)) => (up, across),
        _ => (across, up),
    };
    let date = field(Tag::DateTimeOriginal).and_then(|field| match &field.value {
        exif::Value::Ascii(texts) => date(texts.first()?),
        _ => None,
    });
    Ok(Head {
        sides: (
            i64::try_from(across).unwrap_or(1),
            i64::try_from(up).unwrap_or(1),
        ),
        date,
        odd_turn: turn.filter(|turn| turned.is_some() && !(1..=8).contains(turn)),
    })
}

/// `2024:07:01 09:30:00`; blanks and noughts stand for none.
fn date(bytes: &[u8]) -> Option<String> {
    let text = std::str::from_utf8(bytes).ok()?.trim_end_matches('\0');
    let form = b"0000:00:00 00:00:00";
    let same = |(sign, form): (u8, &u8)| match form {
        b'0' => sign.is_ascii_digit(),
        form => sign == *form,
    };
    let fits = text.len() == form.len() && text.bytes().zip(form).all(same);
    (fits && !text.starts_with("0000")).then(|| text.to_owned())
}

/// A photo of a folder, as its head gives it.
pub fn photo(name: String, head: Result<Head, super::NoSize>) -> super::Photo {
    let (date, odd_turn) = match &head {
        Ok(head) => (head.date.clone(), head.odd_turn),
        Err(_) => (None, None),
    };
    super::Photo {
        name,
        place: Place::default(),
        sides: head.map(|head| head.sides),
        pixels: true,
        date,
        odd_turn,
    }
}
