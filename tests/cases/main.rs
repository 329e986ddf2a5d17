//! Albums with what becomes of them: one folder a case, its album and what is expected as text.
//!
//! `tests/fits/NAME` holds `album.toml` and `plan.txt`; `tests/conflicts/NAME` holds `album.toml` and
//! `clash.txt`, for an album that does not fit or that gives up a wish. `UPDATE=1` writes the texts
//! anew. Lines in the album say which rules of the style it is a case for:
//!
//! ```toml
//! # tight: RULE      it is kept without a whole ruler step to spare, and decides a size
//! # clash: RULE      the album does not fit because of it, and fits without; or it is a wish that is
//! #                  not kept, and as a must clashes or costs another wish
//! # changes: HOW    other sizes with other preferences
//! # same: A B       these leaves have the same sizes
//! # aside: RULE      says the same in other words: it is laid aside while the marks are tested
//! ```
//!
//! Every rule of every shipped style needs a case of both kinds.

mod dump;
mod marks;
mod run;
mod shuffle;

use libtest_mimic::{Arguments, Failed, Trial};
use marks::{Mark, marks, shows};
use run::Case;
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

const FITS: (&str, &str) = ("tests/fits", "plan.txt");
const CONFLICTS: (&str, &str) = ("tests/conflicts", "clash.txt");

fn main() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut trials = Vec::new();
    for (folder, text) in [FITS, CONFLICTS] {
        for case in folders(&root.join(folder)) {
            let name = format!("{}/{}", folder.trim_start_matches("tests/"), name_of(&case));
            trials.push(Trial::test(name, move || one(&case, text)));
        }
    }
    for album in files(&root.join("models/albums")) {
        let name = format!("shipped/{}", name_of(&album));
        trials.push(Trial::test(name, move || shipped(&album)));
    }
    for style in files(&root.join("models/styles")) {
        let name = format!("rules/{}", name_of(&style));
        trials.push(Trial::test(name, move || every_rule_has_its_cases(&style)));
    }
    for album in shuffle::albums(root) {
        let case = if album.ends_with("album.toml") {
            album.parent()
        } else {
            None
        };
        let name = format!("shuffled/{}", name_of(case.unwrap_or(&album)));
        trials.push(Trial::test(name, move || shuffle::same_optima(&album)));
    }
    libtest_mimic::run(&Arguments::from_args(), trials).exit();
}

/// One case: its text is as expected, and its marks are true.
fn one(folder: &Path, text: &str) -> Result<(), Failed> {
    let case = Case::read(&folder.join("album.toml"))?;
    let told = if text == FITS.1 {
        dump::plan(&case)?
    } else {
        dump::clash(&case)?
    };
    let path = folder.join(text);
    if std::env::var_os("UPDATE").is_some() {
        fs::write(&path, &told)?;
    }
    let expected = fs::read_to_string(&path).unwrap_or_default();
    if told != expected {
        return Err(format!("expected:\n{expected}\ntold:\n{told}").into());
    }
    shows(&folder.join("album.toml"), &case)?;
    let wanted = text != FITS.1;
    for mark in marks(&folder.join("album.toml"))? {
        if mark.clash != wanted {
            return Err(format!("`{}` is marked in the wrong folder", mark.rule).into());
        }
        mark.test(&case)?;
    }
    Ok(())
}

/// A shipped album fits, and is proved best.
fn shipped(album: &Path) -> Result<(), Failed> {
    let told = dump::plan(&Case::read(album)?)?;
    if std::env::var_os("SHOW").is_some() {
        println!("{told}");
    }
    if told.starts_with("proved best") {
        Ok(())
    } else {
        Err(told.into())
    }
}

/// Each rule that stands in a style's own file, in a case of any style that has it.
fn every_rule_has_its_cases(path: &Path) -> Result<(), Failed> {
    // What several kinds take over is read with one of them.
    let with = match name_of(path).trim_end_matches(".toml") {
        "extras" | "closures" => Some("upright.toml"),
        "grips" => Some("foreedge.toml"),
        _ => None,
    };
    let shared = with.is_some();
    let file = with.map_or_else(|| path.to_owned(), |with| path.with_file_name(with));
    let (files, style) = run::read_style(&file)?;
    let own = match shared {
        true => format!("style {}", name_of(path).trim_end_matches(".toml")),
        false => files.name(style.file).to_owned(),
    };
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut missing = Vec::new();
    for ((folder, _), word, clash) in [(FITS, "tight", false), (CONFLICTS, "clash", true)] {
        let mut marked = BTreeSet::new();
        for case in folders(&root.join(folder)) {
            let album = case.join("album.toml");
            let here = marks(&album)?
                .into_iter()
                .filter(|m: &Mark| m.clash == clash);
            marked.extend(here.map(|m| m.rule));
        }
        let rules = style.rules.iter();
        let own = rules.filter(|r| files.name(r.place.file) == own);
        let without = own.filter(|r| !marked.contains(&r.name));
        missing.extend(without.map(|r| format!("# {word}: {}", r.name)));
    }
    if missing.is_empty() {
        return Ok(());
    }
    Err(format!(
        "rules of {} without a case:\n{}",
        path.display(),
        missing.join("\n")
    )
    .into())
}

fn sorted(folder: &Path, keep: impl Fn(&Path) -> bool) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).into_iter().flatten();
    let mut all: Vec<PathBuf> = entries
        .filter_map(|e| Some(e.ok()?.path()))
        .filter(|p| keep(p))
        .collect();
    all.sort();
    all
}

fn folders(root: &Path) -> Vec<PathBuf> {
    sorted(root, Path::is_dir)
}

fn files(root: &Path) -> Vec<PathBuf> {
    sorted(root, |p| p.extension().is_some_and(|e| e == "toml"))
}

fn name_of(path: &Path) -> String {
    path.file_stem()
        .map(|n| n.to_string_lossy().into_owned())
        .unwrap_or_default()
}
