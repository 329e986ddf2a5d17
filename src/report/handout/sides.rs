//! What is said of a drawing of one side of a frame.

use super::said::{plain, sized};
use crate::plan::frames::FramePlan;
use crate::plan::{LeafPlan, Plan};
use crate::report::words::{capital, grip, listed};
use crate::report::{phrase, place};

/// `Shore, pocket side`, and the same drawing in words.
pub fn told(plan: &Plan, frame: &FramePlan, back: bool) -> (String, String) {
    let side = &frame.sides[usize::from(back)];
    let size = sized(plan.ruler, frame.width, frame.height);
    let Some(leaf) = frame.leaf.and_then(|leaf| plan.leaves.get(leaf)) else {
        let title = format!("{}, {side}", capital(&frame.titles[0]));
        let pieces = frame.pieces(back).map(|laid| plain(&laid.name));
        let pieces: Vec<String> = pieces.collect();
        let on_it = match pieces.is_empty() {
            true => "Nothing lies on it.".to_owned(),
            false => format!("On it: {}.", listed(&pieces)),
        };
        let about = format!("{title} of {size}. {on_it}");
        return (title, about);
    };
    let of_cover = match (leaf.turned, back) {
        (false, _) => "",
        (true, false) => " (the inside)",
        (true, true) => " (the outside)",
    };
    let seen = super::openings::seen(plan, leaf, !back);
    let one = place::titles(plan)[0];
    (
        format!("{}, {side}{of_cover}", capital(&leaf.name)),
        format!("A {one} of {size}, seen from one side. {seen}"),
    )
}

/// How an insert lies in its slot and how it is taken hold of; `None` if it is glued on.
pub fn shows(plan: &Plan, leaf: &LeafPlan, name: &str) -> Option<String> {
    let shows = place::shows(plan.ruler, plan, leaf, name)?;
    let insert = leaf.inserts.iter().find(|insert| insert.name == name)?;
    let said = [
        Some(place::place(plan, leaf, name).to_owned()),
        Some(phrase::print(plan.ruler, &shows)),
        grip(insert.grip).map(str::to_owned),
    ];
    let said: Vec<String> = said.into_iter().flatten().collect();
    Some(said.join(", "))
}
