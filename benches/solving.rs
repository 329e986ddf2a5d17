//! Solving and proving, on programs shaped like albums; beside one stage given to microlp alone.
//!
//! `cargo bench --bench solving`

#[path = "../tests/solving/leaves.rs"]
mod leaves;
#[path = "../tests/solving/parts.rs"]
mod parts;

use divan::{Bencher, black_box};
use good_lp::solvers::microlp::microlp;
use good_lp::{Expression, ProblemVariables, Solution, SolverModel, variable};
use leaves::album;
use tuckwright::program::{Program, UnknownId};
use tuckwright::solve::{Limits, Verdict, check, solve};

fn main() {
    divan::main();
}

/// Leaves and inserts of each.
#[divan::bench(args = [(1, 1), (1, 6), (5, 3), (12, 6)])]
fn solve_and_prove(bencher: Bencher, (leaves, inserts): (u32, u32)) {
    let program = album(leaves, inserts, 1);
    assert_eq!(
        solve(&program, &Limits::default()).verdict,
        Verdict::FitsBest
    );
    bencher.bench_local(|| solve(black_box(&program), &Limits::default()));
}

/// Replaying every certificate of an album.
#[divan::bench(args = [(1, 6), (12, 6)])]
fn check_alone(bencher: Bencher, (leaves, inserts): (u32, u32)) {
    let solution = solve(&album(leaves, inserts, 1), &Limits::default());
    bencher.bench_local(|| {
        for certificate in &solution.certificates {
            check::replay(&certificate.problem, &certificate.proof).expect("accepted before");
        }
    });
}

/// One stage of one leaf with one insert, its print fixed: the whole chain of stages is some
/// twenty of these.
#[divan::bench]
fn microlp_one_stage_of_one_leaf(bencher: Bencher) {
    let program = album(1, 1, 1);
    bencher.bench_local(|| microlp_stage(black_box(&program), UnknownId(1)));
}

/// The same with six inserts.
#[divan::bench]
fn microlp_one_stage_of_six_inserts(bencher: Bencher) {
    let program = album(1, 6, 1);
    bencher.bench_local(|| microlp_stage(black_box(&program), UnknownId(1)));
}

fn microlp_stage(program: &Program, largest: UnknownId) -> f64 {
    let mut names = ProblemVariables::new();
    let all: Vec<_> = program
        .unknowns
        .iter()
        .map(|it| {
            names.add(
                variable()
                    .integer()
                    .min(it.least as f64)
                    .max(it.most as f64),
            )
        })
        .collect();
    let mut model = names.maximise(all[largest.0 as usize]).using(microlp);
    for row in &program.rows {
        // The last print of each table is the smallest, and fits.
        if row.guards.iter().any(|guard| guard.alternative != 3) {
            continue;
        }
        let mut sum = Expression::from(0.0);
        for &(at, times) in &row.terms {
            sum += times as f64 * all[at.0 as usize];
        }
        model.add_constraint(sum.leq(row.most as f64));
    }
    let solution = model.solve().expect("it fits");
    solution.value(all[largest.0 as usize])
}
