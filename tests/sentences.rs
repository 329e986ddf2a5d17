//! Every rule of every shipped style is told with numbers that a maker can read, in inches and in
//! millimetres.
//!
//! All cases and demo albums are worked out on the ruler that they name and on one of the other
//! kind, and every sentence that is told of a rule is tested: a rule that was never told in one of
//! the units fails too. `SHOW=1` prints the sentences.

#[path = "cases/run.rs"]
mod run;

use run::Case;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use tuckwright::Outcome;
use tuckwright::explain::fixes;
use tuckwright::length::{Ruler, Unit};
use tuckwright::plan::clash::Member;
use tuckwright::plan::{LeafPlan, Plan, Reason, SizePlan};
use tuckwright::report::phrase::screen;
use tuckwright::solve::Limits;

/// Unit and rule, with all that was told of it.
type Told = BTreeMap<(&'static str, String), BTreeSet<String>>;

fn albums() -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut all = Vec::new();
    for folder in ["tests/fits", "tests/conflicts", "models/albums"] {
        let entries = std::fs::read_dir(root.join(folder)).expect("a folder");
        for entry in entries {
            let path = entry.expect("an entry").path();
            all.push(match path.is_dir() {
                true => path.join("album.toml"),
                false => path,
            });
        }
    }
    all.sort();
    all
}

/// The rulers on which an album is worked out: its own, and one of the other kind.
fn rulers(own: Ruler) -> [Ruler; 2] {
    let other = match own.unit() {
        Unit::Inch => "1 mm",
        Unit::Millimetre | Unit::Centimetre => "1/8 in",
    };
    [own, Ruler::parse(other).expect("a ruler")]
}

fn unit(ruler: Ruler) -> &'static str {
    match ruler.unit() {
        Unit::Inch => "in",
        Unit::Millimetre | Unit::Centimetre => "mm",
    }
}

fn sizes_of(leaf: &LeafPlan) -> Vec<&SizePlan> {
    let mut all: Vec<&SizePlan> = Vec::new();
    all.extend(leaf.parts.iter().flat_map(|p| [&p.width, &p.height]));
    for insert in &leaf.inserts {
        all.extend([&insert.width, &insert.height]);
        all.extend(insert.photo.iter().flat_map(|p| [&p.width, &p.height]));
    }
    all
}

/// Everything that a plan tells of its rules.
fn of_plan(plan: &Plan) -> Vec<(String, String)> {
    let mut all: Vec<(String, String)> = Vec::new();
    all.extend(
        plan.rules
            .iter()
            .map(|r| (r.name.clone(), screen(plan.ruler, &r.because))),
    );
    let sizes = plan.template.iter();
    for size in sizes.chain(plan.leaves.iter().flat_map(sizes_of)) {
        for reason in &size.held_by {
            if let Reason::Rule {
                name,
                sides: Some(sides),
                ..
            } = reason
            {
                all.push((name.clone(), screen(plan.ruler, &sides.left)));
                all.push((name.clone(), screen(plan.ruler, &sides.right)));
            }
        }
    }
    all
}

fn gather(told: &mut Told, path: &Path) {
    let mut case = Case::read(path).unwrap_or_else(|why| panic!("{}: {why}", path.display()));
    for ruler in rulers(case.album.ruler) {
        case.album.ruler = ruler;
        let worked = case.work();
        let worked = worked.unwrap_or_else(|why| panic!("{}: {why}", path.display()));
        let all = match &worked.outcome {
            Outcome::Fits(plan) => of_plan(plan),
            Outcome::Clash(_) => {
                let why = fixes::why(&case.style, &case.album, &worked, &Limits::default());
                let members = why.clashes.iter().flat_map(|clash| &clash.members);
                let told = |m: &Member| {
                    let because = m.because.as_ref();
                    let because = because
                        .unwrap_or_else(|| panic!("{}: `{}` is not told", path.display(), m.name));
                    (m.name.clone(), screen(case.album.ruler, because))
                };
                members.map(told).collect()
            }
            other => panic!("{}: {other:?}", path.display()),
        };
        for (rule, sentence) in all {
            if !measures_in(&sentence, unit(ruler)) {
                untold(told, &rule, sentence);
                continue;
            }
            told.entry((unit(ruler), rule))
                .or_default()
                .insert(sentence);
        }
    }
}

/// A number with this unit stands in it.
fn measures_in(sentence: &str, unit: &str) -> bool {
    let words: Vec<&str> = sentence.split_whitespace().collect();
    let unit_of = |word: &str| word.trim_end_matches([',', ';', ':', ')']).to_owned();
    words
        .windows(2)
        .any(|pair| pair[0].ends_with(|c: char| c.is_ascii_digit()) && unit_of(pair[1]) == unit)
}

/// Keeps a sentence whose measures are all of the other kind: it is read too, and proves nothing.
fn untold(told: &mut Told, rule: &str, sentence: String) {
    told.entry(("other", rule.to_owned()))
        .or_default()
        .insert(sentence);
}

/// What a maker could not read in a sentence.
fn unreadable(sentence: &str) -> Option<&'static str> {
    let decimals = sentence
        .split('.')
        .skip(1)
        .map(|rest| rest.bytes().take_while(u8::is_ascii_digit).count());
    if sentence.contains('?') {
        Some("a value is missing")
    } else if sentence.contains(['{', '}']) {
        Some("a value was not filled in")
    } else if decimals.max().unwrap_or(0) > 4 {
        Some("more than four decimals")
    } else if sentence.contains("about about") {
        Some("`about` twice")
    } else if sentence.contains("  ") || sentence.trim() != sentence || sentence.is_empty() {
        Some("loose spaces")
    } else if sentence.contains("--") || sentence.contains(" -") {
        Some("a minus")
    } else if sentence.ends_with('.') {
        Some("its full stop is the report's")
    } else {
        None
    }
}

#[test]
fn what_cannot_be_read_is_noticed() {
    for (sentence, why) in [
        ("the leaf is ? wide", "a value is missing"),
        ("the leaf is {right} wide", "a value was not filled in"),
        ("the ring takes 13.59351 mm", "more than four decimals"),
        ("it is about about 1.5 in", "`about` twice"),
        ("it is  1 in", "loose spaces"),
        ("there is -1/8 in", "a minus"),
    ] {
        assert_eq!(unreadable(sentence), Some(why), "{sentence}");
    }
    assert_eq!(unreadable("1.5875 mm of bag; 4 3/8 in"), None);
}

#[test]
fn every_rule_is_told_readably_in_inches_and_in_millimetres() {
    let mut told = Told::new();
    for album in albums() {
        gather(&mut told, &album);
    }
    let mut wrong = Vec::new();
    for ((unit, rule), sentences) in &told {
        for sentence in sentences {
            if std::env::var_os("SHOW").is_some() {
                println!("{unit} | {rule} | {sentence}");
            }
            if let Some(why) = unreadable(sentence) {
                wrong.push(format!("{unit} | {rule}: {why}: {sentence}"));
            }
        }
    }
    let styles = Path::new(env!("CARGO_MANIFEST_DIR")).join("models/styles");
    for style in std::fs::read_dir(styles).expect("styles") {
        // What kinds take over at the end is not read without one of them.
        let Ok((_, style)) = run::read_style(&style.expect("a style").path()) else {
            continue;
        };
        for rule in &style.rules {
            for unit in ["in", "mm"] {
                if !told.contains_key(&(unit, rule.name.clone())) {
                    wrong.push(format!("{unit} | {}: never told", rule.name));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
