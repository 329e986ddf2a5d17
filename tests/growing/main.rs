//! What holds a size back, what one more step of a measure buys, and the smallest leaf for things.

#[path = "../common/mod.rs"]
mod common;

mod apply;
mod grow;
mod need;
mod small;
mod varied;

use tuckwright::album::Album;
use tuckwright::album::quick::{self, Quick};
use tuckwright::length::{Interval, Length, Ruler, parse_length};
use tuckwright::plan::{Plan, SizePlan};

fn length(text: &str) -> Length {
    parse_length(text).unwrap()
}

fn exact(text: &str) -> Interval {
    Interval::exact(length(text))
}

/// One flat leaf with the largest photo mat that its mouth takes; its bottom is not known.
fn leaf(ruler: &str, width: &str, height: &str, print: Option<(&str, &str)>) -> Album {
    quick::album(bag(ruler, width, height, print))
}

/// The same with a gusset so narrow that the mouth is as deep: its crease lies as high as the seam.
fn block(ruler: &str, width: &str, height: &str, print: Option<(&str, &str)>) -> Album {
    let gusset = if ruler.ends_with("mm") {
        "24 mm"
    } else {
        "1 in"
    };
    quick::album(Quick {
        gusset: Some(exact(gusset)),
        ..bag(ruler, width, height, print)
    })
}

fn bag(ruler: &str, width: &str, height: &str, print: Option<(&str, &str)>) -> Quick {
    Quick {
        bottom: None,
        folded: None,
        ruler: Ruler::parse(ruler).unwrap(),
        width: exact(width),
        gusset: None,
        height: exact(height),
        pocket: None,
        pocket_depth: None,
        hole: None,
        edge: None,
        photo_shape: None,
        print: print.map(|(w, h)| ("snap".to_owned(), exact(w), exact(h))),
        set: Vec::new(),
    }
}

/// Every size of a plan.
fn sizes(plan: &Plan) -> Vec<&SizePlan> {
    let mut all: Vec<&SizePlan> = plan.template.iter().collect();
    for leaf in &plan.leaves {
        for part in &leaf.parts {
            all.extend([&part.width, &part.height]);
        }
        for insert in &leaf.inserts {
            all.extend([&insert.width, &insert.height]);
            all.extend(insert.photo.iter().flat_map(|p| [&p.width, &p.height]));
        }
    }
    all
}
