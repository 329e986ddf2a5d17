//! What stands first: what the album is, what to watch, what the words mean.

use super::said::{plain, sized};
use super::{Block, Bullet, tidied};
use crate::album::Grip;
use crate::plan::Plan;
use crate::report::leaf::trims;
use crate::report::words::{capital, listed};
use crate::report::{cautions, fit, phrase, place, watch};
use crate::text::grouped;
use itertools::Itertools;

/// The heading of what to watch.
pub const WATCH: &str = "What to watch";

/// `7 leaves: 1 of cover, 4 of shore and 2 of ledger. It fits ...`
pub fn under(plan: &Plan) -> String {
    let all: i64 = plan.leaves.iter().map(|leaf| leaf.count).sum();
    let each = plan.leaves.iter();
    let each = each.map(|leaf| format!("{} of {}", leaf.count, leaf.name));
    let each: Vec<String> = each.collect();
    let kinds = match each.len() {
        0 | 1 => String::new(),
        _ => format!(": {}", listed(&each)),
    };
    let verdict = crate::report::verdict(plan.certainty);
    match plan.leaves.is_empty() {
        true => verdict.to_owned(),
        false => format!("{}{kinds}. {verdict}", place::count(plan, all)),
    }
}

/// What one person makes of a plan of one leaf, and what it belongs to.
pub fn of_one(plan: &Plan) -> [String; 2] {
    let name = plan.leaves.first().map_or("", |leaf| &leaf.name);
    let one = place::titles(plan)[0];
    [
        format!("You make one {one}: {name}"),
        format!("For {}. {}", plan.title, super::lists::across(plan)),
    ]
}

/// Everything that a maker should know before the first cut, each with what to do about it.
pub fn watch(plan: &Plan) -> Vec<Block> {
    let mut said: Vec<String> = Vec::new();
    for name in &plan.unlimited {
        said.push(format!(
            "Nothing limits {}: what is shown of it is no size to cut. Give its size.",
            plain(name)
        ));
    }
    said.extend(place::astray(plan));
    said.extend(watch::facts(plan));
    said.extend(unkept(plan));
    let accepted = fit::accepted(plan);
    said.extend(accepted.iter().map(|it| phrase::print(plan.ruler, it)));
    for leaf in &plan.leaves {
        for insert in &leaf.inserts {
            let print = insert.photo.as_ref().and_then(|photo| photo.print.as_ref());
            let Some(print) = print else { continue };
            if !print.is_whole() {
                said.push(format!(
                    "{}, {}: {} Take a picture with nothing there that matters.",
                    capital(&leaf.name),
                    plain(&insert.name),
                    phrase::print(plan.ruler, &trims(print)),
                ));
            }
        }
        let hidden = leaf.inserts.iter().filter(|insert| {
            let inside = insert.shows.is_some_and(|(_, most)| most < 0);
            inside && matches!(insert.grip, Grip::Plain | Grip::Notch)
        });
        let hidden: Vec<String> = hidden.map(|insert| plain(&insert.name)).collect();
        if !hidden.is_empty() {
            said.push(format!(
                "{}: {} cannot be seen from outside. Write on the {} what is inside.",
                capital(&leaf.name),
                listed(&hidden),
                place::titles(plan)[0]
            ));
        }
    }
    if said.is_empty() {
        said.push("Every wish is kept.".to_owned());
    }
    tidied(vec![Block::List(Bullet::Dash, said)])
}

/// A sentence for each wish that is not kept; leaves that share one share the sentence.
fn unkept(plan: &Plan) -> Vec<String> {
    let unkept = plan.rules.iter().filter(|rule| rule.wish && !rule.kept);
    let said = unkept.map(|rule| {
        let leaf = rule.of.split(": ").next().unwrap_or("").to_owned();
        let words = match &rule.watch {
            Some(watch) => phrase::printed(plan.ruler, watch),
            None => format!("{}.", capital(&phrase::printed(plan.ruler, &rule.because))),
        };
        (words, leaf)
    });
    let told = grouped(said.unique()).into_iter().map(|(words, leaves)| {
        match plan.leaves.len() > 1 && !leaves.iter().all(String::is_empty) {
            true => format!("{}: {words}", capital(&listed(&leaves))),
            false => capital(&words),
        }
    });
    told.collect()
}

/// What the words mean, and how lines are drawn.
pub fn words(plan: &Plan) -> Vec<Block> {
    let words = plan
        .words
        .as_ref()
        .map_or(String::new(), |it| format!("{it} "));
    let lines = "Lines: wide, an edge that you see; dashed, an edge that is hidden; chain, a fold; slanting grey lines, glue. Bold numbers beside a drawing are heights above its low edge; those below it are distances from the side edge at which their line begins.";
    tidied(vec![
        Block::Text(format!(
            "{words}Sizes are width × height, as the album stands. {} {lines}",
            super::lists::across(plan)
        )),
        care([plan]),
    ])
}

/// What may hurt at any of these, in short.
pub fn care<'p>(plans: impl IntoIterator<Item = &'p Plan>) -> Block {
    let short = plans.into_iter().flat_map(cautions::of);
    let short: Vec<&str> = short.map(|caution| caution.short).unique().collect();
    Block::Text(format!("Take care. {}", short.join(" ")))
}

/// The album closed.
pub fn closed(plan: &Plan) -> Option<String> {
    let closed = plan.closed?;
    let ruler = plan.ruler;
    Some(format!(
        "Closed: {} wide, {} high, {} thick.",
        ruler.about(closed.width),
        ruler.about(closed.height),
        ruler.about(closed.thickness)
    ))
}

/// A kind of leaf over its drawings.
pub fn kind(plan: &Plan, at: usize) -> String {
    let Some(leaf) = plan.leaves.get(at) else {
        return String::new();
    };
    let turned = match leaf.turned {
        true => "; turned over, like a page",
        false => "",
    };
    format!(
        "{}: {}, {}{turned}",
        capital(&leaf.name),
        place::count(plan, leaf.count),
        sized(plan.ruler, leaf.width, leaf.height),
    )
}
