//! From an album's text to its plan, phase by phase; beside one preference given to microlp alone.
//!
//! `cargo bench --bench fit`. With `-- --times` it prints one line for each stage of the shipped
//! albums instead (album, stage, microseconds), which `benches/highs.py` compares; with
//! `-- --stages DIR` it writes the same stages as files for it.

#[path = "../tests/common/mod.rs"]
mod common;

use divan::{Bencher, black_box};
use good_lp::solvers::microlp::microlp;
use good_lp::{Expression, ProblemVariables, Solution as _, SolverModel, variable};
use std::fs;
use std::path::Path;
use std::time::{Duration, Instant};
use tuckwright::album::Album;
use tuckwright::plan::{self, Parts};
use tuckwright::program::expand::{Expanded, expand};
use tuckwright::program::{Program, Stage};
use tuckwright::solve::mps::{Goal, Model, write_mps};
use tuckwright::solve::{Limits, Solution, Verdict, solve, stage_program};
use tuckwright::style::Style;
use tuckwright::{Outcome, work};

/// The shipped albums.
const SHIPPED: [&str; 2] = ["low-water", "hut-book"];

fn main() {
    let words: Vec<String> = std::env::args().collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    match words.iter().position(|word| word.starts_with("--")) {
        Some(at) if words[at] == "--times" => times(),
        Some(at) if words[at] == "--stages" => stages(Path::new(words.get(at + 1).unwrap_or(&"."))),
        _ => divan::main(),
    }
}

/// Twelve leaves of different bags, each with six inserts in all places.
fn twelve() -> Album {
    let mut words = String::from(
        "album = \"twelve\"\nruler = \"1/16 in\"\nprefer = [\"largest photo_mat.photo\", \"largest journal\"]\n",
    );
    for leaf in 0..12 {
        words +=
            &format!("[[leaf]]\nname = \"leaf {leaf}\"\nbag = \"bag {leaf}\"\nband = \"any\"\n");
        words += "[[leaf.insert]]\nname = \"photo_mat\"\nplace = \"mouth\"\nsection = \"back\"\nphoto = true\n";
        words += "[[leaf.insert]]\nname = \"journal\"\nplace = \"mouth\"\nsection = \"front\"\nphoto = { shape = \"2:3\" }\n";
        words += "[[leaf.insert]]\nname = \"tag\"\nplace = \"pocket\"\n";
        words += "[[leaf.insert]]\nname = \"ticket\"\nplace = \"band\"\nphoto = true\n";
        words += "[[leaf.insert]]\nname = \"letter\"\nplace = \"mouth\"\nsection = \"back\"\nshow = \"1/2 in\"\n";
        words += "[[leaf.insert]]\nname = \"map\"\nplace = \"back\"\nphoto = true\n";
    }
    for bag in 0..12 {
        let (width, height) = (76 + bag, 136 + 3 * bag);
        words += &format!(
            "[[bag]]\nname = \"bag {bag}\"\nsize = \"{width} / 16 x {height} / 16 in ± 1/16 in\"\ngusset = \"3 in\"\n"
        );
    }
    for (at, size) in ["4 x 6 in", "5 x 7 in", "3 1/2 x 5 in", "2 x 3 in"]
        .iter()
        .enumerate()
    {
        words += &format!("[[print]]\nname = \"print {at}\"\nsize = \"{size}\"\n");
    }
    common::read(&words)
}

fn named(name: &str) -> Album {
    if name == "twelve" {
        twelve()
    } else {
        common::shipped(name)
    }
}

fn expanded(name: &str) -> (Style, Album, Expanded) {
    let (style, album) = (common::upright(), named(name));
    let expanded = expand(&style, &album).expect("it is right");
    (style, album, expanded)
}

fn solved(program: &Program) -> Solution {
    let solution = solve(program, &Limits::default());
    assert_eq!(solution.verdict, Verdict::FitsBest);
    solution
}

#[divan::bench]
fn read_the_style() -> Style {
    common::upright()
}

#[divan::bench(args = SHIPPED)]
fn read_the_album(name: &str) -> Album {
    common::shipped(name)
}

#[divan::bench(args = ["low-water", "hut-book", "twelve"])]
fn expand_the_rules(bencher: Bencher, name: &str) {
    let (style, album) = (common::upright(), named(name));
    bencher.bench_local(|| expand(black_box(&style), black_box(&album)));
}

#[divan::bench(args = ["low-water", "hut-book", "twelve"])]
fn solve_and_prove(bencher: Bencher, name: &str) {
    let (_, _, expanded) = expanded(name);
    solved(&expanded.program);
    bencher.bench_local(|| solve(black_box(&expanded.program), &Limits::default()));
}

#[divan::bench(args = ["low-water", "hut-book", "twelve"])]
fn plan_and_verify(bencher: Bencher, name: &str) {
    let (style, album, expanded) = expanded(name);
    let solution = solved(&expanded.program);
    let parts = Parts {
        style: &style,
        album: &album,
        expanded: &expanded,
        solution: &solution,
    };
    bencher.bench_local(|| plan::make(black_box(parts), plan::Listed::NotKept));
}

/// Everything between the text of the files and the report.
#[divan::bench(args = ["low-water", "hut-book", "twelve"])]
fn from_text_to_plan(bencher: Bencher, name: &str) {
    bencher.bench_local(|| {
        let (style, album) = (common::upright(), named(name));
        let worked = work(&style, &album, &Limits::default()).expect("it is right");
        assert!(matches!(worked.outcome, Outcome::Fits(_)));
        worked
    });
}

/// The stages that are preferences, each as a question of its own.
fn preferences(program: &Program, solution: &Solution) -> Vec<(usize, Model)> {
    let best = |at: &usize| matches!(program.stages[*at], Stage::Best { .. });
    let stages = (0..program.stages.len()).filter(best);
    stages
        .map(|at| {
            (
                at,
                stage_program(program, solution, at).expect("it was settled"),
            )
        })
        .collect()
}

/// The first preference that the maker named, by microlp alone: the alternatives as binaries, rows
/// under a choice lifted, as in the exported file. No proof, and nothing but this one stage.
#[divan::bench(args = ["low-water", "hut-book", "twelve"])]
fn microlp_alone_on_the_first_preference(bencher: Bencher, name: &str) {
    let (_, _, expanded) = expanded(name);
    let solution = solved(&expanded.program);
    let all = preferences(&expanded.program, &solution);
    let named = all
        .iter()
        .find(|(at, _)| *at >= expanded.program.first_stages);
    let (at, model) = named.expect("it prefers something");
    let tuckwright::solve::StageOutcome::Best { value, .. } = solution.stages[*at] else {
        panic!("it is a preference");
    };
    assert_eq!(by_microlp(model), value as i64);
    bencher.bench_local(|| by_microlp(black_box(model)));
}

fn by_microlp(model: &Model) -> i64 {
    let mut names = ProblemVariables::new();
    let unknowns: Vec<_> = (model.unknowns.iter())
        .map(|it| {
            names.add(
                variable()
                    .integer()
                    .min(it.least as f64)
                    .max(it.most as f64),
            )
        })
        .collect();
    let groups: Vec<Vec<_>> = (model.groups.iter())
        .map(|it| {
            it.alternatives
                .iter()
                .map(|_| names.add(variable().binary()))
                .collect()
        })
        .collect();
    let Goal::Most(terms) = &model.goal else {
        panic!("a preference has an objective");
    };
    let sum = |terms: &[(tuckwright::program::UnknownId, i64)]| {
        let add = |sum, &(id, times): &(tuckwright::program::UnknownId, i64)| {
            sum + times as f64 * unknowns[id.0 as usize]
        };
        terms.iter().fold(Expression::from(0.0), add)
    };
    let mut solver = names.maximise(sum(terms)).using(microlp);
    for group in &groups {
        let taken = group
            .iter()
            .fold(Expression::from(0.0), |sum, it| sum + *it);
        solver.add_constraint(taken.eq(1.0));
    }
    for (row, _) in &model.rows {
        let most = row.terms.iter().map(|&(id, times)| {
            let bounds = &model.unknowns[id.0 as usize];
            times * if times > 0 { bounds.most } else { bounds.least }
        });
        let lift = most.sum::<i64>() - row.most;
        if lift <= 0 {
            continue;
        }
        let guards = row.guards.iter().fold(Expression::from(0.0), |sum, guard| {
            sum + groups[guard.group.0 as usize][guard.alternative as usize] - 1.0
        });
        solver.add_constraint((sum(&row.terms) + lift as f64 * guards).leq(row.most as f64));
    }
    let found = solver.solve().expect("it fits");
    found.eval(sum(terms)).round() as i64
}

/// Times of a few hundred runs: the one in the middle.
fn middle(mut run: impl FnMut()) -> Duration {
    let mut times: Vec<Duration> = (0..301)
        .map(|_| {
            let since = Instant::now();
            run();
            since.elapsed()
        })
        .collect();
    times.sort();
    times[times.len() / 2]
}

/// Prints what a stage takes: everything about an album, its proofs, explanations and choices too,
/// shared out over its preferences.
fn times() {
    for name in SHIPPED {
        let (_, _, expanded) = expanded(name);
        let solution = solved(&expanded.program);
        let stages = preferences(&expanded.program, &solution).len() as u32;
        let all = middle(|| {
            black_box(solve(black_box(&expanded.program), &Limits::default()));
        });
        println!(
            "{name} {stages} {:.1} {:.1}",
            micros(all),
            micros(all / stages)
        );
    }
}

fn micros(time: Duration) -> f64 {
    time.as_secs_f64() * 1e6
}

/// Writes the preferences of the shipped albums.
fn stages(folder: &Path) {
    fs::create_dir_all(folder).expect("a folder");
    for name in SHIPPED {
        let (_, _, expanded) = expanded(name);
        let solution = solved(&expanded.program);
        for (at, model) in preferences(&expanded.program, &solution) {
            let mps = write_mps(&model).expect("small numbers");
            fs::write(folder.join(format!("{name}.{at}.mps")), mps.text).expect("a file");
        }
    }
}
