//! What a maker should watch that no rule of the style says, read off where everything lies.

use super::assumed;
use super::leaf::trims;
use super::phrase::screen;
use super::words::{capital, listed, plain};
use crate::album::Grip;
use crate::arrange::cropped::MUCH;
use crate::arrange::photos::Share2;
use crate::arrange::wish::per_cent;
use crate::length::{Interval, Length};
use crate::plan::frames::{Area, Edge, FramePlan, Laid, Marked, Tab, What};
use crate::plan::{Cropped, Plan};
use crate::supplies::sold;
use crate::text::grouped;
use itertools::Itertools;

/// A sentence for each of them.
pub(super) fn facts(plan: &Plan) -> Vec<String> {
    let photos = Vec::from_iter(plan.cropped.as_ref().map(much_lost));
    [
        photos,
        lying(plan),
        thin(plan),
        hidden_tabs(plan),
        blocked(plan),
        forgotten(plan),
    ]
    .concat()
}

/// Photos that lose much, and what to do about it.
fn much_lost(cropped: &Cropped) -> String {
    let lose = |count| format!("{} more", if count == 1 { "loses" } else { "lose" });
    let count = cropped.photos.iter().map(|(_, names)| names.len()).sum();
    let each = cropped.photos.iter().map(|(lost, names)| {
        let lost = Share2::new((*lost.numer()).into(), (*lost.denom()).into());
        format!("{} {}", listed(&few(names)), per_cent(&lost))
    });
    let each: Vec<String> = each.collect();
    let photos = match count {
        1 => "a photo loses".to_owned(),
        n => format!("{n} photos lose"),
    };
    let turn = "let photos lie on their side (`turn = true` below `[photos]`)";
    let less = match cropped.lying {
        Some(0) => format!("{turn}, and none {}", lose(1)),
        Some(rest) => format!("{turn}, and only {rest} {}", lose(rest)),
        None => "choose others, or say how much may be cut off (`most_cut = \"20 %\"` below `[photos]`): then the rest of the place stays bare".to_owned(),
    };
    let each = few(&each).join("; ");
    format!(
        "{} more than {MUCH} % (our own limit): {each}. {}.",
        capital(&photos),
        capital(&less)
    )
}

/// As many of a list as are read at once, and how many more there are.
fn few(all: &[String]) -> Vec<String> {
    const FEW: usize = 4;
    match all.len() > FEW {
        true => {
            let first = all.iter().take(FEW - 1).cloned();
            first
                .chain([format!("{} more", all.len() + 1 - FEW)])
                .collect()
        }
        false => all.to_vec(),
    }
}

/// A sentence for each bag that may have been measured the other way round.
fn lying(plan: &Plan) -> Vec<String> {
    let bags = plan.leaves.iter().filter(|leaf| leaf.lies);
    let bags = bags.unique_by(|leaf| &leaf.bag);
    bags.map(|leaf| assumed::lies(plan.ruler, &leaf.bag, (leaf.width, leaf.height)))
        .collect()
}

/// Holes that leave less of a paper between their rim and its edge than half their radius: it tears there
/// (common practice, no published source).
fn thin(plan: &Plan) -> Vec<String> {
    let all = plan.frames.iter().flat_map(|frame| {
        let papers = frame.parts.iter().filter(|it| pierced(frame, it));
        papers.filter_map(move |paper| {
            let holes = frame
                .marks
                .iter()
                .filter_map(|hole| Some((hole, left(hole, paper.area)?)));
            let (hole, left) = holes.min_by_key(|(_, left)| *left)?;
            Some((
                (of(plan, frame), &hole.titles[1], left),
                plain(&paper.title),
            ))
        })
    });
    let all = grouped(all)
        .into_iter()
        .map(|((leaf, holes, left), papers)| {
            let papers = papers.into_iter().unique().collect::<Vec<_>>();
            ((holes, left, listed(&papers)), leaf)
        });
    let all = grouped(all).into_iter();
    all.map(|((holes, left, papers), leaves)| {
        let left = plan.ruler.amount(Length::from_nm(left));
        let said = format!("the {holes} leave only {left} of {papers} beside them, which tears: glue a strip behind it, or punch further in.");
        on(plan, &leaves, &said)
    })
    .collect()
}

/// A paper or something glued on, flat and with straight edges, that holes go through.
fn pierced(frame: &FramePlan, laid: &Laid) -> bool {
    let glued = laid.slot.and_then(|at| frame.parts.get(at));
    let glued = glued.is_some_and(|slot| slot.what == What::Slot(None));
    let paper = matches!(laid.what, What::Paper(Some(_))) && laid.flat;
    laid.outline.is_empty() && (paper || glued)
}

/// What a hole leaves of an area beside it (nanometres), if it lies in it and that is too little.
fn left(hole: &Marked, area: Area) -> Option<i64> {
    let radius = hole.diameter?.most().nm() / 2;
    let (across, up) = (hole.across?, hole.up?);
    let beside = [
        across.least().nm() - area.left,
        area.right - across.most().nm(),
        up.least().nm() - area.low,
        area.high - up.most().nm(),
    ];
    let left = beside.into_iter().min()? - radius;
    (left > 0 && left < radius / 2).then_some(left)
}

/// Pull tabs of which one hides another.
fn hidden_tabs(plan: &Plan) -> Vec<String> {
    let all = plan.frames.iter().filter_map(|frame| {
        let inserts = &plan.leaves.get(frame.leaf?)?.inserts;
        let tabs = frame.parts.iter().filter_map(|laid| match laid.what {
            What::Insert(at, _) if inserts.get(at)?.grip == Grip::Tab => {
                Some((laid, frame.tab(laid)?.seen))
            }
            _ => None,
        });
        let tabs: Vec<(&Laid, Area)> = tabs.collect();
        let meets = |(n, (laid, tab)): &(usize, &(&Laid, Area))| {
            let mut others = tabs.iter().enumerate();
            others.any(|(m, (other, area))| m != *n && other.back == laid.back && area.meets(*tab))
        };
        let names = tabs.iter().enumerate().filter(meets);
        let names: Vec<String> = names
            .map(|(_, (laid, _))| plain(&laid.title))
            .unique()
            .collect();
        (!names.is_empty()).then(|| (listed(&names), of(plan, frame)))
    });
    grouped(all)
        .into_iter()
        .map(|(names, leaves)| {
            let said = format!("the pull tabs of {names} lie one behind the other: glue each further to the side than the one before it.");
            on(plan, &leaves, &said)
        })
        .collect()
}

/// Thumb notches with the pull tab of another thing before them: a thumb gets hold of that.
fn blocked(plan: &Plan) -> Vec<String> {
    let all = plan.frames.iter().flat_map(|frame| {
        let inserts = frame.leaf.and_then(|at| plan.leaves.get(at));
        let inserts = inserts.map_or(&[][..], |leaf| &leaf.inserts);
        let has = move |laid: &Laid, grip| match laid.what {
            What::Insert(at, _) => inserts.get(at).is_some_and(|it| it.grip == grip),
            _ => false,
        };
        let notched = frame.parts.iter().enumerate();
        let notched = notched.filter(move |(_, laid)| has(laid, Grip::Notch));
        notched.filter_map(move |(at, notched)| {
            let thumb = thumb(frame, notched)?;
            let mut before = frame.parts.iter().take(at);
            let tab = before.find(|it| {
                let tab = frame.tab(it).filter(|_| has(it, Grip::Tab));
                let meets = |tab: Tab| {
                    let mut all = tab.hidden.into_iter().chain([tab.seen]);
                    all.any(|part| part.meets(thumb))
                };
                it.back == notched.back && tab.is_some_and(meets)
            })?;
            let names = [tab, notched].map(|it| plain(&it.title));
            Some((names, of(plan, frame)))
        })
    });
    let said = |([tab, notch], leaves): ([String; 2], Vec<String>)| {
        let said = format!(
            "the pull tab of {tab} stands before the thumb notch of {notch}: glue it beside the notch."
        );
        on(plan, &leaves, &said)
    };
    grouped(all).into_iter().map(said).collect()
}

/// Where a thumb reaches for a thing with a notch: its radius round the middle of the notch's edge.
fn thumb(frame: &FramePlan, laid: &Laid) -> Option<Area> {
    let (radius, slot) = (frame.grips.notch?, frame.parts.get(laid.slot?)?);
    let What::Slot(Some(edge)) = slot.what else {
        return None;
    };
    let mouth = slot.mouth?.least().nm();
    let (x, y) = match edge {
        Edge::High | Edge::Low => (laid.area.left.midpoint(laid.area.right), mouth),
        Edge::Left | Edge::Right => (mouth, laid.area.low.midpoint(laid.area.high)),
    };
    Some(Area {
        left: x - radius,
        right: x + radius,
        low: y - radius,
        high: y + radius,
    })
}

/// Prints of which more is cut off than photos should lose, and the largest one sold that goes in uncut.
pub(super) fn cut_down(plan: &Plan) -> Vec<String> {
    let all = plan.leaves.iter().flat_map(|leaf| {
        leaf.inserts.iter().filter_map(move |insert| {
            let photo = insert.photo.as_ref()?;
            let print = photo.print.as_ref()?;
            let area = |width: Interval, height: Interval| {
                i128::from(width.most().nm()) * i128::from(height.most().nm())
            };
            let kept = area(photo.width.value, photo.height.value);
            let whole = area(print.width, print.height);
            let much = (whole - kept) * 100 > whole * MUCH;
            let trims = screen(plan.ruler, &trims(print));
            let (width, height) = (photo.width.value.most(), photo.height.value.most());
            let uncut = sold::largest(width, height, plan.ruler.is_metric());
            let uncut = uncut.map_or(String::new(), |(width, height)| {
                let size = plan.ruler.show_size(width, height);
                format!(" The largest print sold that goes in uncut: {size}.")
            });
            let said = format!(
                "{}: more than {MUCH} % (our own limit) of its print goes. {trims}{uncut}",
                plain(&insert.name)
            );
            much.then(|| (said, plain(&leaf.name)))
        })
    });
    let said = |(said, leaves): (String, Vec<String>)| on(plan, &leaves, &said);
    grouped(all).into_iter().map(said).collect()
}

/// What stands out of a leaf beyond the closed album, because the style does not count it.
fn forgotten(plan: &Plan) -> Vec<String> {
    let Some(closed) = plan.closed else {
        return Vec::new();
    };
    let all = plan.frames.iter().filter_map(|frame| {
        frame.leaf?;
        let [_, _, low, high] = frame.out;
        let whole = frame.height.least().nm() + low.nm() + high.nm();
        let stands_out = frame.height.least() <= closed.height && whole > closed.height.nm();
        stands_out.then(|| (Length::from_nm(whole), of(plan, frame)))
    });
    let (ruler, said) = (plan.ruler, plan.ruler.amount(closed.height));
    let sentence = |(whole, leaves): (Length, Vec<String>)| {
        let whole = ruler.amount(whole);
        on(
            plan,
            &leaves,
            &format!(
                "with what stands out it is {whole} high, but the style says {said} for the closed album: add `leaf.out_high` to its `closed.height`."
            ),
        )
    };
    grouped(all).into_iter().map(sentence).collect()
}

/// The name of a frame's leaf, or the frame's own.
fn of(plan: &Plan, frame: &FramePlan) -> String {
    match frame.leaf.and_then(|at| plan.leaves.get(at)) {
        Some(leaf) => plain(&leaf.name),
        None => frame.titles[0].clone(),
    }
}

/// A sentence with what it is about before it, if there are other leaves.
fn on(plan: &Plan, leaves: &[String], sentence: &str) -> String {
    match plan.leaves.len() {
        1 => capital(sentence),
        _ => capital(&format!("{}: {sentence}", listed(leaves))),
    }
}
