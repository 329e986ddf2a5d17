//! Options of `cut`: sheets, lengths that are known exactly, lists of values.

use super::Stop;
use super::disk;
use super::typed::{ANY, Typed, usual_ruler};
use crate::cut::Sheets;
use crate::length::{Interval, Length, Ruler, parse_length};
use crate::text::{self, Fault, Place, Said};
use std::path::Path;

/// The most sheets of one size that may be at hand.
const MOST_SHEETS: u64 = 1_000_000;

/// A number of sheets that is none.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("`{written}` is not a number of sheets")]
struct SheetError {
    place: Place,
    written: String,
}

impl Fault for SheetError {
    fn place(&self) -> Place {
        self.place
    }

    fn help(&self) -> Option<String> {
        Some(format!(
            "type a whole number from 1 to {MOST_SHEETS}: `--sheet \"12 x 12 in: 3\"`"
        ))
    }
}

impl Typed {
    /// One length, known exactly; it may be nothing.
    pub fn exact(&mut self, option: &str, text: &str) -> Option<Length> {
        let said = self.said(option, text);
        let length = self.read(&said, parse_length(text))?;
        let sane = self.sane(option, &said, Interval::exact(length), ANY);
        sane.then_some(length)
    }

    /// Sheets of one size: `12 x 12 in`, or `12 x 12 in: 3`. Their least counts.
    pub fn sheets(&mut self, text: &str) -> Option<Sheets> {
        let option = "--sheet";
        let said = self.said(option, text);
        let (size, count) = match text.split_once(':') {
            None => (text, None),
            Some((size, count)) => {
                let written = count.trim();
                let number = written
                    .parse()
                    .ok()
                    .filter(|n| (1..=MOST_SHEETS).contains(n));
                if number.is_none() {
                    let place = said.part(text.len() - count.len()..text.len());
                    let written = written.to_owned();
                    self.faults.add(SheetError { place, written });
                    return None;
                }
                (size, number)
            }
        };
        let place = said.part(0..size.len());
        let value = size.to_owned();
        let (width, height) = self.size_of(option, &Said { value, place })?;
        Some(Sheets {
            width: width.least(),
            height: height.least(),
            count,
            offcut: false,
            place,
        })
    }

    /// The ruler that is typed, or the usual one for what a size is written in.
    pub fn ruler(&mut self, text: &Option<String>, written: &str) -> Option<Ruler> {
        match text {
            Some(text) => {
                let said = self.said("--ruler", text);
                self.read(&said, Ruler::parse(text))
            }
            None => usual_ruler(written),
        }
    }

    /// Takes up a list of values; its number, or `None` if it is no text, which is reported.
    pub fn list(&mut self, path: &Path) -> Result<Option<u32>, Stop> {
        let name = path.display().to_string();
        let bytes = disk::bytes(path).map_err(|why| Stop::Told(format!("{name}: {why}")))?;
        let file = text::decode(&mut self.files, name, bytes);
        Ok(file.map_err(|fault| self.faults.add(fault)).ok())
    }
}
