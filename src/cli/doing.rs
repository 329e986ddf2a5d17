//! `why --do`: fixes written into the album's own file. It is read again, worked out and found to fit
//! before it takes the old one's place; else the old one stays.

use super::output::Kept;
use super::{DONE, Input, Limits, Outcome, Source, Stop, Worked, disk, from, input, work};
use crate::explain::{Explanation, Fix, write};
use crate::plan::Listed;
use crate::report;
use itertools::Itertools;
use std::path::Path;

/// Writes the fixes of these numbers, such as `2` or `1,4`, and tells what was written.
pub(super) fn mend(
    source: &Source,
    numbers: &str,
    (input, worked): (&Input, &Worked),
    explanation: Option<&Explanation>,
    limits: &Limits,
) -> Result<(String, u8), Stop> {
    let told = |why: &str| Stop::Told(format!("--do: {why}"));
    let Some(path) = &source.album else {
        return Err(told("name an album file: it is written there"));
    };
    if !source.set.is_empty() {
        return Err(told(
            "leave `--set` out: what is set there is not in the file",
        ));
    }
    let explanation = match (&worked.outcome, explanation) {
        (Outcome::Fits(_), _) => {
            return Ok(("It fits: there is nothing to mend.\n".to_owned(), DONE));
        }
        (Outcome::Clash(_), Some(explanation)) => explanation,
        _ => return Err(Stop::Undecided("whether it fits is not known".to_owned())),
    };
    let fixes = chosen(explanation, numbers).map_err(|why| told(&why))?;
    let file = input.album.style.place.file;
    let file = input
        .album
        .leaves
        .first()
        .map_or(file, |leaf| leaf.place.file);
    let before = input.files.text(file);
    let others = input.files.others(file);
    let by_hand = || {
        let said = "that cannot be written into this file as it stands; nothing was changed. Type it by hand, as `why` says";
        told(said)
    };
    let after = write::written(&input.album, before, &others, &fixes).ok_or_else(by_hand)?;
    // What is written is proved as it will be read.
    let again = input::again(source, path, &after).map_err(|_| by_hand())?;
    match work(&again, Listed::NotKept, limits)?.outcome {
        Outcome::Fits(_) => {}
        Outcome::Undecided(_) => {
            return Err(Stop::Undecided(
                "--do: a limit was met before it was known to fit; nothing was changed".to_owned(),
            ));
        }
        _ => return Err(by_hand()),
    }
    replace(path, before, &after)?;
    let name = path.display().to_string();
    Ok((
        report::why::written(from(input, source), &name, &fixes),
        DONE,
    ))
}

/// The fixes of these numbers: one that mends all, or one of each list.
fn chosen<'e>(explanation: &'e Explanation, numbers: &str) -> Result<Vec<&'e Fix>, String> {
    let all = explanation.numbered();
    if all.is_empty() {
        return Err("nothing was found that mends it".to_owned());
    }
    let wrong = || match all.len() {
        1 => "type `--do 1`: there is one way only".to_owned(),
        most => format!("type a number from 1 to {most}, as `why` shows them"),
    };
    let number = |text: &str| text.trim().parse::<usize>().ok()?.checked_sub(1);
    let numbers = numbers.split(',').map(number);
    let numbers = numbers.collect::<Option<Vec<usize>>>().ok_or_else(wrong)?;
    let taken = numbers.iter().map(|at| all.get(*at).copied());
    let taken = taken.collect::<Option<Vec<_>>>().ok_or_else(wrong)?;
    let lists: Vec<Option<usize>> = taken.iter().map(|(list, _)| *list).sorted().collect();
    let each: Vec<Option<usize>> = (0..explanation.fixes.len()).map(Some).collect();
    if lists != [None] && lists != each {
        let firsts = (0..explanation.fixes.len()).map(|list| explanation.first_of(list));
        let firsts = firsts.map(|n| n.to_string()).join(",");
        return Err(match each.len() {
            1 => "take one of them".to_owned(),
            lists => format!("there are {lists} lists: take one of each, such as `--do {firsts}`"),
        });
    }
    Ok(taken.into_iter().map(|(_, fix)| fix).collect())
}

/// Puts a text in the place of the one that was read, whole or not at all.
fn replace(path: &Path, before: &str, after: &str) -> Result<(), Stop> {
    let mut file = Kept::over(path)?;
    file.write(after.as_bytes())?;
    let now = disk::bytes(path).map_err(|why| Stop::Told(format!("{}: {why}", path.display())))?;
    let now = String::from_utf8(now).unwrap_or_default();
    match now.trim_start_matches('\u{feff}') == before {
        true => file.keep(),
        false => Err(Stop::Told(format!(
            "{}: it was changed meanwhile by someone else; nothing was written",
            path.display()
        ))),
    }
}
