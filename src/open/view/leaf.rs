//! The middle of the page: a leaf to scale, and under it the piece that is chosen, with what decides its
//! sizes; or what `whole` shows in its place.

use super::arrows::Offender;
use super::drawing::{self, Drawing};
use super::fixes::{too_large, untyped};
use super::form::{At, Holds, button, capital, entry, id, plain, shown, sized, tab};
use super::{letters, whole};
use crate::album::{Album, Leaf};
use crate::explain::Offer;
use crate::length::Ruler;
use crate::open::sight::{Asked, Now, Side, Sight, View, field};
use crate::plan::frames::FramePlan;
use crate::plan::{LeafPlan, Plan, Reason, SizePlan};
use crate::report::phrase::plainly;
use crate::report::why;
use itertools::Itertools;
use maud::{Markup, html};
use serde_json::json;

/// The middle of the page.
pub fn leaf(sight: &Sight<'_>, width: u32) -> Markup {
    let Some((plan, is_now)) = sight.drawn() else {
        return html! {
            h2 { "The leaf" }
            p class="quiet" {
                @match sight.now {
                    Now::Empty(_) => "Your leaf is drawn here as soon as width and height are typed.",
                    _ => "There is nothing to draw yet: no sizes fitted so far.",
                }
            }
        };
    };
    let Some((leaf, frame)) = looked_at(sight, plan) else {
        return html! { h2 { "The leaf" } p class="quiet" { "This kind of album has no drawing." } };
    };
    let look = sight.look;
    let side = match look.side {
        Side::Front => frame.sides[0].as_str(),
        Side::Back => frame.sides[1].as_str(),
        Side::Both => "both sides",
        Side::Open => "cut open",
    };
    let title = match look.view {
        View::Leaf if leaf.name == frame.titles[0] => format!("The {}: {side}", leaf.name),
        View::Leaf => format!("The {}: {}, {side}", frame.titles[0], leaf.name),
        View::Album => "The whole album".to_owned(),
        View::Sheets if sight.albums > 1 => format!("The sheets for {} albums", sight.albums),
        View::Sheets => "The sheets".to_owned(),
        View::Template => "The template".to_owned(),
    };
    html! {
        h2 data-key="leaf-head" { (title) }
        div class="views" data-key="views" {
            (views(sight, frame))
        }
        @match look.view {
            View::Leaf if look.side == Side::Open => (whole::cut_open(plan, frame)),
            View::Leaf => (faces(sight, plan, (leaf, frame), is_now, width)),
            View::Album => (whole::album(plan)),
            View::Sheets => (whole::sheets(sight, plan)),
            View::Template => (whole::holes(plan)),
        }
    }
}

/// The leaf that is looked at, and its frame: by its name, or by its place where it was renamed.
fn looked_at<'a>(sight: &Sight<'_>, plan: &'a Plan) -> Option<(&'a LeafPlan, &'a FramePlan)> {
    let named = sight
        .read
        .and_then(|read| read.album.leaves.get(sight.look.leaf));
    let by_name = named.and_then(|leaf| plan.leaves.iter().position(|it| it.name == leaf.name));
    let last = plan.leaves.len().checked_sub(1)?;
    let at = by_name.unwrap_or(sight.look.leaf.min(last));
    let frame = plan.frames.iter().find(|frame| frame.leaf == Some(at))?;
    Some((plan.leaves.get(at)?, frame))
}

fn views(sight: &Sight<'_>, frame: &FramePlan) -> Markup {
    let look = sight.look;
    let shows = [
        ("leaf", "this leaf", View::Leaf),
        ("album", "the whole album", View::Album),
        ("sheets", "the sheets", View::Sheets),
        ("template", "the template", View::Template),
    ];
    let sides = [
        ("front", frame.sides[0].as_str(), Side::Front),
        ("back", frame.sides[1].as_str(), Side::Back),
        ("both", "both sides", Side::Both),
        ("open", "cut open", Side::Open),
    ];
    html! {
        span {
            label for="view" { "Show" } " "
            select id="view" data-look="view" {
                @for (value, words, view) in shows { option value=(value) selected[look.view == view] { (words) } }
            }
        }
        @if look.view == View::Leaf {
            span {
                label for="side" { "from" } " "
                select id="side" data-look="side" {
                    @for (value, words, side) in sides { option value=(value) selected[look.side == side] { (words) } }
                }
            }
        }
    }
}

/// The name of a piece without the side of it: `tag` of `tag.height`.
fn piece_of<'l>(plan: &LeafPlan, piece: &'l str) -> &'l str {
    let all = plan.parts.iter().map(|it| it.label.as_str());
    let mut all = all.chain(plan.inserts.iter().map(|it| it.name.as_str()));
    let head = piece.split('.').next().unwrap_or(piece);
    if all.any(|name| name == head) {
        head
    } else {
        ""
    }
}

/// One face of the leaf, or both; then the piece that is chosen.
fn faces(
    sight: &Sight<'_>,
    plan: &Plan,
    (leaf, frame): (&LeafPlan, &FramePlan),
    is_now: bool,
    width: u32,
) -> Markup {
    let backs: &[bool] = match sight.look.side {
        Side::Both => &[false, true],
        side => &[side == Side::Back],
    };
    // Beside each other if there is room for both; else half as high, one above the other.
    let (width, half) = match (backs, width) {
        ([_, _], 640..) => (width / 2, false),
        ([_, _], _) => (width, true),
        _ => (width, false),
    };
    let chosen = piece_of(leaf, &sight.look.piece);
    let letters = backs.iter().map(|back| letters::letters(frame, *back));
    let letters: Vec<Vec<(String, String)>> = letters.collect();
    html! {
        @if matches!(sight.now, Now::Clash { .. }) { p class="quiet" data-key="before" { "Pale: the last sizes that fitted." } }
        div class="faces" data-key="faces" {
            @for back in backs {
                div data-key=(if *back { "back" } else { "front" }) {
                    @if backs.len() > 1 { h3 { (capital(&frame.sides[usize::from(*back)])) } }
                    (face(sight, plan, (leaf, frame), (is_now, width, half), *back))
                }
            }
        }
        p class="quiet" data-key="legend" { "Dashed: hidden. A letter in a square: see the list." }
        @if chosen.is_empty() {
            p class="quiet" data-key="none" { "Choose a piece in the drawing or in the list: what decides its size stands here." }
        } @else {
            (piece(sight, plan, leaf, chosen, &letters.concat()))
        }
        details data-key="words" {
            summary { "The drawing in words" }
            @for (back, letters) in backs.iter().zip(&letters) {
                @if backs.len() > 1 { h4 { (capital(&frame.sides[usize::from(*back)])) } }
                ul {
                    @for (name, letter) in letters {
                        @if let (Some(width), Some(height)) = (size(plan, &leaf.name, &format!("{name}.width")), size(plan, &leaf.name, &format!("{name}.height"))) {
                            li { (letter) ", " (plain(name)) ", " (sized(plan.ruler, width.value, height.value)) }
                        }
                    }
                }
            }
            ul {
                @for said in crate::report::holes::sentences(plan) {
                    li { (capital(&crate::report::phrase::screen(plan.ruler, &said))) }
                }
            }
        }
    }
}

/// The drawing of one face, with boxes at the arrows of the piece that is chosen.
fn face(
    sight: &Sight<'_>,
    plan: &Plan,
    (leaf, frame): (&LeafPlan, &FramePlan),
    (is_now, width, half): (bool, u32, bool),
    back: bool,
) -> Markup {
    let chosen = piece_of(leaf, &sight.look.piece);
    let drawn = drawing::draw(&Drawing {
        plan,
        frame,
        back,
        width,
        chosen,
        half,
        is_now,
        offenders: offenders(sight, leaf, plan.ruler),
    });
    let of_album = sight.read.and_then(|read| {
        let mut leaves = read.album.leaves.iter();
        Some((&read.album, leaves.find(|it| it.name == leaf.name)?))
    });
    let box_id = |side: &str| {
        id(&[
            if back { "drawn-back" } else { "drawn" },
            &leaf.name,
            chosen,
            side,
        ])
    };
    html! {
        div class="stage" data-key="stage" data-width=(drawn.width) data-height=(drawn.height) {
            (drawn.svg)
            @if let Some((album, of)) = of_album {
                @for (side, spot) in [("width", &drawn.across), ("height", &drawn.up)] {
                    @if let (Some(spot), Some(size)) = (spot, size(plan, &leaf.name, &format!("{chosen}.{side}"))) {
                        @let (path, said) = said_of(album, of, chosen, side);
                        input class=(if said.is_empty() { "size open" } else { "size" }) type="text"
                            id=(box_id(side)) data-key=(box_id(side))
                            data-field=(field::join(&path.iter().map(String::as_str).collect::<Vec<_>>())) data-holds="length"
                            data-x=(spot.x) data-y=(spot.y) value=(said) placeholder=(shown(plan.ruler, size.value))
                            aria-label=(format!("{} of {}", capital(side), plain(chosen))) autocomplete="off" spellcheck="false";
                    }
                }
            }
        }
    }
}

/// Sizes of this leaf that are too large, each as it is drawn.
fn offenders(sight: &Sight<'_>, leaf: &LeafPlan, ruler: Ruler) -> Vec<Offender> {
    let mut all: Vec<Offender> = Vec::new();
    for it in too_large(sight) {
        if !it.leaf.is_empty() && it.leaf != leaf.name {
            continue;
        }
        let Some((piece, side)) = it.name.rsplit_once('.') else {
            continue;
        };
        let by =
            why::difference(it.now, it.most).map_or(String::new(), |by| ruler.show_typographic(by));
        let (width, height, too) = match side {
            "width" => (Some((it.now, it.most)), None, "too wide"),
            "height" => (None, Some((it.now, it.most)), "too high"),
            _ => continue,
        };
        all.push(Offender {
            piece: piece.to_owned(),
            width,
            height,
            said: format!("{by} {too}"),
        });
    }
    all
}

/// Where an album says a side of a piece, and what it says there; empty if it is worked out.
fn said_of(album: &Album, leaf: &Leaf, piece: &str, side: &str) -> (Vec<String>, String) {
    let ruler = album.ruler;
    let words = |words: &[&str]| words.iter().map(|it| (*it).to_owned()).collect();
    if let Some(insert) = leaf.inserts.iter().find(|it| it.name == piece) {
        let said = if side == "width" {
            &insert.width
        } else {
            &insert.height
        };
        let said = said
            .as_ref()
            .map_or(String::new(), |it| shown(ruler, it.value));
        return (words(&["leaf", &leaf.name, "insert", piece, side]), said);
    }
    let name = format!("{piece}.{side}");
    let mut given = leaf.given.iter();
    let said = given.find(|(it, _)| it.value == name);
    let said = said.map_or(String::new(), |(_, value)| shown(ruler, *value));
    (words(&["leaf", &leaf.name, "given", &name]), said)
}

/// A size of a leaf by its name.
fn size<'a>(plan: &'a Plan, leaf: &str, name: &str) -> Option<&'a SizePlan> {
    plan.sizes()
        .find(|size| size.name == name && (size.leaf == leaf || size.leaf.is_empty()))
}

/// The piece that is chosen: its sizes as boxes, what decides each, and what would make it larger.
fn piece(
    sight: &Sight<'_>,
    plan: &Plan,
    leaf: &LeafPlan,
    chosen: &str,
    letters: &[(String, String)],
) -> Markup {
    let letter = letters.iter().find(|(name, _)| name == chosen);
    let of_album = sight.read.and_then(|read| {
        let mut leaves = read.album.leaves.iter();
        Some((&read.album, leaves.find(|it| it.name == leaf.name)?))
    });
    let photo = format!("{chosen}.photo");
    let things = [
        (chosen, plain(chosen)),
        (photo.as_str(), format!("photo on {}", plain(chosen))),
    ];
    html! {
        div class="piece" data-key=(id(&["piece", &leaf.name, chosen])) {
            h3 { @if let Some((_, letter)) = letter { (tab(letter)) " " } (capital(&plain(chosen))) }
            @for (thing, called) in &things {
                @let sides = ["width", "height"].map(|side| (side, size(plan, &leaf.name, &format!("{thing}.{side}"))));
                @if let [(_, Some(width)), (_, Some(height))] = sides {
                    p { strong { (capital(called)) ", " (sized(plan.ruler, width.value, height.value)) "." } }
                }
                @for (side, size) in sides {
                    @if let Some(size) = size {
                        @let all = reasons(plan.ruler, size);
                        div class="side" data-key=(id(&["side", thing, side])) {
                            @if let (Some((album, of)), true) = (of_album, *thing == chosen) {
                                @let (path, said) = said_of(album, of, chosen, side);
                                (entry(&format!("{} of {called}", capital(side)), At::called(&format!("f-piece-{side}"), &path.iter().map(String::as_str).collect::<Vec<_>>()), Holds::Length, &said, &shown(plan.ruler, size.value)))
                            }
                            p { @if *thing != chosen { (capital(side)) " " (shown(plan.ruler, size.value)) ": " }
                                (all.first().map_or("", String::as_str)) }
                            @if all.len() > 1 {
                                details data-key=(id(&["reasons", thing, side])) {
                                    summary { @if all.len() == 2 { "1 more reason" } @else { (all.len() - 1) " more reasons" } }
                                    ul { @for said in all.iter().skip(1) { li { (said) } } }
                                }
                            }
                            @if size.held_by.iter().any(|it| !matches!(it, Reason::Given | Reason::Measured)) {
                                (button(&format!("What would make the {called} {}?", if side == "width" { "wider" } else { "higher" }),
                                    "/ask", &json!({ "leaf": size.leaf, "size": size.name, "what": "grow" })))
                            }
                            (growth(sight, size))
                        }
                    }
                }
            }
        }
    }
}

/// What decides a size, a sentence each.
fn reasons(ruler: Ruler, size: &SizePlan) -> Vec<String> {
    let said = size.held_by.iter().map(|reason| match reason {
        Reason::Rule { because, .. } => format!("{}.", capital(&plainly(ruler, because))),
        Reason::Preference(title) => format!("Limited by an earlier wish: {}.", plain(title)),
        Reason::Limit(limit) => format!(
            "It may be no smaller and no larger than {}.",
            ruler.show(*limit)
        ),
        Reason::Given => "You gave this size.".to_owned(),
        Reason::Measured => "You measured it.".to_owned(),
        Reason::Unknown => "A limit was met before the reason was found.".to_owned(),
    });
    said.unique().collect()
}

/// What would make a size larger, if that was asked of this one.
fn growth(sight: &Sight<'_>, size: &SizePlan) -> Markup {
    let Asked::Grow(growth) = sight.asked else {
        return html! {};
    };
    let Some(from) = sight.from() else {
        return html! {};
    };
    if growth.name != size.name || growth.leaf != size.leaf {
        return html! {};
    }
    let better = if growth.larger { "larger" } else { "smaller" };
    html! {
        div class="answer-box" data-key="growth" {
            @for said in why::places(from, growth) { p { (untyped(&said)) } }
            @if growth.offers.is_empty() {
                p { "No other amount of one measure alone makes it " (better) @if growth.proved { " (proved)" } "." }
            } @else {
                ul class="ways" {
                    @for (n, offer) in growth.offers.iter().enumerate() {
                        @let to = if offer.more { "more" } else { "less" };
                        @let of = from.in_leaf(&offer.leaf);
                        @let what = format!("{} {to} of the {}{of}", from.ruler.show(offer.by), plain(&untyped(&offer.measure)));
                        li {
                            @if can_take(sight, offer) { (button(&what, "/do", &json!({ "offer": n }))) } @else { (what) }
                            " makes it " (from.ruler.show(offer.buys)) " " (better)
                            @if let Some(loses) = offer.loses { ", and its other side " (from.ruler.show(loses)) " " @if growth.larger { "smaller" } @else { "larger" } }
                            "."
                        }
                    }
                }
            }
            (button("Close", "/ask", &json!({ "what": "none" })))
        }
    }
}

/// Whether what is offered is the maker's to change: a bag or a print is as large as it is.
fn can_take(sight: &Sight<'_>, offer: &Offer) -> bool {
    let Some(read) = sight.read else {
        return false;
    };
    let name = offer.measure.as_str();
    let leaf = read.album.leaves.iter().find(|it| it.name == offer.leaf);
    match (name.rsplit_once('.'), leaf) {
        (Some(("template", _)), _) => true,
        (Some((of, _)), Some(leaf)) => {
            leaf.given.iter().any(|(it, _)| it.value == name)
                || leaf.inserts.iter().any(|it| it.name == of)
        }
        (None, None) => read.style.quantity(name).is_some(),
        _ => false,
    }
}

/// Letters of the pieces of a leaf, both sides.
pub fn letters(sight: &Sight<'_>, leaf: &str) -> Vec<(String, String)> {
    let Some((plan, _)) = sight.drawn() else {
        return Vec::new();
    };
    let at = plan.leaves.iter().position(|it| it.name == leaf);
    let frame = plan
        .frames
        .iter()
        .find(|frame| at.is_some() && frame.leaf == at);
    let sides = |frame: &FramePlan| {
        [false, true]
            .map(|back| letters::letters(frame, back))
            .concat()
    };
    frame.map_or(Vec::new(), sides)
}
