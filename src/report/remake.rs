//! The same album in another bag, beside the old one: each piece before and now, and what to do with
//! it; or what no longer fits and what to do.

use super::words::{
    capital, headed, lines, listed, plain, sides, size, spaced, strong, table, titled, wrapped,
};
use super::{Answer, From, fit, holes, phrase};
use crate::length::{Interval, Ruler};
use crate::plan::frames::{Bound, Edge, FramePlan};
use crate::plan::{LeafPlan, Plan, Reason, SizePlan};
use itertools::Itertools;

/// What became of an album in another bag; `before` is its plan in its own, where it had one.
pub fn text(from: From<'_>, before: Option<&Plan>, after: Answer<'_>) -> String {
    let fits = |plan: &Plan| {
        let mut text = format!("{}\n", strong(super::verdict(plan.certainty)));
        text.push_str(&watched(before, plan));
        for leaf in &plan.leaves {
            let old = before.and_then(|it| it.leaves.iter().find(|old| old.name == leaf.name));
            text.push_str(&one(plan, old, leaf));
        }
        text.push_str(&own(before, plan));
        text.push_str(&punched(before, plan));
        text
    };
    head(from) + &super::became(from, after, fits)
}

/// What the other bag has no place for, and what to do with it.
pub fn lacking(from: From<'_>, lacking: &[(String, &str)]) -> String {
    let mut text = head(from);
    text.push_str(&format!("{}\n", strong("It does not go in as it is.")));
    for (what, to_do) in lacking {
        let said = format!("{}: {to_do}.", capital(&spaced(what)));
        text.push_str(&wrapped(&said, "  ", "    "));
    }
    text
}

fn head(from: From<'_>) -> String {
    let title = format!("{}, in another bag", capital(from.title));
    titled(&title, from.ruler)
}

/// Wishes that are not kept now and were before.
fn watched(before: Option<&Plan>, plan: &Plan) -> String {
    let old: Vec<String> = before
        .map(|plan| {
            fit::unkept(plan)
                .into_iter()
                .map(|it| it.sentence)
                .collect()
        })
        .unwrap_or_default();
    let new = fit::unkept(plan).into_iter().map(|it| it.sentence);
    let new: Vec<String> = new.filter(|said| !old.contains(said)).collect();
    if new.is_empty() {
        return String::new();
    }
    let mut text = headed(fit::UNKEPT);
    text.push_str(&lines(new));
    text
}

/// A piece of a leaf: its name, width and height.
type Piece<'p> = (String, &'p SizePlan, &'p SizePlan);

fn pieces(leaf: &LeafPlan) -> Vec<Piece<'_>> {
    let parts = leaf.parts.iter();
    let parts = parts.map(|it| (plain(&it.label), &it.width, &it.height));
    let inserts = leaf.inserts.iter().flat_map(|it| {
        let photo = it.photo.as_ref();
        let photo = photo.map(|photo| {
            let name = format!("{}'s photo", plain(&it.name));
            (name, &photo.width, &photo.height)
        });
        let tab = it.tab.as_ref();
        let tab = tab.map(|tab| (tab.of(&plain(&it.name)), &tab.width, &tab.height));
        let own = [(plain(&it.name), &it.width, &it.height)];
        own.into_iter().chain(photo).chain(tab)
    });
    parts.chain(inserts).collect()
}

fn one(plan: &Plan, old: Option<&LeafPlan>, leaf: &LeafPlan) -> String {
    let ruler = plan.ruler;
    let bag = |leaf: &LeafPlan| size(ruler, leaf.width, leaf.height);
    let was = match old {
        Some(old) if old.bag == leaf.bag => ": the same bag".to_owned(),
        Some(old) => format!(": {}, before {} of {}", bag(leaf), bag(old), old.bag),
        None => format!(": {}", bag(leaf)),
    };
    let (now, before) = (pieces(leaf), old.map(pieces).unwrap_or_default());
    let head = format!("{}{was}", capital(&leaf.name));
    beside(ruler, &head, &now, &before)
}

/// The parts of the album itself; empty where it has none.
fn own(before: Option<&Plan>, plan: &Plan) -> String {
    fn pieces(plan: &Plan) -> Vec<Piece<'_>> {
        let parts = plan.parts.iter();
        let parts = parts.map(|it| (plain(&it.label), &it.width, &it.height));
        parts.collect()
    }
    let (now, before) = (pieces(plan), before.map(pieces).unwrap_or_default());
    if now.is_empty() && before.is_empty() {
        return String::new();
    }
    beside(plan.ruler, "Parts of the album itself", &now, &before)
}

/// Pieces now beside those before, and what to do with each.
fn beside(ruler: Ruler, head: &str, now: &[Piece<'_>], before: &[Piece<'_>]) -> String {
    let sizes = |all: &[Piece<'_>]| {
        let all = all.iter();
        let all = all.map(|(name, width, height)| (name.clone(), width.value, height.value));
        all.collect::<Vec<_>>()
    };
    if sizes(now) == sizes(before) {
        return headed(&format!("{head}; keep all of it"));
    }
    let mut text = headed(head);
    let mut rows = Vec::new();
    for (name, width, height) in now {
        let was = before.iter().find(|(other, ..)| other == name);
        let told =
            |it: Option<&Piece<'_>>| it.map_or("-".to_owned(), |it| sides(ruler, it.1, it.2));
        let this = (name.clone(), *width, *height);
        let to_do = was.map_or("cut it", |(_, w, h)| {
            to_do((w.value, h.value), (width.value, height.value))
        });
        rows.push(vec![
            name.clone(),
            told(was),
            told(Some(&this)),
            to_do.to_owned(),
        ]);
    }
    text.push_str(&table(
        &["Piece", "Before", "Now", "What to do"],
        &rows,
        &[],
        "  ",
    ));
    let gone = before
        .iter()
        .filter(|(name, ..)| now.iter().all(|it| it.0 != *name));
    let gone = gone.map(|(name, ..)| name.as_str()).join(", ");
    if !gone.is_empty() {
        text.push_str(&wrapped(&format!("No longer there: {gone}."), "  ", "    "));
    }
    text
}

/// What happens to a piece of one size that has to be of another.
fn to_do(was: (Interval, Interval), now: (Interval, Interval)) -> &'static str {
    let room = |was: Interval, now: Interval| now.most() <= was.least();
    match (was == now, room(was.0, now.0) && room(was.1, now.1)) {
        (true, _) => "keep it",
        (false, true) => "cut it down",
        (false, false) => "make it anew",
    }
}

/// Whether a frame is pierced at the same places as before, from the edges at which its template is laid.
fn is_pierced_alike((before, plan): (&Plan, &Plan), frame: &FramePlan) -> bool {
    let name = |plan: &Plan, it: &FramePlan| {
        let leaf = it.leaf.and_then(|leaf| plan.leaves.get(leaf));
        (it.name.clone(), leaf.map(|leaf| leaf.name.clone()))
    };
    let places = |frame: &FramePlan| -> Vec<[i64; 3]> {
        let nm = |it: Interval| it.middle().nm();
        let holes = frame.marks.iter();
        let holes = holes.filter_map(|it| Some((it.across?, it.up?, it.diameter?)));
        let places = holes.map(|(across, up, wide)| {
            let (width, height) = (nm(frame.width), nm(frame.height));
            let [across, up] = [nm(across), nm(up)];
            let from_edge = match frame.bound {
                Bound::Fold => [2 * across - width, up],
                Bound::At(Edge::Right) => [width - across, up],
                Bound::At(Edge::High) => [across, height - up],
                Bound::No | Bound::At(Edge::Left | Edge::Low) => [across, up],
            };
            [from_edge[0], from_edge[1], nm(wide)]
        });
        places.collect()
    };
    let mut old = before.frames.iter();
    let old = old.find(|it| name(before, it) == name(plan, frame));
    old.is_some_and(|old| places(old) == places(frame))
}

/// Where the holes are, a sentence each.
fn said_of_holes(plan: &Plan) -> Vec<String> {
    let sentences = holes::sentences(plan);
    let said = sentences.iter().map(|it| phrase::screen(plan.ruler, it));
    said.collect()
}

/// Whether the old template still does.
fn is_punched_alike(before: &Plan, plan: &Plan) -> bool {
    let mut frames = plan.frames.iter();
    said_of_holes(before) == said_of_holes(plan)
        && frames.all(|it| is_pierced_alike((before, plan), it))
}

/// What a change changes beside what it says, in a sentence: pieces of another size than before that were
/// not given it, and holes. `None` if nothing.
pub fn also_changed(before: &Plan, plan: &Plan) -> Option<String> {
    let given = |it: &SizePlan| {
        let mut held = it.held_by.iter();
        held.any(|it| matches!(it, Reason::Given | Reason::Measured))
    };
    let leaves = plan.leaves.iter().flat_map(|leaf| {
        let old = before.leaves.iter().find(|old| old.name == leaf.name);
        let old = old.map(pieces).unwrap_or_default();
        let other = move |(name, width, height): &Piece<'_>| {
            let is_other = |was: &SizePlan, now: &SizePlan| was.value != now.value && !given(now);
            let mut old = old.iter();
            let was = old.find(|it| it.0 == *name);
            was.is_some_and(|was| is_other(was.1, width) || is_other(was.2, height))
        };
        pieces(leaf).into_iter().filter(other)
    });
    let mut names: Vec<String> = leaves.map(|(name, ..)| name).unique().collect();
    let more = names.len().saturating_sub(MOST_NAMED);
    if more > 1 {
        names.truncate(MOST_NAMED);
        names.push(format!("{more} more"));
    }
    let sizes = (!names.is_empty()).then(|| listed(&names));
    let old = said_of_holes(before);
    let moved = !old.is_empty() && !plan.leaves.is_empty() && !is_punched_alike(before, plan);
    let holes = moved.then(|| "where the holes are".to_owned());
    let all: Vec<String> = sizes.into_iter().chain(holes).collect();
    (!all.is_empty()).then(|| format!("That also changes {}.", all.join(", and ")))
}

/// Pieces that a sentence names.
const MOST_NAMED: usize = 4;

fn punched(before: Option<&Plan>, plan: &Plan) -> String {
    let now = said_of_holes(plan);
    if plan.leaves.is_empty() {
        let said = "Nothing of it is made from a bag, so nothing changes.";
        return format!("\n{}", wrapped(said, "", "  "));
    }
    if now.is_empty() {
        return String::new();
    }
    let mut text = String::from("\n");
    let same = before.is_some_and(|before| is_punched_alike(before, plan));
    let sentence = match same {
        true => "The holes stay where they are: the same template.".to_owned(),
        false => format!("A new template: {}.", now.join("; ")),
    };
    // They are punched with the old one.
    let keep = |(at, leaf): (usize, &LeafPlan)| {
        let mut old = before.into_iter().flat_map(|plan| &plan.leaves);
        let mut frames = plan.frames.iter().filter(|it| it.leaf == Some(at));
        let otherwise = |before| frames.any(|it| !is_pierced_alike((before, plan), it));
        old.any(|old| old.name == leaf.name && old.bag == leaf.bag) && before.is_some_and(otherwise)
    };
    let again = match !same && plan.leaves.iter().enumerate().any(keep) {
        true => " Leaves in the same bag have to be punched again.",
        false => "",
    };
    let sentence = format!("{sentence}{again}");
    text.push_str(&wrapped(&sentence, "", "  "));
    text
}
