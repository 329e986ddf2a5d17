//! A table of photos as a maker types it or a spreadsheet writes it: a line a photo, in their order.
//!
//! ```text
//! name,width,height
//! boat,4032,3024
//! ```
//!
//! The first line names the columns, in any order: `name`, and `width` and `height` in pixels or
//! `shape`. Other columns are left alone.

use super::head::MOST_PIXELS;
use super::{MOST_PHOTOS, NoSize, Photo};
use crate::length::parse_ratio;
use crate::text::{
    Entry, Files, Finds, Item, Node, Place, Problem, Rows, Said, Shape, Table, nearest,
};
use std::collections::HashMap;
use std::ops::Range;
use thiserror::Error;

const PHOTO: Shape = Shape {
    what: "a photo",
    keys: &[
        ("name", "boat"),
        ("width", "4032"),
        ("height", "3024"),
        ("shape", "4:3"),
    ],
    required: &["name"],
    top: &[],
};

/// Something wrong with a table of photos.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum PhotoError {
    #[error("the list has no photos")]
    Nothing,
    #[error("there is no column `name`")]
    NoName,
    #[error("the column `{written}` is not known")]
    Near { written: String, near: &'static str },
    #[error("two columns are headed `{name}`")]
    ColumnTwice { name: &'static str },
    #[error("the closing quote is missing")]
    Quote,
    #[error("this line has {has} fields; the first line has {wants}")]
    Fields { has: usize, wants: usize },
    #[error("`{written}` is not a number of pixels")]
    Pixels { written: String },
    #[error("`{written}` is not the shape of a photo")]
    Shape { written: String },
    #[error("one side has no other: the line gives {has} alone")]
    Half { has: &'static str },
    #[error("two photos are named `{name}`")]
    Twice { name: String, first: Place },
    #[error("there are more than {MOST_PHOTOS} photos from here on")]
    TooMany,
}

impl Problem for PhotoError {
    fn help(&self) -> Option<String> {
        use PhotoError as E;
        Some(match self {
            E::Nothing => "type a line for each photo: `boat,4032,3024`".to_owned(),
            E::NoName => "begin with the line `name,width,height`".to_owned(),
            E::Near { near, .. } => format!("did you mean `{near}`?"),
            E::ColumnTwice { .. } => "delete one of them".to_owned(),
            E::Quote => "type `\"` behind the text, or delete the first quote".to_owned(),
            E::Fields { .. } => "type double quotes around a field with a comma in it".to_owned(),
            E::Pixels { .. } => {
                format!("type a whole number from 1 to {MOST_PIXELS}, or leave it empty")
            }
            E::Shape { .. } => "type two sides, like `4:3`".to_owned(),
            E::Half { .. } => "type both `width` and `height`, in pixels".to_owned(),
            E::Twice { .. } => "give one of them another name".to_owned(),
            E::TooMany => "arrange them as several albums".to_owned(),
        })
    }

    fn also(&self) -> Vec<(Place, String)> {
        match self {
            PhotoError::Twice { first, .. } => vec![(*first, "the first one is named".to_owned())],
            _ => Vec::new(),
        }
    }
}

/// Reads a list that was taken up into `files`. A photo without a size is no fault.
pub fn read(files: &Files, file: u32, faults: &Finds) -> Vec<Photo> {
    let Some((rows, first)) = Rows::open(files, file) else {
        let place = Place::new(file, 0, 0);
        faults.tell(place, PhotoError::Nothing);
        return Vec::new();
    };
    let cells = |line: &Range<usize>, faults: &Finds| {
        let trimmed = |said: Said<String>| Said {
            value: said.value.trim().to_owned(),
            ..said
        };
        let quote = |place| faults.tell(place, PhotoError::Quote);
        let cells = rows.cells(files, line).map_err(quote).ok()?;
        Some(cells.into_iter().map(trimmed).collect::<Vec<_>>())
    };
    let before = faults.len();
    let head = cells(&first, faults).unwrap_or_default();
    let columns = columns(&head, faults);
    let place = rows.place(&first);
    if !columns.contains(&Some("name")) && faults.len() == before {
        faults.tell(place, PhotoError::NoName);
    }
    if faults.len() > before {
        return Vec::new();
    }
    let mut photos = Vec::new();
    let mut names: HashMap<String, Place> = HashMap::new();
    for (n, line) in rows.rows.iter().enumerate() {
        let place = rows.place(line);
        if n == MOST_PHOTOS {
            faults.tell(place, PhotoError::TooMany);
            break;
        }
        let Some(fields) = cells(line, faults) else {
            continue;
        };
        let (has, wants) = (fields.len(), columns.len());
        if fields
            .iter()
            .skip(wants)
            .any(|field| !field.value.is_empty())
        {
            faults.tell(place, PhotoError::Fields { has, wants });
            continue;
        }
        let Some(photo) = photo(&columns, fields, place, faults) else {
            continue;
        };
        match names.get(&photo.name) {
            Some(first) => {
                let (name, first) = (photo.name, *first);
                faults.tell(place, PhotoError::Twice { name, first });
            }
            None => {
                names.insert(photo.name.clone(), place);
                photos.push(photo);
            }
        }
    }
    if photos.is_empty() && faults.len() == before {
        faults.tell(place, PhotoError::Nothing);
    }
    photos
}

/// What each column is; `None` of those that are left alone.
fn columns(head: &[Said<String>], faults: &Finds) -> Vec<Option<&'static str>> {
    let known = || PHOTO.keys.iter().map(|(key, _)| *key);
    let mut columns = Vec::new();
    for said in head {
        let (place, written) = (said.place, said.value.clone());
        let plain = written.to_lowercase();
        let column = known().find(|key| *key == plain);
        match (column, nearest(&plain, known())) {
            (Some(name), _) if columns.contains(&column) => {
                faults.tell(place, PhotoError::ColumnTwice { name });
            }
            (None, Some(near)) => {
                let near = known().find(|key| *key == near).unwrap_or("name");
                faults.tell(place, PhotoError::Near { written, near });
            }
            _ => {}
        }
        columns.push(column);
    }
    columns
}

fn photo(
    columns: &[Option<&'static str>],
    fields: Vec<Said<String>>,
    place: Place,
    faults: &Finds,
) -> Option<Photo> {
    let before = faults.len();
    let said: Vec<(&str, Said<String>)> = columns
        .iter()
        .zip(fields)
        .filter_map(|(column, said)| Some(((*column)?, said)))
        .filter(|(_, said)| !said.value.is_empty())
        .collect();
    // As a table, so that a name is held to what every name is.
    let entries = said.iter().filter(|(key, _)| *key == "name");
    let entries = entries.map(|(key, said)| Entry {
        key: said.with((*key).to_owned()),
        item: Item {
            place: said.place,
            node: Node::Text(said.value.clone()),
        },
    });
    let entries: Vec<Entry> = entries.collect();
    let name = Table::open(&entries, place, &PHOTO, faults).name("name");
    let field = |key: &str| {
        said.iter()
            .find(|(known, _)| *known == key)
            .map(|(_, said)| said)
    };
    let pixels = |key: &str, faults: &Finds| {
        let said = field(key)?;
        let number = said.value.parse::<u64>().ok();
        let number = number.filter(|n| (1..=MOST_PIXELS).contains(n));
        if number.is_none() {
            let (place, written) = (said.place, said.value.clone());
            faults.tell(place, PhotoError::Pixels { written });
        }
        i64::try_from(number?).ok()
    };
    let (width, height) = (pixels("width", faults), pixels("height", faults));
    for (has, other) in [("width", "height"), ("height", "width")] {
        if field(has).is_some() && field(other).is_none() {
            faults.tell(place, PhotoError::Half { has });
        }
    }
    let shape = field("shape").and_then(|said| {
        let read = parse_ratio(&said.value).ok();
        let read = read.filter(|ratio| *ratio.numer() > 0 && said.value.contains(':'));
        if read.is_none() {
            let (place, written) = (said.place, said.value.clone());
            faults.tell(place, PhotoError::Shape { written });
        }
        read.map(|ratio| (*ratio.numer(), *ratio.denom()))
    });
    let counted = width.zip(height);
    (faults.len() == before).then_some(Photo {
        name: name?.value,
        place,
        sides: counted.or(shape).ok_or(NoSize::NotGiven),
        pixels: counted.is_some(),
        date: None,
        odd_turn: None,
    })
}
