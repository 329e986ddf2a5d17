//! The printout: what is drawn agrees with the plan, can be read, and is true to scale on paper.

#[path = "../common/mod.rs"]
mod common;

mod files;
mod geometry;
mod layout;
mod raster;
mod true_scale;

use std::fs;
use std::path::Path;
use tuckwright::album::{self, Album};
use tuckwright::draw::handout;
use tuckwright::draw::list::Document;
use tuckwright::draw::paper::Paper;
use tuckwright::plan::Plan;
use tuckwright::solve::Limits;
use tuckwright::style::Style;
use tuckwright::text::{self, Files, Look};
use tuckwright::{Outcome, work};

/// The shipped albums: one in inches, one in millimetres.
const SHIPPED: [&str; 2] = ["low-water", "hut-book"];
const PAPERS: [Paper; 2] = [Paper::A4, Paper::Letter];

fn shipped(name: &str) -> Album {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("models/albums");
    let words = fs::read_to_string(folder.join(name).with_extension("toml")).unwrap();
    let mut files = Files::default();
    let file = files.add(name, words);
    let mut load = |path: &str| fs::read(folder.join(path)).map_err(|error| error.to_string());
    match album::text::read(&mut files, file, &mut load) {
        Ok(album) => album,
        Err(faults) => panic!("{}", text::render(&files, &faults, Look::Plain)),
    }
}

/// The plan of an album that fits; nothing for any other.
fn planned(style: &Style, album: &Album) -> Option<Plan> {
    match work(style, album, &Limits::default()).ok()?.outcome {
        Outcome::Fits(plan) => Some(*plan),
        _ => None,
    }
}

fn document(paper: Paper, album: &Album) -> (Plan, Document) {
    let plan = planned(&common::upright(), album).expect("it fits");
    let document = handout::document(paper, album, &plan, Vec::new());
    (plan, document)
}
