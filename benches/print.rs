//! The printout of a shipped album: from its text to the bytes of every form.
//!
//! `cargo bench --bench print`.

#[path = "../tests/common/mod.rs"]
mod common;

use common::shipped;
use divan::Bencher;
use std::time::Duration;
use tuckwright::album::Album;
use tuckwright::cut::work::Patience;
use tuckwright::cut::{self, Answer, Trimmer, pieces};
use tuckwright::draw::list::Document;
use tuckwright::draw::paper::Paper;
use tuckwright::draw::{handout, html, pdf, png, svg};
use tuckwright::plan::Plan;
use tuckwright::solve::Limits;
use tuckwright::{Outcome, work};

/// The shipped albums.
const SHIPPED: [&str; 2] = ["low-water", "hut-book"];

fn main() {
    divan::main();
}

fn planned(album: &Album) -> Plan {
    let worked = work(&common::upright(), album, &Limits::default()).expect("it is right");
    match worked.outcome {
        Outcome::Fits(plan) => *plan,
        other => panic!("{other:?}"),
    }
}

/// The pages, with how the sheets are cut.
fn document(album: &Album, plan: &Plan) -> Document {
    let order = pieces::order(plan, album, Vec::new(), Trimmer::default());
    let patience = Patience {
        time: Duration::from_secs(60),
        typed: None,
        cancel: None,
        told: None,
    };
    let batches = cut::work::work(&order, None, plan.ruler, &patience).expect("it can be cut");
    let answer = Answer {
        order: &order,
        batches: &batches,
        left: &[],
        asked: None,
    };
    let ask = handout::Ask {
        album,
        plan,
        answer: Some(answer),
        parts: None,
    };
    handout::document(Paper::Letter, &ask)
}

/// Everything that `print -o` does, but for the files.
#[divan::bench(args = SHIPPED)]
fn from_text_to_pdf(bencher: Bencher, name: &str) {
    bencher.bench_local(|| {
        let album = shipped(name);
        let plan = planned(&album);
        pdf::file(&document(&album, &plan)).expect("a PDF")
    });
}

/// Cutting plans, and laying out the pages.
#[divan::bench(args = SHIPPED)]
fn pages(bencher: Bencher, name: &str) {
    let album = shipped(name);
    let plan = planned(&album);
    bencher.bench_local(|| document(&album, &plan));
}

#[divan::bench(args = SHIPPED)]
fn write_pdf(bencher: Bencher, name: &str) {
    let album = shipped(name);
    let document = document(&album, &planned(&album));
    bencher.bench_local(|| pdf::file(&document).expect("a PDF"));
}

#[divan::bench(args = SHIPPED)]
fn write_svg(bencher: Bencher, name: &str) {
    let album = shipped(name);
    let document = document(&album, &planned(&album));
    bencher.bench_local(|| document.pages.iter().map(svg::file).collect::<Vec<_>>());
}

#[divan::bench(args = SHIPPED)]
fn write_html(bencher: Bencher, name: &str) {
    let album = shipped(name);
    let plan = planned(&album);
    let ask = handout::Ask {
        album: &album,
        plan: &plan,
        answer: None,
        parts: None,
    };
    bencher.bench_local(|| html::file(&ask));
}

/// One page as a picture of 200 dots an inch.
#[divan::bench(args = SHIPPED)]
fn write_one_png(bencher: Bencher, name: &str) {
    let album = shipped(name);
    let document = document(&album, &planned(&album));
    bencher.bench_local(|| png::file(&document.pages[1], 200).expect("a picture"));
}
