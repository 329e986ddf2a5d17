//! The map of the album: what faces what at each opening.

use super::said::{lengths, plain};
use crate::plan::frames::{FramePlan, Laid};
use crate::plan::openings::on_half;
use crate::plan::openings::openings as together;
pub use crate::plan::openings::{Opening, Side};
use crate::plan::{Designed, LeafPlan, Plan};
use crate::report::place;
use crate::report::words::capital;
use crate::style::parts::Edge;
use itertools::Itertools;

/// All openings; those alike are one, unless their pieces are of different designs.
pub fn openings(plan: &Plan) -> Vec<Opening> {
    let all = together(plan);
    if plan.designs.iter().all(|it| it.page.is_none()) {
        return all;
    }
    let alone = |it: Opening| {
        let each = it.from..=it.to;
        each.map(move |n| Opening {
            from: n,
            to: n,
            ..it
        })
    };
    all.into_iter().flat_map(alone).collect()
}

/// The designs and the photos that are seen on a page of an opening: `Front mat fern, pocket mat moss.`,
/// `Photo mat: limpets.`
pub fn designs(plan: &Plan, opening: &Opening, right: bool) -> Vec<String> {
    let here = Some((opening.from, right));
    let all = plan.designs.iter().filter(|it| it.page == here);
    let all: Vec<String> = all
        .map(|it| format!("{} {}", plain(&it.name), it.design))
        .collect();
    let designs = (!all.is_empty()).then(|| all.join(", "));
    let said = designs.into_iter().chain(photos(plan, opening, right));
    said.map(|it| format!("{}.", capital(&it))).collect()
}

/// The photos in each kind of place on a page; of several openings one after the other.
fn photos(plan: &Plan, opening: &Opening, right: bool) -> Vec<String> {
    let pages = opening.from..=opening.to;
    let is_here = |it: &&Designed| {
        let seen = it.page.filter(|(_, side)| *side == right);
        seen.is_some_and(|(page, _)| pages.contains(&page))
    };
    let here: Vec<&Designed> = plan.photos.iter().filter(is_here).collect();
    let names = here.iter().map(|it| &it.name).unique();
    let each = names.map(|name| {
        let on = |page| {
            let is_there = |it: &&&Designed| it.page == Some((page, right)) && it.name == *name;
            let its: Vec<&str> = (here.iter().filter(is_there))
                .map(|it| it.design.as_str())
                .collect();
            match its.is_empty() {
                true => "none".to_owned(),
                false => its.join(" and "),
            }
        };
        let order = if opening.from < opening.to {
            " (in this order)"
        } else {
            ""
        };
        format!(
            "{}: {}{order}",
            plain(name),
            pages.clone().map(on).join("; ")
        )
    });
    each.collect()
}

/// The name of one opening, or of several.
pub fn named(plan: &Plan, opening: &Opening) -> String {
    let leaf = place::titles(plan)[0];
    match (opening.left, opening.right) {
        (None, Some(right)) if has_cover(plan, right) => format!("First {leaf}"),
        (Some(left), None) if has_cover(plan, left) => format!("Last {leaf}"),
        (None, _) => "Front cover".to_owned(),
        (_, None) => "Back of the album".to_owned(),
        _ if opening.from == opening.to => format!("Opening {}", opening.from),
        _ => format!("Openings {} to {}", opening.from, opening.to),
    }
}

/// Where a page is: the name of its opening, and the side of one that has two.
pub fn page(plan: &Plan, at: i64, right: bool) -> (String, &'static str) {
    let all = together(plan);
    let Some(opening) = all.iter().find(|it| (it.from..=it.to).contains(&at)) else {
        return (format!("Opening {at}"), "");
    };
    let side = match (opening.left, opening.right) {
        (Some(_), Some(_)) if right => "right",
        (Some(_), Some(_)) => "left",
        _ => "",
    };
    let alone = Opening {
        from: at,
        to: at,
        ..*opening
    };
    (named(plan, &alone), side)
}

/// The album has something of its own that covers this leaf: boards or a wrap, but not a band round it.
fn has_cover(plan: &Plan, side: Side) -> bool {
    let leaf = plan.leaves.get(side.leaf);
    let inside = leaf.and_then(|leaf| place::frame(plan, leaf));
    let covers = |it: &FramePlan, inside: &FramePlan| {
        it.leaf.is_none()
            && it.width.least() >= inside.width.least()
            && it.height.least() >= inside.height.least()
    };
    leaf.is_some_and(|leaf| !leaf.turned)
        && inside.is_some_and(|inside| plan.frames.iter().any(|it| covers(it, inside)))
}

/// What is seen on a side of a leaf, and what is tucked in there.
pub fn seen(plan: &Plan, leaf: &LeafPlan, first: bool) -> String {
    seen_of(plan, leaf, first, None)
}

/// The same of one half of it.
fn seen_of(plan: &Plan, leaf: &LeafPlan, first: bool, half: Option<Edge>) -> String {
    let frame = place::frame(plan, leaf);
    let mut said = vec![format!(
        "{}, {}",
        capital(&leaf.name),
        place::side(plan, leaf, first)
    )];
    let here = |laid: &Laid| laid.back != first && frame.is_none_or(|it| on_half(it, laid, half));
    let parts = leaf.parts.iter().filter(|part| {
        let laid = frame.and_then(|frame| {
            let mut all = frame.parts.iter().filter(|it| it.name == part.label);
            all.clone().find(|it| here(it)).or(all.next())
        });
        laid.map_or(first, here)
    });
    let mats: Vec<String> = parts
        .map(|p| match &p.paper {
            Some(paper) => format!("{} of {paper}", plain(&p.label)),
            None => plain(&p.label),
        })
        .collect();
    let made_of = frame.and_then(|frame| frame.from.as_deref());
    let bare = match made_of {
        Some(supply) => format!("bare {}", supply.trim_end_matches('s')),
        None => "bare".to_owned(),
    };
    said.push(match mats.is_empty() {
        true => bare,
        false => lengths(&mats),
    });
    for insert in &leaf.inserts {
        let laid = place::laid(plan, leaf, &insert.name);
        if !laid.is_some_and(here) {
            continue;
        }
        let several = match insert.count {
            0 | 1 => String::new(),
            n => format!(" (x{n})"),
        };
        said.push(format!(
            "{}: {}{several}",
            place::place(plan, leaf, &insert.name),
            plain(&insert.name)
        ));
    }
    format!("{}.", said.join("; "))
}

/// The map's title, and the words above it.
pub const TITLE: &str = "The album, page by page";

pub fn introduction(plan: &Plan) -> String {
    let faces = plan.frames.iter().find_map(|frame| frame.faces.clone());
    let leaves = place::titles(plan)[1];
    faces.unwrap_or_else(|| format!("What faces what as you turn the {leaves}."))
}

/// What is seen of a page.
pub fn on_page(plan: &Plan, side: Side) -> String {
    seen_of(plan, &plan.leaves[side.leaf], side.pocket, side.half)
}

/// The same in few words: whose page it is, and what is in it.
pub fn short(plan: &Plan, side: Side) -> String {
    let leaf = &plan.leaves[side.leaf];
    let frame = place::frame(plan, leaf);
    let here = |name: &str| {
        let laid = place::laid(plan, leaf, name);
        laid.is_some_and(|laid| {
            laid.back != side.pocket && frame.is_none_or(|it| on_half(it, laid, side.half))
        })
    };
    let inserts = leaf.inserts.iter().filter(|insert| here(&insert.name));
    let inserts = inserts.map(|insert| plain(&insert.name));
    let inserts: Vec<String> = inserts.collect();
    let of = place::side(plan, leaf, side.pocket);
    let name = capital(&leaf.name);
    match inserts.is_empty() {
        true => format!("{name}, {of}."),
        false => format!("{name}, {of}: {}.", inserts.join(", ")),
    }
}
