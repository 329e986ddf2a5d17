//! The style's own words for a leaf: what it is called, its sides and edges, where an insert goes and
//! how much of it shows.

use super::words::{capital, plain};
use crate::length::{Interval, Length, Ruler};
use crate::plan::frames::{FramePlan, Laid, What};
use crate::plan::leaf::PartPlan;
use crate::plan::phrase::Phrase;
use crate::plan::{LeafPlan, Plan};
use crate::style::parts::{Bound, Edge};
use itertools::Itertools;

/// The frame of a kind of leaf; `None` if its style has no tables.
pub fn frame<'a>(plan: &'a Plan, leaf: &LeafPlan) -> Option<&'a FramePlan> {
    let at = plan.leaves.iter().position(|it| it.name == leaf.name)?;
    plan.frames.iter().find(|frame| frame.leaf == Some(at))
}

/// One of it, and several.
pub(super) fn titles(plan: &Plan) -> [&str; 2] {
    let mut frames = plan.frames.iter().filter(|frame| frame.leaf.is_some());
    match frames.next() {
        Some(frame) => [&frame.titles[0], &frame.titles[1]],
        None => ["leaf", "leaves"],
    }
}

/// One of what leaves are made from, and several: bags, or if each is a single layer what the style calls it.
pub(crate) fn supply(plan: &Plan) -> [&str; 2] {
    let single = plan.leaves.iter().all(|leaf| leaf.single);
    match single && !plan.leaves.is_empty() {
        true => titles(plan),
        false => ["bag", "bags"],
    }
}

/// `A leaf`, in the style's words.
pub(super) fn one(plan: &Plan) -> String {
    let [one, _] = titles(plan);
    let article = match one.starts_with(['a', 'e', 'i', 'o', 'u']) {
        true => "An",
        false => "A",
    };
    format!("{article} {one}")
}

/// Whether its leaves are bound, so that it opens and has pages.
pub fn opens(plan: &Plan) -> bool {
    let mut leaves = plan.frames.iter().filter(|frame| frame.leaf.is_some());
    (plan.frames.is_empty() && !plan.leaves.is_empty())
        || leaves.any(|frame| frame.bound != Bound::No)
}

/// `1 leaf`, `4 leaves`, in the style's words.
pub(super) fn count(plan: &Plan, n: i64) -> String {
    let [one, more] = titles(plan);
    super::words::count(n, one, more)
}

/// A sentence for each thing that does not stay on what it lies on, or in what it is tucked into.
pub fn astray(plan: &Plan) -> Vec<String> {
    let all = plan.frames.iter().flat_map(|frame| {
        let leaf = frame.leaf.and_then(|at| plan.leaves.get(at));
        let of = leaf.map_or(String::new(), |leaf| format!("{}: ", plain(&leaf.name)));
        let larger = |it: Interval, of: Interval| it.least() > of.most();
        let astray = frame.astray().filter(move |(laid, into)| {
            let (Some(leaf), Some(_)) = (leaf, into) else {
                return true;
            };
            let of = ["", &laid.name, &format!("{}: {}", leaf.name, laid.name)];
            let accepted = plan.accepted.iter();
            let accepted = accepted.filter(|it| of.contains(&it.of.as_str()));
            // Its maker was told, and accepts it.
            accepted.map(|it| it.by.nm()).max() < Some(frame.over(laid))
        });
        astray.map(move |(laid, into)| {
            let size = |width, height| super::words::size(plan.ruler, width, height);
            let (whole, wide, high) = match into {
                Some(slot) => (&slot.title, slot.width, slot.height),
                None => (&frame.titles[0], frame.width, frame.height),
            };
            let is = match larger(laid.width, wide) || larger(laid.height, high) {
                true if matches!(laid.what, What::Slot(_)) => "reaches beyond",
                true => "is larger than",
                false => "does not lie on",
            };
            capital(&format!(
                "{of}the {}, {}, {is} the {whole}, {}. Mend a rule or a place in the style.",
                plain(&laid.title),
                size(laid.width, laid.height),
                size(wide, high),
            ))
        })
    });
    let show = |width, height| {
        let [width, height] = [width, height].map(Interval::exact);
        super::words::size(plan.ruler, width, height)
    };
    let beyond = plan.beyond.iter().map(|it| {
        let of = match it.leaf.as_str() {
            "" => String::new(),
            leaf => format!("{}: ", plain(leaf)),
        };
        let [wide, high] = it.sheet;
        capital(&format!(
            "{of}the {}, {}, is larger than a sheet of {}, {}. Mend a rule in the style, or name larger paper.",
            plain(&it.name),
            show(it.width, it.height),
            it.paper,
            show(wide, high),
        ))
    });
    all.chain(beyond).collect()
}

/// The side that is seen first, or the other.
pub(super) fn side<'a>(plan: &'a Plan, leaf: &LeafPlan, first: bool) -> &'a str {
    match (frame(plan, leaf), first) {
        (Some(frame), _) => &frame.sides[usize::from(!first)],
        (None, true) => "first side",
        (None, false) => "other side",
    }
}

/// An edge in a sentence: what stands first of the words for it.
pub(super) fn edge(frame: &FramePlan, edge: Edge) -> &str {
    let words = &frame.edges[edge as usize];
    words.split(',').next().unwrap_or(words)
}

/// An insert of a leaf, where it lies: the first of several copies.
pub(super) fn laid<'a>(plan: &'a Plan, leaf: &LeafPlan, name: &str) -> Option<&'a Laid> {
    let mut parts = frame(plan, leaf)?.parts.iter();
    parts.find(|part| part.name == name && matches!(part.what, What::Insert(..)))
}

/// The slot that an insert is in.
pub(super) fn slot<'a>(plan: &'a Plan, leaf: &LeafPlan, insert: &str) -> Option<&'a Laid> {
    let of = laid(plan, leaf, insert)?.slot?;
    frame(plan, leaf)?.parts.get(of)
}

/// A part of the album itself: `cover: wrap`; a frame that is cut is called by its title.
pub(super) fn of_album(plan: &Plan, part: &PartPlan) -> String {
    let mut frames = plan.frames.iter().filter(|frame| frame.leaf.is_none());
    let on = frames.find(|it| it.name == part.label || it.part(&part.label).is_some());
    match on {
        Some(frame) if frame.name == part.label => frame.titles[0].clone(),
        Some(frame) => format!("{}: {}", frame.titles[0], super::words::plain(&part.label)),
        None => super::words::plain(&part.label),
    }
}

/// Where an insert goes: `front slot`, `pocket`.
pub fn place<'a>(plan: &'a Plan, leaf: &LeafPlan, insert: &str) -> &'a str {
    slot(plan, leaf, insert).map_or("", |slot| &slot.title)
}

/// It is glued on, not tucked in.
pub(super) fn glued(plan: &Plan, leaf: &LeafPlan, insert: &str) -> bool {
    slot(plan, leaf, insert).is_some_and(|slot| slot.what == What::Slot(None))
}

/// What shows of an insert beyond the edge of its slot, or how far it stays inside. `None` if it is
/// glued on.
pub fn shows(ruler: Ruler, plan: &Plan, leaf: &LeafPlan, insert: &str) -> Option<Phrase> {
    let shows = frame(plan, leaf)?.shows(laid(plan, leaf, insert)?)?;
    let slot = slot(plan, leaf, insert)?;
    let What::Slot(Some(opens)) = slot.what else {
        return None;
    };
    let edge = slot.edge.as_deref().unwrap_or("its edge");
    Some(shown(ruler, shows, edge, opens))
}

/// From least to most (nanometres), negative where it stays inside.
pub(super) fn shown(ruler: Ruler, (least, most): (i64, i64), edge: &str, opens: Edge) -> Phrase {
    let [beyond, inside] = match opens {
        Edge::High => ["above", "below"],
        Edge::Left | Edge::Right | Edge::Low => ["beyond", "inside"],
    };
    // Half a nanometre either way is nothing that a hand can cut.
    let (least, most) = match most - least {
        0..=2 => (most, most),
        _ => (least, most),
    };
    let told = |phrase: Phrase, a: i64, b: i64| {
        let (a, b) = (Length::from_nm(a), Length::from_nm(b));
        let between = Interval::between(a, b).unwrap_or(Interval::exact(b));
        // What the maker's unit cannot say shortly is rounded, not told in another unit.
        match a == b && !ruler.show(b).ends_with(ruler.unit().name()) {
            true => phrase.about(between),
            false => phrase.length(between),
        }
    };
    let words = |text: &str| Phrase::words(text);
    match (least, most) {
        (0, 0) => words(&format!("ends level with {edge}")),
        (0.., _) => told(words("shows "), least, most).and(format!(" {beyond} {edge}")),
        (_, ..=0) => told(words("stays "), -most, -least).and(format!(" {inside} {edge}")),
        _ => {
            let inner = told(words("ends between "), -least, -least);
            told(inner.and(format!(" {inside} and ")), most, most).and(format!(" {beyond} {edge}"))
        }
    }
}

/// Where the marks of that name are: the style's words, or the plainest.
pub(super) fn marks(frame: &FramePlan, name: &str) -> Option<Phrase> {
    let first = frame.marks.iter().find(|mark| mark.name == name)?;
    if first.note.is_some() {
        return first.note.clone();
    }
    let [left, low] = [Edge::Left, Edge::Low].map(|it| edge(frame, it));
    let from_left = |said: Phrase| {
        let all = frame.marks.iter().filter(|mark| mark.name == name);
        let across = all.filter_map(|mark| mark.across).unique();
        said.lengths(across.collect())
            .and(format!(" from the {left}"))
    };
    let above_low = |said: Phrase| {
        said.lengths(frame.heights_apart(name))
            .and(format!(" above the {low}"))
    };
    Some(match (first.across, first.up) {
        (Some(_), None) => from_left(Phrase::default()),
        (None, _) => above_low(Phrase::default()),
        (Some(_), Some(_)) => above_low(from_left(Phrase::words("centres ")).and(" and ")),
    })
}

/// The side edge along which a leaf is bound, seen from its first side; a turned one at the other.
pub(super) fn bound_at(plan: &Plan, leaf: &LeafPlan) -> Option<Edge> {
    let Bound::At(edge) = frame(plan, leaf)?.bound else {
        return None;
    };
    Some(match (leaf.turned, edge) {
        (true, Edge::Left) => Edge::Right,
        (true, Edge::Right) => Edge::Left,
        (_, edge) => edge,
    })
}

/// The edge across from it.
pub(super) fn opposite(edge: Edge) -> Edge {
    match edge {
        Edge::Left => Edge::Right,
        Edge::Right => Edge::Left,
        Edge::Low => Edge::High,
        Edge::High => Edge::Low,
    }
}

/// Where an edge is in a drawing.
pub(super) fn direction(edge: Edge) -> &'static str {
    match edge {
        Edge::Left => "left",
        Edge::Right => "right",
        Edge::Low => "lower",
        Edge::High => "upper",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_shows_is_told_from_least_to_most() {
        let ruler = Ruler::parse("1/8 in").expect("a ruler");
        let nm = |n: i64| n * 3_175_000;
        let told = |a, b, opens| {
            let said = shown(ruler, (nm(a), nm(b)), "the mouth", opens);
            crate::report::phrase::screen(ruler, &said)
        };
        for (a, b, opens, said) in [
            (2, 2, Edge::High, "shows 1/4 in above the mouth"),
            (-2, -1, Edge::High, "stays 1/8 to 1/4 in below the mouth"),
            (0, 0, Edge::High, "ends level with the mouth"),
            (
                -1,
                1,
                Edge::High,
                "ends between 1/8 in below and 1/8 in above the mouth",
            ),
            (2, 2, Edge::Right, "shows 1/4 in beyond the mouth"),
            (-2, -2, Edge::Left, "stays 1/4 in inside the mouth"),
        ] {
            assert_eq!(told(a, b, opens), said);
        }
    }
}
