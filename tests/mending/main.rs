//! What makes an album fit: every fix done by hand, nothing less of it enough, and where nothing
//! mends it, every measure that the maker gave tried.

#[path = "../common/mod.rs"]
mod common;

mod apply;
mod brute;
mod instead;
mod truth;
mod written;

use tuckwright::album::Album;
use tuckwright::album::quick::{self, Quick};
use tuckwright::explain::fixes::why;
use tuckwright::explain::{Explanation, FixChange};
use tuckwright::length::{Interval, Length, Ruler, parse_interval};
use tuckwright::solve::Limits;
use tuckwright::style::Style;
use tuckwright::{Outcome, work};

fn interval(text: &str) -> Interval {
    parse_interval(text).expect("a length")
}

/// A bag as it is typed, with nothing else said.
fn bag(ruler: &str, width: &str, height: &str) -> Quick {
    Quick {
        bottom: None,
        folded: None,
        ruler: Ruler::parse(ruler).expect("a ruler"),
        width: interval(width),
        gusset: None,
        height: interval(height),
        pocket: None,
        pocket_depth: None,
        hole: None,
        edge: None,
        photo_shape: None,
        print: None,
        set: Vec::new(),
    }
}

/// Why an album does not fit; `None` if it fits.
fn explained(style: &Style, album: &Album) -> Option<Explanation> {
    let limits = Limits::default();
    let worked = work(style, album, &limits).ok()?;
    matches!(worked.outcome, Outcome::Clash(_)).then(|| why(style, album, &worked, &limits))
}

fn fits(style: &Style, album: &Album) -> bool {
    let worked = work(style, album, &Limits::default());
    worked.is_ok_and(|worked| matches!(worked.outcome, Outcome::Fits(_)))
}

/// The values that a fix of this one measure moves to, in the order of the lists.
fn moves(found: &Explanation, measure: &str) -> Vec<Interval> {
    let fixes = found.fixes.iter().flat_map(|list| &list.fixes);
    let alone = fixes.filter_map(|fix| match &fix.changes[..] {
        [FixChange::Measure { name, to, .. }] if name == measure => Some(*to),
        _ => None,
    });
    alone.collect()
}

fn quick(quick: Quick) -> Album {
    quick::album(quick)
}
