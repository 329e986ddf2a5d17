//! Bags that are compared, from files: supplies as TOML, which are read whole, and tables of values,
//! which are read row by row.

use super::output::look;
use super::typed::Typed;
use super::{Stop, disk, usage};
use crate::compare::{At, Candidate};
use crate::length::Unit;
use crate::supplies::rows::{self, Columns};
use crate::supplies::shelf::Shelf;
use crate::supplies::text::read;
use crate::text::{self, Faults, Files, Place, Problem, TextError};
use std::collections::VecDeque;
use std::io::{BufRead, BufReader, Read};
use std::path::{Path, PathBuf};

/// A line that is longer than a row may be is left out; one that is longer than this is no line of a
/// table, and the file is not read on.
const LONGEST_LINE: usize = 1_000_000;

/// Wrong rows that are shown; the others are counted.
const MOST_SHOWN: u64 = 20;

/// What is wrong with a file of bags.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
enum BagsError {
    #[error("{why}")]
    File { why: String },
    #[error("the file has no bag")]
    NoBag,
}

impl Problem for BagsError {
    fn help(&self) -> Option<String> {
        Some(match self {
            BagsError::File { .. } => {
                "name a file of bags: supplies, like `--bags bags.toml`, or a table, like `--bags bags.csv`".to_owned()
            }
            BagsError::NoBag => "add a line `[[bag]]`, and what belongs to it below".to_owned(),
        })
    }
}

/// Bags, one after the other; rows that are wrong are left out, and told when all are read.
pub(super) struct Bags {
    sources: VecDeque<Source>,
    /// What is wrong with the first few wrong rows.
    files: Files,
    faults: Faults,
    pub wrong_rows: u64,
    /// A file could not be read to its end.
    broken: Option<String>,
    /// What is said of columns that are left alone, file by file.
    left_alone: String,
    pub names: Vec<String>,
}

enum Source {
    List(std::vec::IntoIter<Candidate>),
    Rows(Rows),
}

struct Rows {
    name: String,
    reader: Box<dyn BufRead + Send>,
    columns: Columns,
    file: u32,
    line: u32,
}

impl Bags {
    /// Bags that are at hand already.
    pub fn of(bags: Vec<Candidate>, names: Vec<String>) -> Bags {
        Bags {
            sources: VecDeque::from([Source::List(bags.into_iter())]),
            files: Files::default(),
            faults: Faults::new(),
            wrong_rows: 0,
            broken: None,
            left_alone: String::new(),
            names,
        }
    }

    /// Begins to read files, after bags that are at hand. What is wrong with a file of supplies, or
    /// with the headings of a table, is reported before anything is worked out.
    pub fn open(mut self, paths: &[PathBuf], unit: Option<&str>) -> Result<Bags, Stop> {
        let mut typed = Typed::default();
        let unit = match unit {
            None => None,
            Some(text) => {
                let said = typed.said("--unit", text);
                let unit = rows::unit_of(text);
                if unit.is_none() {
                    let (place, written) = (said.place, said.value);
                    typed.faults.tell(place, rows::RowError::Unit { written });
                }
                unit
            }
        };
        for path in paths {
            let number = self.names.len() as u32;
            self.names.push(path.display().to_string());
            if let Some(source) = self.source(&mut typed, path, number, unit) {
                self.sources.push_back(source);
            }
        }
        typed.done()?;
        Ok(self)
    }

    fn source(
        &mut self,
        typed: &mut Typed,
        path: &Path,
        number: u32,
        unit: Option<Unit>,
    ) -> Option<Source> {
        let supplies = path
            .extension()
            .is_some_and(|e| e.eq_ignore_ascii_case("toml"));
        let opened = match supplies {
            true => disk::bytes(path).map(|bytes| supplied(typed, path, number, bytes)),
            false => self.table(typed, path, number, unit),
        };
        opened.unwrap_or_else(|why| {
            let place = typed.said("--bags", &path.display().to_string()).place;
            typed.faults.tell(place, BagsError::File { why });
            None
        })
    }

    /// Begins a table: its first row that says something names the columns.
    fn table(
        &mut self,
        typed: &mut Typed,
        path: &Path,
        number: u32,
        unit: Option<Unit>,
    ) -> Result<Option<Source>, String> {
        let name = path.display().to_string();
        let mut reader: Box<dyn BufRead + Send> = Box::new(BufReader::new(disk::open(path)?));
        let mut line = 0;
        loop {
            line += 1;
            let text = match next_line(&mut reader) {
                Ok(None) => {
                    let place = Place::new(typed.file(&name, "", 1), 0, 0);
                    let example = "name,width,gusset,height";
                    typed.faults.tell(place, TextError::Nothing { example });
                    return Ok(None);
                }
                Ok(Some(text)) => text,
                Err(error) => return Err(format!("it could not be read: {error}")),
            };
            let text = String::from_utf8_lossy(&text).into_owned();
            if crate::text::says_nothing(&text) {
                continue;
            }
            let file = typed.file(&name, &text, line);
            let Some(columns) = rows::columns(&text, file, unit, &typed.faults) else {
                return Ok(None);
            };
            if let Some(left) = rows::left_alone(&columns) {
                self.left_alone.push_str(&format!("{name}: {left}\n"));
            }
            return Ok(Some(Source::Rows(Rows {
                name,
                reader,
                columns,
                file: number,
                line: line as u32,
            })));
        }
    }

    /// Tells what is wrong with rows, and which columns were left alone, on stderr.
    pub fn wrong(&self) -> Result<String, Stop> {
        if let Some(why) = &self.broken {
            return Err(Stop::Told(why.clone()));
        }
        let mut text = match self.faults.is_empty() {
            true => String::new(),
            false => text::render(&self.files, &self.faults, look()),
        };
        text.push_str(&self.left_alone);
        if self.wrong_rows > 0 {
            let rows = match self.wrong_rows {
                1 => "1 row is wrong and was left out".to_owned(),
                n if n > MOST_SHOWN => {
                    format!("{n} rows are wrong and were left out; {MOST_SHOWN} of them are shown")
                }
                n => format!("{n} rows are wrong and were left out"),
            };
            text.push_str(&format!("{rows}; the others were compared.\n"));
        }
        Ok(text)
    }

    fn row(&mut self, rows: &mut Rows) -> Option<Candidate> {
        loop {
            rows.line = rows.line.saturating_add(1);
            let bytes = match next_line(&mut rows.reader) {
                Ok(Some(bytes)) => bytes,
                Ok(None) => return None,
                Err(error) => {
                    let name = &rows.name;
                    self.broken = Some(format!("{name}: it could not be read: {error}"));
                    return None;
                }
            };
            let line = String::from_utf8_lossy(&bytes);
            if crate::text::says_nothing(&line) {
                continue;
            }
            let file = self.files.next();
            let read = match &line {
                _ if bytes.len() > rows::LONGEST_ROW => rows::row(&rows.columns, &line, file),
                std::borrow::Cow::Borrowed(line) => rows::row(&rows.columns, line, file),
                std::borrow::Cow::Owned(line) => Err(not_text(line, &bytes, file)),
            };
            match read {
                Ok(bag) => {
                    let at = At {
                        file: rows.file,
                        line: rows.line,
                    };
                    return Some(Candidate { bag, at });
                }
                Err(faults) => {
                    self.wrong_rows += 1;
                    if self.wrong_rows <= MOST_SHOWN {
                        let number = rows.line as usize;
                        // A row that is too long is not shown.
                        let shown = if line.len() > rows::LONGEST_ROW {
                            ""
                        } else {
                            &*line
                        };
                        self.files.add_from_line(rows.name.clone(), shown, number);
                        self.faults.extend(faults);
                    }
                }
            }
        }
    }
}

impl Iterator for Bags {
    type Item = Candidate;

    fn next(&mut self) -> Option<Candidate> {
        loop {
            let mut source = self.sources.pop_front()?;
            let next = match &mut source {
                Source::List(list) => list.next(),
                Source::Rows(rows) => self.row(rows),
            };
            if next.is_some() {
                self.sources.push_front(source);
                return next;
            }
        }
    }
}

fn not_text(line: &str, bytes: &[u8], file: u32) -> Faults {
    let position = std::str::from_utf8(bytes).map_or_else(|e| e.valid_up_to(), |_| 0);
    let byte = bytes.get(position).copied().unwrap_or(0);
    let place = Place::new(file, 0, line.len());
    vec![Box::new(TextError::NotText { byte, position }.at(place))]
}

/// The bags of a file of supplies.
fn supplied(typed: &mut Typed, path: &Path, number: u32, bytes: Vec<u8>) -> Option<Source> {
    let name = path.display().to_string();
    let file = typed.decoded(name, bytes)?;
    let mut shelf = Shelf::default();
    let before = typed.faults.len();
    read(&typed.files, file, &mut shelf, &typed.faults);
    if typed.faults.len() > before {
        return None;
    }
    if shelf.supplies.bags.is_empty() {
        let place = Place::new(file, 0, 0);
        typed.faults.tell(place, BagsError::NoBag);
        return None;
    }
    let bags = shelf.supplies.bags.into_iter().map(|bag| {
        let line = typed.line(bag.place) as u32;
        Candidate {
            bag,
            at: At { file: number, line },
        }
    });
    Some(Source::List(bags.collect::<Vec<_>>().into_iter()))
}

/// The bytes of the next line, without its end; a line that is too long is cut off, and told as such
/// by its length.
fn next_line(reader: &mut impl BufRead) -> std::io::Result<Option<Vec<u8>>> {
    let most = rows::LONGEST_ROW as u64 + 1;
    let mut line = Vec::new();
    if reader.by_ref().take(most).read_until(b'\n', &mut line)? == 0 {
        return Ok(None);
    }
    if line.last() != Some(&b'\n') && line.len() as u64 == most {
        skip_line(reader)?;
    }
    while matches!(line.last(), Some(b'\n' | b'\r')) {
        line.pop();
    }
    Ok(Some(line))
}

fn skip_line(reader: &mut impl BufRead) -> std::io::Result<()> {
    let mut skipped = 0;
    loop {
        let some = reader.fill_buf()?;
        if skipped > LONGEST_LINE {
            let why =
                format!("a line is longer than {LONGEST_LINE} bytes; begin one for every bag");
            return Err(std::io::Error::other(why));
        }
        if some.is_empty() {
            return Ok(());
        }
        let end = some.iter().position(|b| *b == b'\n');
        let used = end.map_or(some.len(), |at| at + 1);
        skipped += used;
        reader.consume(used);
        if end.is_some() {
            return Ok(());
        }
    }
}

/// No file of bags was named, and there are no others.
pub(super) fn no_bags() -> Stop {
    let message = "name the bags: `--bags bags.csv`, or supplies with bags in the album";
    usage("compare", message)
}
