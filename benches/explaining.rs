//! Conflicts and repairs of albums spoilt by one insert, beside plain deletion with microlp.
//!
//! `cargo bench --bench explaining`

use divan::{Bencher, black_box};
use good_lp::solvers::microlp::microlp;
use good_lp::{Expression, ProblemVariables, SolverModel, variable};
use std::collections::BTreeSet;
use std::path::Path;
use tuckwright::album::{self, Album};
use tuckwright::explain::own::What;
use tuckwright::explain::soften::{Softened, soften};
use tuckwright::program::expand::{Expanded, expand};
use tuckwright::program::{Force, Program, Row};
use tuckwright::solve::{Change, Limits, minimal_conflicts, repairs};
use tuckwright::style::{self, Style};
use tuckwright::text::Files;

fn main() {
    for case in CASES {
        let spoilt = Spoilt::new(case);
        println!("{case}: {}", spoilt.told());
    }
    divan::main();
}

const CASES: &[&str] = &[
    "album: a tag too wide for its pocket",
    "album: finds too wide for their band",
    "album: a bag too low for its holes",
    "twelve different leaves: each clashes by itself",
    "twelve different leaves: every tag too wide, too",
];

struct Spoilt {
    program: Program,
    softened: Program,
    changes: Vec<Change>,
}

fn replaced(words: &str, from: &str, to: &str) -> String {
    assert!(words.contains(from), "{from}");
    words.replacen(from, to, 1)
}

/// The demo album with one thing wrong with it.
fn words(case: &str) -> String {
    let words = include_str!("../models/albums/low-water.toml");
    let one = "count = 4\n";
    match case {
        "album: a tag too wide for its pocket" => {
            replaced(words, "width = \"2 in\"", "width = \"5 in\"")
        }
        "album: finds too wide for their band" => replaced(
            words,
            "height = \"8 in\"",
            "height = \"8 in\"\nwidth = \"5 in\"",
        ),
        "album: a bag too low for its holes" => replaced(
            words,
            "name = \"cover\"\nbag = \"small brown\"",
            "name = \"cover\"\nbag = \"low\"",
        ),
        _ => {
            let mut words = replaced(words, one, "");
            let head = words
                .find("[[leaf]]\nname = \"shore\"")
                .expect("it is there");
            let tail = words.find("# The ledger").expect("it is there");
            let leaf = words[head..tail].to_owned();
            let bag = "bag = \"small brown\"";
            for at in 0..10 {
                let size = format!("bag = \"bag {at}\"");
                let leaf = replaced(&leaf, "\"shore\"", &format!("\"shore {at}\""));
                let leaf = replaced(&leaf, bag, &size);
                let leaf = match case.ends_with("too wide, too") || at == 4 {
                    true => replaced(&leaf, "width = \"2 in\"", "width = \"6 in\""),
                    false => leaf,
                };
                words.push_str(&leaf);
            }
            words
        }
    }
}

impl Spoilt {
    fn new(case: &str) -> Self {
        let (style, album, expanded) = expanded(&words(case));
        // As for a maker: no rule is set aside.
        let may = |what: &What, _| !matches!(what, What::Aside(_));
        let none = BTreeSet::new();
        let softened = soften(&style, &album, &expanded, &none, &may).expect("small numbers");
        let Softened {
            program, changes, ..
        } = softened;
        let changes = changes.iter().map(|it| Change {
            unknown: it.unknown,
            price: it.price,
        });
        Self {
            changes: changes.collect(),
            softened: program,
            program: expanded.program,
        }
    }

    fn told(&self) -> String {
        let conflicts = minimal_conflicts(&self.program, &Limits::default(), 20);
        let fixes = repairs(&self.softened, &self.changes, &Limits::default(), 20);
        let sizes = conflicts.conflicts.iter().map(|it| it.instances.len());
        format!(
            "{} rows, {} changes; {} conflicts of {:?}, all: {}, {} more, {} questions; {} repairs in {} parts, all: {}, cheapest {:?}, {} questions, {:?}",
            self.program.rows.len(),
            self.changes.len(),
            conflicts.conflicts.len(),
            sizes.collect::<Vec<_>>(),
            conflicts.complete,
            conflicts.more,
            conflicts.questions,
            fixes.parts.iter().map(|it| it.sets.len()).sum::<usize>(),
            fixes.parts.len(),
            fixes.complete,
            fixes
                .cheapest
                .map(|it| (it.amounts.len(), it.price, it.proved)),
            fixes.questions,
            fixes.met,
        )
    }
}

/// Bags of other sizes besides those on the table.
fn with_bags(mut supplies: Vec<u8>) -> Vec<u8> {
    let mut bag = |name: &str, size: &str, gusset: &str| {
        let words = format!(
            "\n[[bag]]\nname = \"{name}\"\nsize = \"{size}\"\ngusset = \"{gusset}\"\ncaliper = \"0.0045 in\"\n"
        );
        supplies.extend_from_slice(words.as_bytes());
    };
    bag("low", "5 1/4 x 2 in", "1 in");
    for at in 0..10 {
        let size = format!("5 {}/16 x 8 {}/16 in", at + 4, at + 1);
        bag(&format!("bag {at}"), &size, "3 in");
    }
    supplies
}

fn expanded(words: &str) -> (Style, Album, Expanded) {
    let mut files = Files::default();
    let shipped = style::shipped::shipped("upright").expect("it is shipped");
    let file = files.add("upright.toml", shipped);
    let style = style::text::read(&mut files, file).expect("it is tested");
    let file = files.add("album.toml", words);
    let models = Path::new(env!("CARGO_MANIFEST_DIR")).join("models/albums");
    let mut load = |path: &str| {
        std::fs::read(models.join(path))
            .map(with_bags)
            .map_err(|it| it.to_string())
    };
    let album = match album::text::read(&mut files, file, &mut load) {
        Ok(album) => album,
        Err(faults) => panic!(
            "{}",
            tuckwright::text::render(&files, &faults, tuckwright::text::Look::Plain)
        ),
    };
    let expanded = expand(&style, &album).unwrap_or_else(|it| panic!("{it:?}"));
    (style, album, expanded)
}

#[divan::bench(args = CASES)]
fn all_conflicts(bencher: Bencher, case: &str) {
    let spoilt = Spoilt::new(case);
    bencher.bench_local(|| minimal_conflicts(black_box(&spoilt.program), &Limits::default(), 20));
}

#[divan::bench(args = CASES)]
fn all_repairs(bencher: Bencher, case: &str) {
    let spoilt = Spoilt::new(case);
    bencher.bench_local(|| {
        repairs(
            black_box(&spoilt.softened),
            &spoilt.changes,
            &Limits::default(),
            20,
        )
    });
}

#[divan::bench(args = CASES)]
fn one_conflict(bencher: Bencher, case: &str) {
    let spoilt = Spoilt::new(case);
    bencher.bench_local(|| minimal_conflicts(black_box(&spoilt.program), &Limits::default(), 1));
}

/// One conflict by leaving out one instance after the other, each time asking the LP alone; rows
/// of choices count only where the first item is taken.
#[divan::bench(args = &CASES[1..2])]
fn one_conflict_by_plain_deletion(bencher: Bencher, case: &str) {
    let spoilt = Spoilt::new(case);
    bencher.bench_local(|| {
        let program = black_box(&spoilt.program);
        let all = program.instances.iter();
        let mut kept: Vec<_> = all.filter(|it| it.force == Force::Must).collect();
        assert!(!holds(
            program,
            kept.iter().flat_map(|it| &program.rows[it.rows.clone()])
        ));
        let mut at = 0;
        while at < kept.len() {
            let left_out = kept.remove(at);
            if holds(
                program,
                kept.iter().flat_map(|it| &program.rows[it.rows.clone()]),
            ) {
                kept.insert(at, left_out);
                at += 1;
            }
        }
        kept.len()
    });
}

fn holds<'a>(program: &Program, rows: impl Iterator<Item = &'a Row>) -> bool {
    let mut names = ProblemVariables::new();
    let all: Vec<_> = program
        .unknowns
        .iter()
        .map(|it| names.add(variable().min(it.least as f64).max(it.most as f64)))
        .collect();
    let mut model = names.maximise(Expression::from(0.0)).using(microlp);
    for row in rows {
        if row.guards.iter().any(|guard| guard.alternative != 0) {
            continue;
        }
        if row.terms.is_empty() {
            if row.most < 0 {
                return false;
            }
            continue;
        }
        let mut sum = Expression::from(0.0);
        for &(at, times) in &row.terms {
            sum += times as f64 * all[at.0 as usize];
        }
        model.add_constraint(sum.leq(row.most as f64));
    }
    model.solve().is_ok()
}
