//! The size of a picture in a HEIC or AVIF file (ISO/IEC 14496-12 and 23008-12): that of its primary
//! item, clipped and turned as its own properties say. An EXIF turn only informs there.

use super::HeadError;
use std::io::{Read, Seek, SeekFrom};

/// The longest list of items that is read (bytes).
const MOST_META: u64 = 8_000_000;

/// Bytes of one box, read from its start.
struct Bytes<'b>(&'b [u8]);

impl<'b> Bytes<'b> {
    fn take(&mut self, count: usize) -> Option<&'b [u8]> {
        let (head, rest) = self.0.split_at_checked(count)?;
        self.0 = rest;
        Some(head)
    }

    /// A whole number of so many bytes, at most eight.
    fn number(&mut self, bytes: usize) -> Option<u64> {
        let taken = self.take(bytes)?;
        Some(
            taken
                .iter()
                .fold(0, |sum, byte| sum << 8 | u64::from(*byte)),
        )
    }

    /// The next box: its kind and what is in it.
    fn next(&mut self) -> Option<(&'b [u8], Bytes<'b>)> {
        let (size, kind) = (self.number(4)?, self.take(4)?);
        let body = match size {
            0 => self.0.len() as u64,
            1 => self.number(8)?.checked_sub(16)?,
            size => size.checked_sub(8)?,
        };
        Some((kind, Bytes(self.take(usize::try_from(body).ok()?)?)))
    }

    fn find(mut self, wanted: &[u8; 4]) -> Option<Bytes<'b>> {
        while let Some((kind, body)) = self.next() {
            if kind == wanted {
                return Some(body);
            }
        }
        None
    }

    fn again(&self) -> Bytes<'b> {
        Bytes(self.0)
    }

    /// Its version and flags.
    fn version(&mut self) -> Option<(u64, u64)> {
        Some((self.number(1)?, self.number(3)?))
    }
}

/// Width and height of the picture, as it is looked at.
pub(super) fn size(file: &mut (impl Read + Seek)) -> Result<(u64, u64), HeadError> {
    let meta = meta(file)?;
    let mut meta = Bytes(&meta);
    let read = || -> Option<(u64, u64)> {
        meta.version()?;
        let mut primary = meta.again().find(b"pitm")?;
        let (version, _) = primary.version()?;
        let primary = primary.number(if version == 0 { 2 } else { 4 })?;
        let properties = meta.find(b"iprp")?;
        let mut all = Vec::new();
        let mut list = properties.again().find(b"ipco")?;
        while let Some(property) = list.next() {
            all.push(property);
        }
        sides(&all, &of_item(properties, primary)?)
    };
    read().ok_or(HeadError::NoSize)
}

/// Reads the box that lists the items.
fn meta(file: &mut (impl Read + Seek)) -> Result<Vec<u8>, HeadError> {
    let broken = |_| HeadError::CutShort;
    file.seek(SeekFrom::Start(0)).map_err(broken)?;
    loop {
        let mut head = [0; 8];
        file.read_exact(&mut head).map_err(broken)?;
        let mut bytes = Bytes(&head);
        let size = bytes.number(4).unwrap_or(0);
        let size = match size {
            // To the end of the file.
            0 => Some(MOST_META),
            1 => {
                let mut long = [0; 8];
                file.read_exact(&mut long).map_err(broken)?;
                u64::from_be_bytes(long).checked_sub(16)
            }
            size => size.checked_sub(8),
        };
        let body = size.ok_or(HeadError::NoSize)?;
        if bytes.0 == b"meta" {
            let mut meta = Vec::new();
            let most = body.min(MOST_META);
            file.take(most).read_to_end(&mut meta).map_err(broken)?;
            return Ok(meta);
        }
        let skip = i64::try_from(body).map_err(|_| HeadError::NoSize)?;
        file.seek(SeekFrom::Current(skip)).map_err(broken)?;
    }
}

/// Places of an item's properties, counted from 1, in their order.
fn of_item(mut properties: Bytes<'_>, wanted: u64) -> Option<Vec<u64>> {
    while let Some((kind, mut body)) = properties.next() {
        if kind != b"ipma" {
            continue;
        }
        let (version, flags) = body.version()?;
        for _ in 0..body.number(4)? {
            let item = body.number(if version == 0 { 2 } else { 4 })?;
            let mut own = Vec::new();
            for _ in 0..body.number(1)? {
                // The first bit marks what a reader must know.
                own.push(match flags & 1 {
                    0 => body.number(1)? & 0x7f,
                    _ => body.number(2)? & 0x7fff,
                });
            }
            if item == wanted {
                return Some(own);
            }
        }
    }
    None
}

/// The size after what is clipped and each quarter turn.
fn sides(all: &[(&[u8], Bytes<'_>)], own: &[u64]) -> Option<(u64, u64)> {
    let mut size = None;
    for property in own {
        // 0 stands for none.
        let Some(at) = property.checked_sub(1) else {
            continue;
        };
        let (kind, body) = all.get(usize::try_from(at).ok()?)?;
        let mut body = body.again();
        match *kind {
            b"ispe" => {
                body.version()?;
                size = Some((body.number(4)?, body.number(4)?));
            }
            b"clap" => {
                let mut side = || body.number(4)?.checked_div(body.number(4)?);
                size = Some((side()?, side()?));
            }
            b"irot" if body.number(1)? & 1 == 1 => size = size.map(|(across, up)| (up, across)),
            _ => {}
        }
    }
    size
}
