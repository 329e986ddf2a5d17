//! A list of pieces as a maker types it or a spreadsheet writes it: one line a size.
//!
//! ```text
//! name,width,height,count,turn
//! back mat,5 1/8 in,7 3/8 in,5,no
//! ```
//!
//! The first line names the columns, in any order. Fields stand between commas, semicolons or tabs,
//! whichever the first line has, and may stand in quotes. Every wrong field is told with its line.

use super::Want;
use crate::length::{Interval, Length, LengthError, parse_length};
use crate::text::{
    Faults, Files, Finds, Item, Limits, Node, Place, Problem, Rows, Said, TextError, legible,
    listed, nearest, within,
};
use std::ops::Range;
use thiserror::Error;

const SIDES: Limits = Limits::up_to_mm(3_000);
/// Sizes that one list may have.
const MOST_LINES: usize = 1_000;
/// Signs in a name.
const LONGEST_NAME: usize = 200;
const MOST_COUNT: u64 = super::MOST_PIECES;
const MOST_VALUE: u64 = 1_000_000;
const COLUMNS: [&str; 6] = ["name", "width", "height", "count", "turn", "value"];

/// Something wrong with a list.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum ListError {
    #[error("the list has no pieces")]
    Nothing,
    #[error("there is no column `{name}`")]
    NoColumn { name: &'static str },
    #[error("a list has no column `{name}`")]
    Column { name: String },
    #[error("two columns are headed `{name}`")]
    ColumnTwice { name: String },
    #[error("this line has {has} fields; the first line has {wants}")]
    Fields { has: usize, wants: usize },
    #[error("`{column}` is empty")]
    Empty { column: &'static str },
    #[error("`{written}` is not a count")]
    Count { written: String },
    #[error("`{written}` is not a value")]
    Value { written: String },
    #[error("`turn` cannot be `{written}`")]
    Turn { written: String },
    #[error("the name has {has} letters; the most is {LONGEST_NAME}")]
    LongName { has: usize },
    #[error("the closing quote is missing")]
    Quote,
    #[error("there are more than {MOST_LINES} sizes from here on")]
    TooMany,
}

impl Problem for ListError {
    fn help(&self) -> Option<String> {
        use ListError as E;
        Some(match self {
            E::Nothing => "type a line for each size: `tag,2 in,4 in,12,yes`".to_owned(),
            E::NoColumn { .. } => "begin with the line `name,width,height,count,turn`".to_owned(),
            E::Column { name, .. } => {
                let near = nearest(name, COLUMNS);
                let the = near.map_or("the".into(), |n| format!("did you mean `{n}`? The"));
                format!("{the} columns are {}", listed(&COLUMNS))
            }
            E::ColumnTwice { .. } => "delete one of them".to_owned(),
            E::Fields { has, wants, .. } if has > wants => {
                "type double quotes around a field with a comma in it".to_owned()
            }
            E::Fields { .. } => {
                "leave a field empty between two commas, but keep the commas".to_owned()
            }
            E::Empty {
                column: "width" | "height",
                ..
            } => "type a length with its unit, such as `4 3/8 in` or `111 mm`".to_owned(),
            E::Empty { .. } => "type it, or delete the line".to_owned(),
            E::Count { .. } => {
                format!("type a whole number from 1 to {MOST_COUNT}, or delete the line")
            }
            E::Value { .. } => format!("type a whole number from 1 to {MOST_VALUE}"),
            E::Turn { .. } => "type `yes` or `no`".to_owned(),
            E::LongName { .. } => "type a shorter name".to_owned(),
            E::Quote => "type `\"` behind the text, or delete the first quote".to_owned(),
            E::TooMany => "cut them in several lots".to_owned(),
        })
    }
}

/// Reads a list that was taken up into `files`; every piece may come from the paper `paper`.
///
/// # Errors
///
/// Everything that is wrong in it.
pub fn read(files: &Files, file: u32, paper: usize) -> Result<Vec<Want>, Faults> {
    let faults = Finds::default();
    let Some((rows, first)) = Rows::open(files, file) else {
        let place = Place::new(file, 0, 0);
        faults.tell(place, ListError::Nothing);
        return Err(faults.all());
    };
    let table = Lines { files, rows: &rows };
    let columns = table.columns(&first, &faults);
    if !faults.is_empty() {
        return Err(faults.all());
    }
    let mut wants = Vec::new();
    for (n, line) in rows.rows.iter().enumerate() {
        if n == MOST_LINES {
            let place = rows.place(line);
            faults.tell(place, ListError::TooMany);
            break;
        }
        wants.extend(table.want(line, &columns, paper, &faults));
    }
    if wants.is_empty() && faults.is_empty() {
        let place = rows.place(&first);
        faults.tell(place, ListError::Nothing);
    }
    faults.or(Some(wants))
}

#[derive(Clone, Copy)]
struct Lines<'t> {
    files: &'t Files,
    rows: &'t Rows,
}

impl Lines<'_> {
    /// Which column each field of a line is.
    fn columns(self, line: &Range<usize>, faults: &Finds) -> Vec<&'static str> {
        let mut columns: Vec<&'static str> = Vec::new();
        for field in self.fields(line, faults).unwrap_or_default() {
            let (place, name) = (field.place, field.value.trim().to_lowercase());
            match COLUMNS.iter().find(|known| **known == name) {
                Some(known) if columns.contains(known) => {
                    faults.tell(place, ListError::ColumnTwice { name });
                }
                Some(known) => columns.push(known),
                None => faults.tell(place, ListError::Column { name }),
            }
        }
        for name in ["name", "width", "height"] {
            if !columns.contains(&name) {
                let place = self.rows.place(line);
                faults.tell(place, ListError::NoColumn { name });
            }
        }
        columns
    }

    /// The fields of a line.
    fn fields(self, line: &Range<usize>, faults: &Finds) -> Option<Vec<Said<String>>> {
        let fields = self.rows.cells(self.files, line);
        let quote = |place| faults.tell(place, ListError::Quote);
        fields.map_err(quote).ok()
    }

    fn want(
        self,
        line: &Range<usize>,
        columns: &[&'static str],
        paper: usize,
        faults: &Finds,
    ) -> Option<Want> {
        let place = self.rows.place(line);
        let fields = self.fields(line, faults)?;
        if fields.len() != columns.len() {
            let (has, wants) = (fields.len(), columns.len());
            faults.tell(place, ListError::Fields { has, wants });
            return None;
        }
        let field = |column: &str| {
            let at = columns.iter().position(|c| *c == column)?;
            fields.get(at).filter(|f| !f.value.trim().is_empty())
        };
        let empty = |column: &'static str| {
            let at = columns.iter().position(|c| *c == column);
            let place = at.and_then(|at| fields.get(at)).map_or(place, |f| f.place);
            ListError::Empty { column }.at(place)
        };
        let need = |column: &'static str| {
            let field = field(column);
            if field.is_none() {
                faults.add(empty(column));
            }
            field.cloned()
        };
        let (name, width, height) = (need("name"), need("width"), need("height"));
        let name = name.and_then(|said| legible_name(said, faults));
        let side = |column: &str, said: Option<Said<String>>| {
            let said = said?;
            length(column, &said, faults)
        };
        let (width, height) = (side("width", width), side("height", height));
        let number = |column: &str, most: u64, usual: u64| match field(column) {
            None => Ok(usual),
            Some(said) => {
                let number = said.value.trim().parse().ok();
                number
                    .filter(|n| (1..=most).contains(n))
                    .ok_or_else(|| said.clone())
            }
        };
        let count = number("count", MOST_COUNT, 1).map_err(|said| {
            let (place, written) = (said.place, said.value);
            faults.tell(place, ListError::Count { written });
        });
        let value = match field("value") {
            None => Ok(None),
            Some(_) => number("value", MOST_VALUE, 1).map(Some).map_err(|said| {
                let (place, written) = (said.place, said.value);
                faults.tell(place, ListError::Value { written });
            }),
        };
        let turn = match field("turn").map(|said| (said, said.value.trim().to_lowercase())) {
            None => Ok(true),
            Some((_, word)) if ["yes", "true"].contains(&word.as_str()) => Ok(true),
            Some((_, word)) if ["no", "false"].contains(&word.as_str()) => Ok(false),
            Some((said, _)) => {
                let (place, written) = (said.place, said.value.clone());
                faults.tell(place, ListError::Turn { written });
                Err(())
            }
        };
        Some(Want {
            name: name?.value.trim().to_owned(),
            leaf: String::new(),
            place,
            album: 0,
            width: width?,
            height: height?,
            count: count.ok()?,
            turn: turn.ok()?,
            value: value.ok()?,
            papers: vec![paper],
            most_alike: None,
            loose: true,
            twice_off: 0,
        })
    }
}

/// A name that can be printed, and is no longer than a line has room for.
fn legible_name(said: Said<String>, faults: &Finds) -> Option<Said<String>> {
    let (place, has) = (said.place, said.value.trim().chars().count());
    let item = Item {
        place,
        node: Node::Text(said.value),
    };
    let name = legible("name", &item, faults)?;
    if has > LONGEST_NAME {
        faults.tell(place, ListError::LongName { has });
        return None;
    }
    Some(name)
}

fn length(column: &str, said: &Said<String>, faults: &Finds) -> Option<Length> {
    let read: Result<Length, LengthError> = parse_length(&said.value);
    match read {
        Ok(length) => {
            let exact = Interval::exact(length);
            within(column, said, exact, SIDES, faults).then_some(length)
        }
        Err(error) => {
            let place = said.part(error.range());
            faults.tell(place, TextError::Length { error });
            None
        }
    }
}
