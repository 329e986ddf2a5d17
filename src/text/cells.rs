//! Tables of values as text: a line a row, with commas, semicolons or tabs between the values.

use super::{Files, Place, Said};
use std::ops::Range;

/// A table in a file.
pub(crate) struct Rows {
    file: u32,
    between: char,
    /// The rows that say something but for the first one, without the ends of their lines.
    pub rows: Vec<Range<usize>>,
}

impl Rows {
    /// The table, and its first row; `None` if no row says anything. A mark that some programs put first
    /// is left out.
    pub fn open(files: &Files, file: u32) -> Option<(Rows, Range<usize>)> {
        let text = files.text(file);
        let mut at = text.len() - text.trim_start_matches('\u{feff}').len();
        let lines = text[at..].split_inclusive('\n').map(|line| {
            let begins = at;
            at += line.len();
            begins..begins + line.trim_end_matches(['\n', '\r']).len()
        });
        let mut lines = lines.filter(|line| !says_nothing(&text[line.clone()]));
        let first = lines.next()?;
        let between = separator(&text[first.clone()]);
        let rows = lines.collect();
        let table = Rows {
            file,
            between,
            rows,
        };
        Some((table, first))
    }

    /// Where a row stands.
    pub fn place(&self, row: &Range<usize>) -> Place {
        Place::new(self.file, row.start, row.end)
    }

    /// The values of a row.
    ///
    /// # Errors
    ///
    /// Where a quote stands that is not closed.
    pub fn cells(&self, files: &Files, row: &Range<usize>) -> Result<Vec<Said<String>>, Place> {
        let at = |range: Range<usize>| {
            Place::new(self.file, row.start + range.start, row.start + range.end)
        };
        let line = &files.text(self.file)[row.clone()];
        let cells = split_cells(line, self.between).map_err(at)?;
        let said = cells.into_iter().map(|(value, range)| Said {
            place: at(range),
            value,
        });
        Ok(said.collect())
    }
}

/// Whether a line says nothing: it is empty, or a remark.
pub fn says_nothing(line: &str) -> bool {
    let line = line.trim();
    line.is_empty() || line.starts_with('#')
}

/// What stands between the values of a table, read off its first row: whichever stands there most
/// often.
pub(crate) fn separator(line: &str) -> char {
    let most = [',', ';', '\t'].into_iter().rev();
    most.max_by_key(|sign| line.matches(*sign).count())
        .unwrap_or(',')
}

/// The values of a row with where they stand, quotes left out; a doubled quote stands for one, and
/// then what stands there is longer than the value. An inch mark within a value is no quote.
///
/// # Errors
///
/// Where a quote stands that is opened and not closed before the value ends.
pub(crate) fn split_cells(
    line: &str,
    separator: char,
) -> Result<Vec<(String, Range<usize>)>, Range<usize>> {
    let mut cells = Vec::new();
    let mut rest = 0;
    loop {
        let text = &line[rest..];
        let lead = text.len() - text.trim_start_matches(' ').len();
        let (cell, range, end) = match text[lead..].strip_prefix('"') {
            None => {
                let length = text.find(separator).unwrap_or(text.len());
                (
                    text[..length].to_owned(),
                    rest..rest + length,
                    rest + length,
                )
            }
            Some(quoted) => {
                let start = rest + lead + 1;
                let length = closing(quoted).ok_or(start - 1..start)?;
                let after = &quoted[length + 1..];
                let next = after.find(separator).unwrap_or(after.len());
                if !after[..next].trim().is_empty() {
                    return Err(start - 1..start);
                }
                let cell = quoted[..length].replace("\"\"", "\"");
                (cell, start..start + length, start + length + 1 + next)
            }
        };
        cells.push((cell, range));
        if end >= line.len() {
            return Ok(cells);
        }
        rest = end + separator.len_utf8();
    }
}

/// Where a quoted value ends: at the first quote that is not doubled.
fn closing(text: &str) -> Option<usize> {
    let mut from = 0;
    loop {
        let at = from + text[from..].find('"')?;
        match text[at + 1..].starts_with('"') {
            true => from = at + 2,
            false => return Some(at),
        }
    }
}
