//! What another solver found for varied albums, as recorded, against what is found here.
//!
//! `optima.csv` was written by `record.py` with a general-purpose solver that shares no code and no
//! method with this program. Each line is one stage of one album, given everything that the stages
//! before it settled: the best value of a preference, the first alternative that can be taken, or
//! that a wish cannot be kept; and for an album that does not fit, that its musts cannot all hold.
//!
//! The rules are those of the day of recording, kept beside the record: a new rule in the shipped style
//! needs no other solver at hand. To record anew, with the shipped style:
//!
//! ```text
//! RECORD=DIR cargo test --test recorded
//! python3 tests/recorded/record.py DIR tests/recorded/optima.csv
//! ```

mod common;

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};
use tuckwright::program::Stage;
use tuckwright::program::expand::{Expanded, expand};
use tuckwright::solve::mps::{Model, write_mps};
use tuckwright::solve::{
    Limits, Solution, StageOutcome, Verdict, musts_program, solve, stage_program,
};
use tuckwright::style::Style;

/// Albums that are recorded: the varied ones of these numbers.
const ALBUMS: std::ops::Range<u64> = 0..400;

/// Of the wishes kept, one in so many is recorded as such.
const KEPT_SAMPLE: usize = 7;

/// A line of the record.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Line {
    album: u64,
    /// Absent for the musts alone.
    stage: Option<usize>,
    kind: &'static str,
    title: String,
    found: String,
}

impl Line {
    fn key(&self) -> String {
        let stage = self.stage.map_or("musts".to_owned(), |at| at.to_string());
        format!("{},{stage},{},{}", self.album, self.kind, self.title)
    }
}

/// 64 bits over a text (FNV-1a): a changed generator must not pass for the recorded albums.
fn hash(text: &str) -> u64 {
    text.bytes().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    })
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/recorded")
}

/// What a stage found, where it is recorded.
fn found(outcome: &StageOutcome, kept: &mut usize) -> Option<(&'static str, String)> {
    Some(match outcome {
        StageOutcome::Best { value, proved, .. } => {
            assert!(proved, "a limit was met");
            ("best", value.to_string())
        }
        StageOutcome::Chosen { alternative, .. } => ("choose", alternative.to_string()),
        StageOutcome::Dropped { .. } => ("keep", "infeasible".to_owned()),
        StageOutcome::Kept => {
            *kept += 1;
            if !kept.is_multiple_of(KEPT_SAMPLE) {
                return None;
            }
            ("keep", "feasible".to_owned())
        }
        StageOutcome::Absent => return None,
        StageOutcome::Unsettled { why, .. } => panic!("a limit was met: {why:?}"),
    })
}

/// All lines of an album, each with its question.
fn lines(album: u64, expanded: &Expanded, solution: &Solution) -> Vec<(Line, Model)> {
    let program = &expanded.program;
    let line = |stage, kind, title: String, found| Line {
        album,
        stage,
        kind,
        title: title.replace([',', '\n'], ";"),
        found,
    };
    let mut all = Vec::new();
    match &solution.verdict {
        Verdict::FitsBest => {}
        Verdict::Conflict(_) => {
            let line = line(
                None,
                "musts",
                "all rules".to_owned(),
                "infeasible".to_owned(),
            );
            return vec![(line, musts_program(program))];
        }
        other => panic!("album {album}: {other:?}"),
    }
    let mut kept = album as usize;
    for (at, outcome) in solution.stages.iter().enumerate() {
        if let Some((kind, found)) = found(outcome, &mut kept) {
            let model = stage_program(program, solution, at).expect("a stage that was settled");
            let title = match &program.stages[at] {
                Stage::Best { name, .. } => name.clone(),
                Stage::Choose(group) => program.groups[group.0 as usize].name.clone(),
                Stage::Keep(id) => format!("{} #{}", expanded.stage_titles[at], id.0),
            };
            all.push((line(Some(at), kind, title, found), model));
        }
    }
    all
}

fn work(style: &Style, text: &str) -> (Expanded, Solution) {
    let album = common::read(text);
    let expanded = match expand(style, &album) {
        Ok(expanded) => expanded,
        Err(errors) => panic!("{text}\n{errors:?}"),
    };
    let solution = solve(&expanded.program, &Limits::default());
    (expanded, solution)
}

/// Writes every question for `record.py`.
fn record(style: &Style, to: &Path) {
    fs::create_dir_all(to).expect("a folder");
    let mut index = String::new();
    for seed in ALBUMS {
        let text = common::vary::album(seed);
        let (expanded, solution) = work(style, &text);
        let _ = writeln!(index, "{seed},text,{:016x},,", hash(&text));
        for (at, (line, model)) in lines(seed, &expanded, &solution).into_iter().enumerate() {
            let file = format!("{seed}-{at}.mps");
            let mps = write_mps(&model).expect("small numbers");
            fs::write(to.join(&file), mps.text).expect("a file");
            let _ = writeln!(index, "{},{},{file}", line.key(), line.found);
        }
    }
    fs::write(to.join("index.csv"), index).expect("a file");
    fs::write(to.join("style.toml"), common::UPRIGHT).expect("a file");
    println!("stages written to {}", to.display());
}

/// The recorded lines: what was found by key, and the hash of each album's text.
fn recorded() -> (BTreeMap<String, String>, BTreeMap<u64, String>) {
    let text = fs::read_to_string(folder().join("optima.csv")).expect("the record");
    let (mut found, mut hashes) = (BTreeMap::new(), BTreeMap::new());
    for line in text.lines().filter(|line| !line.starts_with('#')) {
        let parts: Vec<&str> = line.split(',').collect();
        let [album, stage, kind, title, value] = parts[..] else {
            panic!("five parts are needed: {line}");
        };
        if stage == "text" {
            hashes.insert(album.parse().expect("a number"), kind.to_owned());
        } else {
            let before = found.insert(format!("{album},{stage},{kind},{title}"), value.to_owned());
            assert!(before.is_none(), "recorded twice: {line}");
        }
    }
    (found, hashes)
}

/// Differences between the record and what is found now, in words.
fn compare(style: &Style) -> (Vec<String>, String) {
    let (mut expected, hashes) = recorded();
    let mut wrong = Vec::new();
    let mut fitting = BTreeSet::new();
    let mut counts: BTreeMap<String, usize> = BTreeMap::new();
    for seed in ALBUMS {
        let text = common::vary::album(seed);
        if hashes.get(&seed) != Some(&format!("{:016x}", hash(&text))) {
            wrong.push(format!(
                "album {seed} is not the one that was recorded: record anew"
            ));
            continue;
        }
        let (expanded, solution) = work(style, &text);
        if matches!(solution.verdict, Verdict::FitsBest) {
            fitting.insert(seed);
        }
        for (line, _) in lines(seed, &expanded, &solution) {
            *counts.entry(line.kind.to_owned()).or_default() += 1;
            match expected.remove(&line.key()) {
                Some(value) if value == line.found => {}
                Some(value) => wrong.push(format!(
                    "{}: recorded {value}, found {}",
                    line.key(),
                    line.found
                )),
                None => wrong.push(format!("{}: not recorded", line.key())),
            }
        }
    }
    for (key, value) in expected {
        wrong.push(format!("{key}: recorded {value}, not found"));
    }
    assert!(fitting.len() >= 200, "only {} albums fit", fitting.len());
    (wrong, format!("{} albums fit; {counts:?}", fitting.len()))
}

#[test]
fn every_stage_is_as_recorded() {
    if let Some(to) = std::env::var_os("RECORD") {
        return record(&common::upright(), Path::new(&to));
    }
    let words = fs::read_to_string(folder().join("style.toml")).expect("recorded with it");
    let style = common::style(&words);
    let (wrong, counts) = compare(&style);
    println!("{counts}");
    assert!(
        wrong.is_empty(),
        "{} differences:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
}
