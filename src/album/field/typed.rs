//! What is typed, as an album's text says it: quoted or bare, with the maker's unit. May import `length`.

use super::super::edit::Row;
use super::FieldError;
use crate::length::{
    Interval, Length, Ruler, parse_interval, parse_sides, parse_size, written_unit,
};
use crate::text::{Limits, Problem, over};
use itertools::Itertools;
use toml_edit::{Array, InlineTable, Value};

/// What a value is, as the file writes it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Says {
    Text,
    Length,
    Size,
    Whole,
    /// A flag, or a number in its place.
    Flag,
    /// A list of texts, one a line.
    Lines,
    /// A length or a ratio.
    Number,
}

impl Says {
    pub fn of(kinds: &[&str], example: Option<&str>) -> Says {
        let Some(example) = example else {
            return match kinds.last() {
                Some(&"set") => Says::Number,
                Some(&("given" | "measured")) => Says::Length,
                _ => Says::Text,
            };
        };
        if let Some(text) = unquoted(example) {
            return match (parse_interval(text), parse_size(text)) {
                (Ok(_), _) => Says::Length,
                (_, Ok(_)) => Says::Size,
                _ => Says::Text,
            };
        }
        match example {
            "true" => Says::Flag,
            _ if example.starts_with('[') && kinds.is_empty() => Says::Lines,
            _ if example.starts_with('[') => Says::Text,
            _ => Says::Whole,
        }
    }
}

pub(super) fn unquoted(example: &str) -> Option<&str> {
    example.strip_prefix('"')?.strip_suffix('"')
}

/// What is typed, as the file says it; `None` if it says nothing.
pub(super) fn written(says: Says, typed: &str, old: Option<&str>, ruler: Ruler) -> Option<Value> {
    if typed.is_empty() {
        return None;
    }
    let whole = || typed.parse::<i64>().ok().map(Value::from);
    let flag = || match typed {
        "yes" | "true" => Some(Some(Value::from(true))),
        "no" | "false" => Some(None),
        _ => None,
    };
    match says {
        // One name, or several, one a line.
        Says::Text => Some(match typed.contains('\n') {
            true => lines(typed),
            false => typed.into(),
        }),
        Says::Length => Some(with_unit(typed, ruler).into()),
        Says::Size => {
            let other = format!("{typed} {}", ruler.unit().name());
            let bare = written_unit(typed).is_none() && parse_size(&other).is_ok();
            Some(if bare { other } else { typed.to_owned() }.into())
        }
        Says::Number => match old.and_then(written_unit) {
            Some(_) => Some(with_unit(typed, ruler).into()),
            None => Some(typed.into()),
        },
        Says::Whole => whole(),
        Says::Flag => match flag() {
            Some(flag) => flag,
            None => Some(whole().unwrap_or_else(|| typed.into())),
        },
        Says::Lines => Some(lines(typed)),
    }
}

/// Amounts with commas between. A comma between two digits may as well divide decimals: it stays in its amount,
/// for the reader to ask.
pub fn amounts(typed: &str) -> Vec<&str> {
    let is_digit = |at: Option<usize>| {
        at.and_then(|at| typed.as_bytes().get(at))
            .is_some_and(u8::is_ascii_digit)
    };
    let (mut all, mut from) = (Vec::new(), 0);
    for (at, _) in typed.match_indices([',', '\n']) {
        if !(is_digit(at.checked_sub(1)) && is_digit(Some(at + 1))) {
            all.push(typed[from..at].trim());
            from = at + 1;
        }
    }
    all.push(typed[from..].trim());
    all
}

/// Pairs with a semicolon between: `boat + pier; gull + crab` face each other, `boat: shore 2; gull: cover`
/// stay somewhere.
pub(super) fn pairs<'t>(key: &str, typed: &'t str) -> Vec<Vec<&'t str>> {
    let sign = if key == "facing" { '+' } else { ':' };
    let all = typed.split([';', '\n']).map(str::trim);
    let all = all.filter(|pair| !pair.is_empty());
    all.map(|pair| pair.split(sign).map(str::trim).collect())
        .collect()
}

/// Such pairs, as an album says them.
pub(super) fn paired(key: &str, all: &[Vec<&str>]) -> Option<Value> {
    let lists = || {
        all.iter()
            .map(|pair| pair.iter().copied().collect::<Array>())
    };
    let table = || {
        let each = all.iter().map(|pair| match pair[..] {
            [photo, place] => Some((photo, place)),
            _ => None,
        });
        each.collect::<Option<InlineTable>>()
    };
    match (all.is_empty(), key) {
        (true, _) => None,
        (false, "stays") => Some(table().map_or_else(
            || all.iter().map(|it| it.join(": ")).join("; ").into(),
            Value::InlineTable,
        )),
        (false, _) => Some(Value::Array(lists().collect())),
    }
}

fn lines(typed: &str) -> Value {
    let lines = typed.lines().map(str::trim).filter(|line| !line.is_empty());
    Value::Array(lines.collect::<Array>())
}

/// A number without a unit gets that of the ruler.
pub fn with_unit(typed: &str, ruler: Ruler) -> String {
    let typed = typed.trim();
    let other = format!("{typed} {}", ruler.unit().name());
    // A number that is too large is called so; it does not lack a unit.
    let is_number = !typed.is_empty() && typed.chars().all(|sign| sign.is_ascii_digit());
    match written_unit(typed).is_none() && (is_number || parse_interval(&other).is_ok()) {
        true => other,
        false => typed.to_owned(),
    }
}

/// The three measures of a bag as a packet has them, width x gusset x height, if they are typed at once.
pub fn packet(typed: &str, ruler: Ruler) -> Option<[Interval; 3]> {
    let typed = typed.trim();
    let other = format!("{typed} {}", ruler.unit().name());
    let mut read = [typed, &other].into_iter().map(parse_sides);
    let sides = read.find_map(Result::ok)?;
    Some([sides.width, sides.gusset?, sides.height])
}

/// One side of a thing whose size may stand in one text; `open`: each side may stand alone.
pub(super) fn side(
    row: &mut Row<'_>,
    key: &str,
    typed: &str,
    (ruler, open): (Ruler, bool),
    limits: Limits,
) -> Result<(), FieldError> {
    let Some(size) = row.text("size").map(str::to_owned) else {
        match typed {
            "" => row.remove(key),
            _ => row.put(key, with_unit(typed, ruler)),
        }
        return Ok(());
    };
    let (width, height) = parse_size(&size).map_err(|why| FieldError::Length {
        why: why.to_string(),
        help: why.help(),
    })?;
    let (other_key, other) = match key {
        "width" => ("height", height),
        _ => ("width", width),
    };
    if typed.is_empty() {
        // Only of what is tucked in one side may be left open.
        if !open {
            return Err(FieldError::Needed);
        }
        row.put_for("size", other_key, ruler.show_interval(other));
        return Ok(());
    }
    let typed = with_unit(typed, ruler);
    let new: Interval = parse_interval(&typed).map_err(|why| FieldError::Length {
        why: why.to_string(),
        help: why.help(),
    })?;
    // The other side is right as it stands.
    if let Some(wrong) = over(key, &typed, new, limits) {
        let help = wrong.help().unwrap_or_default();
        let why = wrong.to_string();
        return Err(FieldError::Length { why, help });
    }
    let size = match key {
        "width" => ruler.type_size(new, other),
        _ => ruler.type_size(other, new),
    };
    row.put("size", size);
    Ok(())
}

/// A name as rules have it: `Photo mat` is `photo_mat`.
pub(super) fn one_word(typed: &str) -> String {
    let mut word = String::new();
    for sign in typed.to_lowercase().chars() {
        match sign.is_ascii_lowercase() || sign.is_ascii_digit() {
            true => word.push(sign),
            false if word.ends_with('_') => {}
            false => word.push('_'),
        }
    }
    word.trim_matches('_').to_owned()
}

/// A size that a new thing begins with, in the maker's unit.
pub(super) fn usual(example: &str, ruler: Ruler) -> String {
    if !ruler.is_metric() {
        return example.to_owned();
    }
    let five = Length::from_nm(5 * Length::MM.nm());
    let round = |side: Interval| {
        let steps = side.most().nm().div_euclid(five.nm()).max(1);
        Interval::exact(Length::from_nm(steps * five.nm()))
    };
    match (parse_size(example), parse_interval(example)) {
        (Ok((width, height)), _) => ruler.type_size(round(width), round(height)),
        (_, Ok(one)) => ruler.show_interval(round(one)),
        _ => example.to_owned(),
    }
}

/// A name without the number or the letter that tells it from others: `shore 2`, `shore b` is another `shore`.
pub(super) fn numberless(name: &str) -> &str {
    let is_number = |last: &str| last.bytes().all(|sign| sign.is_ascii_digit());
    let is_letter = |last: &str| matches!(last.as_bytes(), [b'b'..=b'z']);
    match name.rsplit_once(' ') {
        Some((bare, last)) if !bare.is_empty() && (is_number(last) || is_letter(last)) => bare,
        _ => name,
    }
}
