//! The printout: what is drawn agrees with the plan, can be read, and is true to scale on paper.

#[path = "../common/mod.rs"]
mod common;

mod files;
mod folds;
mod geometry;
mod handout;
mod kits;
mod laid;
mod layout;
mod pages;
mod places;
mod raster;
mod stranger;
mod styles;
mod tables;
mod true_scale;

use common::shipped;
use std::time::Duration;
use tuckwright::album::Album;
use tuckwright::cut::work::{Batch, Patience};
use tuckwright::cut::{self, Answer, Order, Trimmer, pieces};
use tuckwright::draw::handout::{Ask, Part, document as printed};
use tuckwright::draw::list::Document;
use tuckwright::draw::paper::Paper;
use tuckwright::plan::Plan;
use tuckwright::solve::Limits;
use tuckwright::style::Style;
use tuckwright::{Outcome, work};

/// The shipped albums: one in inches, one in millimetres.
const SHIPPED: [&str; 2] = ["low-water", "hut-book"];
const PAPERS: [Paper; 2] = [Paper::A4, Paper::Letter];

/// The plan of an album that fits; nothing for any other.
fn planned(style: &Style, album: &Album) -> Option<Plan> {
    match work(style, album, &Limits::default()).ok()?.outcome {
        Outcome::Fits(plan) => Some(*plan),
        _ => None,
    }
}

/// How an album's sheets are cut.
struct Cutting {
    order: Order,
    batches: Vec<Batch>,
}

impl Cutting {
    fn of(album: &Album, plan: &Plan) -> Cutting {
        let order = pieces::order(plan, album, Vec::new(), Trimmer::default());
        let patience = Patience {
            time: Duration::from_secs(600),
            typed: None,
            cancel: None,
            told: None,
        };
        let batches = cut::work::work(&order, None, plan.ruler, &patience).expect("it can be cut");
        Cutting { order, batches }
    }

    fn answer(&self) -> Answer<'_> {
        Answer {
            order: &self.order,
            batches: &self.batches,
            left: &[],
            asked: None,
        }
    }
}

fn document(paper: Paper, album: &Album) -> (Plan, Document) {
    with_parts(paper, album, None)
}

fn with_parts(paper: Paper, album: &Album, parts: Option<&[Part]>) -> (Plan, Document) {
    with_parts_of(&common::upright(), paper, album, parts)
}

fn with_parts_of(
    style: &Style,
    paper: Paper,
    album: &Album,
    parts: Option<&[Part]>,
) -> (Plan, Document) {
    let plan = planned(style, album).expect("it fits");
    let cutting = Cutting::of(album, &plan);
    let ask = Ask {
        album,
        plan: &plan,
        answer: Some(cutting.answer()),
        parts,
    };
    let document = printed(paper, &ask);
    (plan, document)
}

/// The usual printout of an album whose sheets are not cut.
fn uncut(paper: Paper, album: &Album, plan: &Plan) -> Document {
    let ask = Ask {
        album,
        plan,
        answer: None,
        parts: None,
    };
    printed(paper, &ask)
}
