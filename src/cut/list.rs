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
use crate::length::{Interval, Length, parse_length};
use crate::text::{
    Faults, Files, Finds, Item, Limits, Node, Place, Rows, Said, Wrong, legible, listed, nearest,
    within,
};
use std::ops::Range;

const SIDES: Limits = Limits::up_to_mm(3_000);
/// Sizes that one list may have.
const MOST_LINES: usize = 1_000;
/// Signs in a name.
const LONGEST_NAME: usize = 200;
const MOST_COUNT: u64 = super::MOST_PIECES;
const MOST_VALUE: u64 = 1_000_000;
const COLUMNS: [&str; 6] = ["name", "width", "height", "count", "turn", "value"];

/// Reads a list that was taken up into `files`; every piece may come from the paper `paper`.
///
/// # Errors
///
/// Everything that is wrong in it.
pub fn read(files: &Files, file: u32, paper: usize) -> Result<Vec<Want>, Faults> {
    let faults = Finds::default();
    let Some((rows, first)) = Rows::open(files, file) else {
        faults.tell(Place::new(file, 0, 0), no_pieces());
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
            let what = format!("there are more than {MOST_LINES} sizes from here on");
            let wrong = Wrong::new(what, "cut them in several lots");
            faults.tell(rows.place(line), wrong);
            break;
        }
        wants.extend(table.want(line, &columns, paper, &faults));
    }
    if wants.is_empty() && faults.is_empty() {
        faults.tell(rows.place(&first), no_pieces());
    }
    faults.or(Some(wants))
}

fn no_pieces() -> Wrong {
    let help = "type a line for each size: `tag,2 in,4 in,12,yes`";
    Wrong::new("the list has no pieces", help)
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
                    let what = format!("two columns are headed `{name}`");
                    faults.tell(place, Wrong::new(what, "delete one of them"));
                }
                Some(known) => columns.push(known),
                None => {
                    let near = nearest(&name, COLUMNS);
                    let the = near.map_or("the".into(), |n| format!("did you mean `{n}`? The"));
                    let help = format!("{the} columns are {}", listed(&COLUMNS));
                    let what = format!("a list has no column `{name}`");
                    faults.tell(place, Wrong::new(what, help));
                }
            }
        }
        for name in ["name", "width", "height"] {
            if !columns.contains(&name) {
                let what = format!("there is no column `{name}`");
                let wrong = Wrong::new(what, "begin with the line `name,width,height,count,turn`");
                faults.tell(self.rows.place(line), wrong);
            }
        }
        columns
    }

    /// The fields of a line.
    fn fields(self, line: &Range<usize>, faults: &Finds) -> Option<Vec<Said<String>>> {
        let fields = self.rows.cells(self.files, line);
        let help = "type `\"` behind the text, or delete the first quote";
        let quote = |place| faults.tell(place, Wrong::new("the closing quote is missing", help));
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
            let what = format!("this line has {has} fields; the first line has {wants}");
            let help = match has > wants {
                true => "type double quotes around a field with a comma in it",
                false => "leave a field empty between two commas, but keep the commas",
            };
            faults.tell(place, Wrong::new(what, help));
            return None;
        }
        let field = |column: &str| {
            let at = columns.iter().position(|c| *c == column)?;
            fields.get(at).filter(|f| !f.value.trim().is_empty())
        };
        let need = |column: &str| {
            let field = field(column);
            if field.is_none() {
                let at = columns.iter().position(|c| *c == column);
                let place = at.and_then(|at| fields.get(at)).map_or(place, |f| f.place);
                let help = match column {
                    "name" => "type it, or delete the line",
                    _ => "type a length with its unit, such as `4 3/8 in` or `111 mm`",
                };
                faults.tell(place, Wrong::new(format!("`{column}` is empty"), help));
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
            let what = format!("`{}` is not a count", said.value);
            let help = format!("type a whole number from 1 to {MOST_COUNT}, or delete the line");
            faults.tell(said.place, Wrong::new(what, help));
        });
        let value = match field("value") {
            None => Ok(None),
            Some(_) => number("value", MOST_VALUE, 1).map(Some).map_err(|said| {
                let what = format!("`{}` is not a value", said.value);
                let help = format!("type a whole number from 1 to {MOST_VALUE}");
                faults.tell(said.place, Wrong::new(what, help));
            }),
        };
        let turn = match field("turn").map(|said| (said, said.value.trim().to_lowercase())) {
            None => Ok(true),
            Some((_, word)) if ["yes", "true"].contains(&word.as_str()) => Ok(true),
            Some((_, word)) if ["no", "false"].contains(&word.as_str()) => Ok(false),
            Some((said, _)) => {
                let what = format!("`turn` cannot be `{}`", said.value);
                faults.tell(said.place, Wrong::new(what, "type `yes` or `no`"));
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
        let what = format!("the name has {has} letters; the most is {LONGEST_NAME}");
        faults.tell(place, Wrong::new(what, "type a shorter name"));
        return None;
    }
    Some(name)
}

fn length(column: &str, said: &Said<String>, faults: &Finds) -> Option<Length> {
    let length = said.read(parse_length(&said.value), faults)?;
    within(column, said, Interval::exact(length), SIDES, faults).then_some(length)
}
