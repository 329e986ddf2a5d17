//! Readers: whatever a text says, they answer; every fault has its place in the text and can be
//! shown; the same text gives the same answer.

use tuckwright::album::{self, Album};
use tuckwright::cut::list;
use tuckwright::length::{
    Interval, Length, LengthError, Ruler, Sides, Unit, parse_interval, parse_length, parse_ratio,
    parse_sides, parse_size, written_unit,
};
use tuckwright::program::expand::expand;
use tuckwright::style::{self, Style, grammar};
use tuckwright::supplies::shelf::Shelf;
use tuckwright::supplies::{self, rows, weight};
use tuckwright::text::{self, Fault, Faults, Files, Finds, Look, Place};

/// Between an album and the file that it gets, whichever one it names.
const NEXT_FILE: &str = "\n#####\n";

/// Reads lengths, sizes and ratios; what is read is shown and read again.
pub fn lengths(text: &str) {
    faulty(text, parse_length(text).map(again));
    faulty(text, parse_interval(text).map(interval_again));
    faulty(
        text,
        parse_size(text).map(|sides| sides_again(&[sides.0, sides.1])),
    );
    faulty(
        text,
        parse_sides(text).map(|sides| match sides.gusset {
            None => assert_eq!(parse_size(text), Ok((sides.width, sides.height))),
            Some(gusset) => sides_again(&[sides.width, gusset, sides.height]),
        }),
    );
    faulty(
        text,
        parse_ratio(text).map(|ratio| {
            let (over, under) = (*ratio.numer(), *ratio.denom());
            assert!(over >= 0 && under > 0);
            assert_eq!(parse_ratio(&format!("{over}/{under}")), Ok(ratio));
        }),
    );
    faulty(
        text,
        Ruler::parse(text).map(|ruler| {
            let read = Ruler::parse(&ruler.to_string());
            assert_eq!(read.map(Ruler::step), Ok(ruler.step()));
        }),
    );
    faulty(text, style::value(text).map(|_| ()));
    let _ = (written_unit(text), rows::unit_of(text));
    for problem in [
        weight::parse(text)
            .map(|weight| weight.caliper(None))
            .map(|_| ()),
        weight::parse_bulk(text).map(drop),
    ] {
        if let Err((problem, bytes)) = problem {
            assert!(text.get(bytes).is_some(), "{problem}");
            let _ = problem.help();
        }
    }
}

fn faulty(text: &str, read: Result<(), LengthError>) {
    if let Err(error) = read {
        assert!(text.get(error.range()).is_some(), "{error:?}");
        let _ = (error.to_string(), error.help());
    }
}

fn rulers() -> [Ruler; 3] {
    [Unit::Inch, Unit::Millimetre, Unit::Centimetre]
        .map(|unit| Ruler::new(Length::MM, unit).expect("1 mm is a step"))
}

fn again(length: Length) {
    assert!(Length::ZERO <= length && length <= Length::LARGEST);
    for ruler in rulers() {
        assert_eq!(parse_length(&ruler.show(length)), Ok(length));
        assert_eq!(parse_length(&ruler.show_typographic(length)), Ok(length));
    }
}

fn interval_again(interval: Interval) {
    for ruler in rulers() {
        assert_eq!(parse_interval(&ruler.show_interval(interval)), Ok(interval));
        let pretty = ruler.show_interval_typographic(interval);
        assert_eq!(parse_interval(&pretty), Ok(interval));
    }
}

fn sides_again(sides: &[Interval]) {
    sides.iter().for_each(|side| interval_again(*side));
    let least: Vec<Length> = sides.iter().map(|side| side.least()).collect();
    let exact: Vec<Interval> = least.iter().map(|side| Interval::exact(*side)).collect();
    for ruler in rulers() {
        let (width, gusset, height) = match exact[..] {
            [width, height] => (width, None, height),
            [width, gusset, height] => (width, Some(gusset), height),
            _ => unreachable!(),
        };
        let again = Sides {
            width,
            gusset,
            height,
        };
        assert_eq!(parse_sides(&ruler.show_sides(&least)), Ok(again));
    }
}

/// Every fault lies in its file, and all of them can be shown.
pub fn shown(files: &Files, faults: &[Box<dyn Fault>]) -> String {
    assert!(!faults.is_empty());
    for fault in faults {
        let also = fault.also().into_iter().map(|(place, _)| place);
        for place in std::iter::once(fault.place()).chain(also) {
            let text = files.text(place.file);
            let bytes = place.start as usize..place.end as usize;
            assert!(text.get(bytes).is_some(), "{fault:?} {place:?}");
        }
        let _ = (fault.to_string(), fault.also(), fault.help());
    }
    let _ = text::render(files, faults, Look::Screen(100));
    let plain = text::render(files, faults, Look::Plain);
    let control = |c: char| c.is_control() && !matches!(c, '\n' | '\t');
    assert!(!plain.contains(control), "{plain:?}");
    plain
}

/// Takes up bytes as a file.
fn decoded(files: &mut Files, name: &str, bytes: &[u8]) -> Option<u32> {
    match text::decode(files, name, bytes.to_vec()) {
        Ok(file) => Some(file),
        Err(fault) => {
            shown(files, &[Box::new(fault)]);
            None
        }
    }
}

/// Reads an album; the files that it names are what comes after [`NEXT_FILE`].
pub fn album(bytes: &[u8]) -> Option<(Files, Album)> {
    let mark = NEXT_FILE.as_bytes();
    let cut = bytes.windows(mark.len()).position(|here| here == mark);
    let (album, next) = match cut {
        Some(at) => (&bytes[..at], Some(&bytes[at + mark.len()..])),
        None => (bytes, None),
    };
    let read = || {
        let mut files = Files::default();
        let file = decoded(&mut files, "album.toml", album)?;
        let mut load = |_: &str| match next {
            Some(bytes) => Ok(bytes.to_vec()),
            None => Err("there is no such file".to_owned()),
        };
        let read = album::text::read(&mut files, file, &mut load);
        Some((files, read))
    };
    let (files, one) = read()?;
    let (_, other) = read()?;
    match (one, other) {
        (Ok(one), Ok(other)) => {
            assert_eq!(format!("{one:?}"), format!("{other:?}"));
            Some((files, one))
        }
        (Err(one), Err(other)) => {
            assert_eq!(shown(&files, &one), shown(&files, &other));
            None
        }
        _ => panic!("read once, refused once"),
    }
}

/// The style that is shipped, beside what was read.
pub fn upright(files: &mut Files) -> Style {
    let words = style::shipped::shipped("upright").expect("it is shipped");
    let file = files.add("upright", words);
    style::text::read(files, file).expect("it is a style")
}

/// Supplies, read as a file of their own; what is wrong with them, as it is shown.
pub fn read_supplies(bytes: &[u8]) -> Result<Shelf, String> {
    let mut files = Files::default();
    let file = decoded(&mut files, "supplies.toml", bytes).ok_or("no text")?;
    let (mut shelf, faults) = (Shelf::default(), Finds::default());
    supplies::text::read(&files, file, &mut shelf, &faults);
    shelf.settle(&faults);
    let read = faults.or(Some(shelf));
    read.map_err(|faults| shown(&files, &faults))
}

/// A style.
pub fn style(files: &mut Files, bytes: &[u8]) -> Option<Style> {
    let file = decoded(files, "style.toml", bytes)?;
    match style::text::read(files, file) {
        Ok(style) => Some(style),
        Err(faults) => {
            shown(files, &faults);
            None
        }
    }
}

/// Each line as every kind of text that a rule holds.
pub fn grammar(text: &str) {
    for line in text.lines() {
        let at = Place::new(0, 1_000, 1_000 + line.len());
        let refused = [
            grammar::read_binding(line, at).err(),
            grammar::read_comparison(line, at).err(),
            grammar::read_condition(line, at).err(),
            grammar::read_expr(line, at).err(),
            grammar::read_path(line, at).err(),
            grammar::read_words(line, at).err(),
        ];
        for error in refused.into_iter().flatten() {
            let place = error.place;
            assert!(at.start <= place.start && place.end <= at.end, "{error:?}");
            let bytes = place.start as usize - 1_000..place.end as usize - 1_000;
            assert!(line.get(bytes).is_some(), "{error:?}");
        }
        if let Ok(expr) = grammar::read_expr(line, at) {
            for (_, place) in expr.names() {
                assert!(at.start <= place.start && place.end <= at.end);
            }
        }
    }
}

/// A table of bags: its heading, then every row alone.
pub fn bags(text: &str) {
    let (first, table) = text.split_once('\n').unwrap_or(("", text));
    let unit = rows::unit_of(first.trim());
    let mut lines = table.lines();
    let Some(heading) = lines.next() else { return };
    let mut files = Files::default();
    let file = files.add("bags.csv", heading);
    let faults = Finds::default();
    let Some(columns) = rows::columns(heading, file, unit, &faults) else {
        shown(&files, &faults.all());
        return;
    };
    let _ = rows::left_alone(&columns);
    for (at, line) in lines.enumerate() {
        let file = files.add_from_line("bags.csv", line, at + 2);
        match rows::row(&columns, line, file) {
            Ok(bag) => {
                assert!(bag.width.least() > Length::ZERO && bag.height.least() > Length::ZERO);
                assert_eq!(rows::row(&columns, line, file).ok(), Some(bag));
            }
            Err(faults) => drop(shown(&files, &faults)),
        }
    }
}

/// A list of pieces.
pub fn pieces(text: &str) -> Option<(Files, Vec<tuckwright::cut::Want>)> {
    let mut files = Files::default();
    let file = files.add("pieces.csv", text);
    match list::read(&files, file, 0) {
        Ok(wants) => {
            assert!(!wants.is_empty());
            Some((files, wants))
        }
        Err(faults) => {
            shown(&files, &faults);
            None
        }
    }
}

/// A style's or an album's errors when one is laid over the other.
pub fn laid(files: &Files, style: &Style, album: &Album) -> bool {
    match expand(style, album) {
        Ok(_) => true,
        Err(errors) => {
            let faults: Faults = errors.into_iter().map(|e| Box::new(e) as _).collect();
            shown(files, &faults);
            false
        }
    }
}
