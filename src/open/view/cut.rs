//! What to cut, on one screen: on top what is wrong or to be watched, each with one thing to do; then the
//! pieces, the holes and the sheets.

use super::ask;
use super::fixes::{self, Watched, other_ways, troubles, watched, way};
use super::form::{button, capital, id, plain, shown, sized, tab};
use super::letters;
use crate::cut;
use crate::open::sight::{Now, Sheets, Side, Sight, field};
use crate::plan::frames::FramePlan;
use crate::plan::{InsertPlan, LeafPlan, PhotoPlan, Plan, SizePlan, TabPlan};
use crate::report::fit::accepted;
use crate::report::phrase::screen;
use crate::report::{self, From, assumed, cautions, facts, place};
use itertools::Itertools;
use maud::{Markup, html};
use serde_json::json;

/// What stands in for a measure that is named at once.
const ASSUMED_FIRST: usize = 3;

/// What is to be watched and stands above the pieces.
const WATCHED_FIRST: usize = 2;

/// The right of the page.
pub fn cut(sight: &Sight<'_>) -> Markup {
    html! {
        div id="troubles" data-key="troubles" tabindex="-1" { (wrong(sight)) }
        @if let Some((plan, is_now)) = sight.drawn() {
            @if !is_now { p class="quiet" data-key="before" { "Sizes before, which fitted:" } }
            (pieces(sight, plan))
            (holes(plan))
            (together(plan))
        } @else if matches!(sight.now, Now::Empty(_)) {
            p class="quiet" data-key="empty" { "The list of pieces stands here as soon as a bag is measured." }
        }
    }
}

/// Below it: what to measure, and what can be asked.
pub fn asked(sight: &Sight<'_>) -> Markup {
    html! {
        @if let Some((plan, true)) = sight.drawn() { (measure(plan)) (ask::ask(sight)) (words(plan)) (care(plan)) }
    }
}

/// What is wrong, or to be watched.
fn wrong(sight: &Sight<'_>) -> Markup {
    let Some(from) = sight.from() else {
        return html! {};
    };
    let all = troubles(sight);
    let is_searching = matches!(sight.now, Now::Clash { why: None, .. });
    html! {
        @for (n, said) in fixes::lying(from, sight).into_iter().enumerate() {
            div class="trouble" data-key=(format!("lies{n}")) { p { (said) } }
        }
        @for one in fixes::whole(sight) {
            div class="trouble clash" data-key="whole" { p { strong { "Mends all of it:" } } (way(from, one, true)) }
        }
        @for (n, trouble) in all.iter().enumerate() {
            div class="trouble clash" data-key=(format!("trouble{n}")) {
                p { strong { "Does not fit: " } (trouble.said) "." }
                @match trouble.ways.first() {
                    Some(first) => { (way(from, *first, true)) (other_ways(from, trouble, &format!("ways{n}"))) }
                    None if is_searching => p class="quiet" { "Looking for what mends it ..." },
                    None => p { "No change of your measures mends this. Put something else in its place, or take it out." },
                }
            }
        }
        @let all = watched(sight);
        @let (first, rest) = all.split_at(all.len().min(WATCHED_FIRST));
        @for (n, it) in first.iter().enumerate() { (watch(from, n, it)) }
        @if !rest.is_empty() {
            details class="more" data-key="more-watched" {
                summary { (rest.len()) " more to watch" }
                @for (n, it) in rest.iter().enumerate() { (watch(from, n + first.len(), it)) }
            }
        }
        @if let Some((photos, places)) = fixes::unplaced(sight) {
            div class="trouble watch" data-key="unplaced" {
                p { strong { "Watch: " } (photos - places) " of " (photos) " photos have no place." }
                (button("Where photos and designs go", "/ask", &json!({ "what": "arrange" })))
            }
        }
        @if let Some((plan, true)) = sight.drawn() {
            @for (n, (it, said)) in plan.accepted.iter().zip(accepted(plan)).enumerate() {
                div class="trouble watch" data-key=(format!("accepted{n}")) {
                    p { (screen(plan.ruler, &said)) }
                    (button("Ask for all of it again", "/remove", &json!({ "field": field::join(&["accept", &it.rule, &it.of]) })))
                }
            }
            @for name in &plan.unlimited {
                div class="trouble watch" { p { strong { "Watch: " } "nothing limits " (plain(name)) ". Give its size." } }
            }
            @for said in place::astray(plan) {
                div class="trouble watch" { p { strong { "Watch: " } (said) } }
            }
        }
    }
}

/// A wish that is not kept, and what would keep it.
fn watch(from: From<'_>, n: usize, it: &Watched<'_>) -> Markup {
    html! {
        div class="trouble watch" data-key=(format!("watch{n}")) {
            p { strong { "Watch: " } (fixes::untyped(&it.wish.sentence)) }
            @if let Some((number, remedy)) = it.remedy {
                (button(&fixes::remedy(from, remedy), "/do", &json!({ "watch": number })))
            }
            @if it.wish.lay {
                (button("Let photos lie on their side", "/set", &json!({ "field": "photos.turn", "text": "yes" })))
            }
        }
    }
}

/// The pieces of every kind of leaf.
fn pieces(sight: &Sight<'_>, plan: &Plan) -> Markup {
    html! {
        @for (n, leaf) in plan.leaves.iter().enumerate() {
            @if let Some(frame) = plan.frames.iter().find(|frame| frame.leaf == Some(n)) {
                (of_leaf(sight, plan, (n, leaf), frame))
            }
        }
        @if !plan.parts.is_empty() {
            h3 data-key="own-head" { "Of the album itself" }
            table data-key="own" {
                (head())
                tbody {
                    @for part in &plan.parts {
                        tr { td {} td { (plain(&part.label)) (paper(part.paper.as_ref())) }
                            td class="number" { (sized(plan.ruler, part.width.value, part.height.value)) } td class="number" { (part.count) } }
                    }
                }
            }
        }
    }
}

fn head() -> Markup {
    html! {
        thead { tr {
            th scope="col" { span class="unseen" { "Letter" } }
            th scope="col" { "Piece" }
            th scope="col" class="number" { "Width × height" }
            th scope="col" class="number" { "In all" }
        } }
    }
}

fn paper(paper: Option<&String>) -> Markup {
    html! { @if let Some(paper) = paper { span class="quiet under" { (paper) } } }
}

fn of_leaf(
    sight: &Sight<'_>,
    plan: &Plan,
    (at, leaf): (usize, &LeafPlan),
    frame: &FramePlan,
) -> Markup {
    let sides = [false, true].map(|back| (back, letters::letters(frame, back)));
    let here = sight.look.leaf == at;
    html! {
        details class="leaf" open[here] data-key=(id(&["cut", &leaf.name])) {
            summary { (capital(&leaf.name)) span class="quiet" { ", " (leaf.count) " of " (leaf.bag) ", " (sized(plan.ruler, leaf.width, leaf.height)) } }
            table {
                (head())
                @for (back, letters) in &sides {
                    @if !letters.is_empty() {
                        tbody {
                            tr { th colspan="4" scope="rowgroup" class="quiet" { (capital(&frame.sides[usize::from(*back)])) } }
                            @for (name, letter) in letters { (row(sight, plan, (at, leaf), (name, letter), *back)) }
                        }
                    }
                }
            }
        }
    }
}

/// Width, height, how many a leaf, paper, photo and pull tab of a piece.
type Piece<'a> = (
    &'a SizePlan,
    &'a SizePlan,
    i64,
    Option<&'a String>,
    (Option<&'a PhotoPlan>, Option<&'a TabPlan>),
);

fn piece<'a>(leaf: &'a LeafPlan, name: &str) -> Option<Piece<'a>> {
    let part = leaf.parts.iter().find(|it| it.label == name);
    let part = part.map(|it| {
        (
            &it.width,
            &it.height,
            it.count,
            it.paper.as_ref(),
            (None, None),
        )
    });
    let insert = || leaf.inserts.iter().find(|it| it.name == name);
    let of = |it: &'a InsertPlan| {
        let glued = (it.photo.as_ref(), it.tab.as_ref());
        (&it.width, &it.height, it.count, it.paper.as_ref(), glued)
    };
    part.or_else(|| insert().map(of))
}

fn row(
    sight: &Sight<'_>,
    plan: &Plan,
    (at, leaf): (usize, &LeafPlan),
    (name, letter): (&str, &str),
    back: bool,
) -> Markup {
    let chosen = &sight.look.piece;
    // Before the last change.
    let was = sight.was.and_then(|was| {
        let leaf = was.leaves.iter().find(|it| it.name == leaf.name)?;
        let (width, height, ..) = piece(leaf, name)?;
        let size = sized(was.ruler, width.value, height.value);
        // What was cut for it may be trimmed.
        let (now_width, now_height, ..) = piece(&plan.leaves[at], name)?;
        if (width.value, height.value) == (now_width.value, now_height.value) {
            return None;
        }
        let larger = |was: &SizePlan, now: &SizePlan| was.value.least() >= now.value.least();
        let keeps = larger(width, now_width) && larger(height, now_height);
        Some((size, if keeps { "trim it" } else { "cut it anew" }))
    });
    let side = if back { "back" } else { "front" };
    let seen = if sight.look.side == Side::Both {
        "both"
    } else {
        side
    };
    let look = json!({ "leaf": at, "piece": name, "side": seen, "view": "leaf" });
    let is_chosen = chosen.split('.').next() == Some(name);
    html! {
        @if let Some((width, height, each, sheet, (photo, pull))) = piece(leaf, name) {
            tr data-key=(id(&["row", &leaf.name, name, side])) class=[is_chosen.then_some("chosen")] {
                td { (tab(letter)) }
                td {
                    button type="button" class="plain" data-post="/look" data-body=(look) aria-pressed=[is_chosen.then_some("true")] { (plain(name)) }
                    (paper(sheet))
                }
                td class="number" {
                    (sized(plan.ruler, width.value, height.value))
                    @if let Some((was, what)) = was { span class="quiet under" { "was " (was) ": " (what) } }
                }
                td class="number" { (each.saturating_mul(leaf.count)) }
            }
            @if photo.is_some() || pull.is_some() {
                tr data-key=(id(&["glued", &leaf.name, name, side])) class=(if is_chosen { "glued chosen" } else { "glued" }) {
                    td {}
                    td colspan="3" {
                        @if let Some(photo) = photo {
                            span class="under" {
                                "photo " strong { (sized(plan.ruler, photo.width.value, photo.height.value)) }
                                @if let Some(print) = &photo.print { ". " (screen(plan.ruler, &report::leaf::trims(print))) }
                            }
                        }
                        @if let Some(pull) = pull {
                            span class="under" { "pull tab " strong { (sized(plan.ruler, pull.width.value, pull.height.value)) } }
                        }
                    }
                }
            }
        }
    }
}

fn holes(plan: &Plan) -> Markup {
    let all = report::holes::sentences(plan);
    html! {
        @if !all.is_empty() {
            h3 data-key="holes-head" { "Holes, the same in every leaf" }
            @for (n, said) in all.iter().enumerate() {
                p data-key=(format!("holes{n}")) { (capital(&report::phrase::screen(plan.ruler, said))) "." }
            }
        }
    }
}

fn together(plan: &Plan) -> Markup {
    let ruler = plan.ruler;
    let photos = facts::photos(plan);
    html! {
        h3 data-key="together-head" { "The whole album" }
        ul data-key="together" {
            @for ((width, height), n) in &photos { li { (n) @if *n == 1 { " photo of " } @else { " photos of " } (sized(ruler, *width, *height)) } }
            @if let Some(ring) = &plan.ring {
                li { "Ring: " (ring.name) ", " (shown(ruler, ring.inside)) " inside; the stack is " (ruler.about(plan.stack_at_holes.most())) " thick at the holes." }
            }
            @if let Some(closed) = plan.closed {
                li { "Closed: " (ruler.about(closed.width)) " wide, " (ruler.about(closed.height)) " high, " (ruler.about(closed.thickness)) " thick." }
            }
        }
    }
}

/// How many sheets are needed.
pub fn sheets(sight: &Sight<'_>) -> Markup {
    let Some((_, true)) = sight.drawn() else {
        return html! {};
    };
    let each = |answer: cut::Answer<'_>| {
        html! {
            ul { @for line in by_paper(answer) { li { (line) } } }
            @if let (Some(said), false) = (uncounted(answer), answer.batches.is_empty()) { p { (said) } }
            (button("Look at the sheets", "/look", &json!({ "lead": true, "view": "sheets" })))
        }
    };
    html! {
        div id="sheets-answer" tabindex="-1" {
            h3 { "Sheets" @if sight.albums > 1 { " for " (sight.albums) " albums" } }
            @match sight.sheets {
                Sheets::Soon(None) => p class="quiet" { "Counting the sheets." },
                // It stands where the new count will stand.
                Sheets::Soon(Some(before)) => {
                    p class="quiet" { "Counting again. Before: " (count(before)) }
                    (each(before))
                }
                Sheets::Counting { best, least } => {
                    p { "Counting sheets: " @if let Some(best) = best { (best) " so far, " } "at least " (least) "." }
                    progress aria-label="Counting sheets" {}
                    (button("Stop and keep the best so far", "/stop", &json!({ "what": "sheets" })))
                }
                Sheets::Counted(answer, enough_for, _) => {
                    p { strong { (count(answer)) } }
                    @for line in short(answer, enough_for, sight.albums) { p { (line) } }
                    (each(answer))
                    @if sight.albums > 1 { " " (button("Sheets for one album", "/ask", &json!({ "albums": "1", "what": "people" }))) }
                }
                Sheets::Wrong(why) => ul { @for why in why { li { (why) } } },
            }
        }
    }
}

/// The count in a sentence.
fn count(answer: cut::Answer<'_>) -> String {
    use crate::report::cut::{Verdict, totals, verdict};
    let (sheets, offcuts, least) = totals(answer.batches);
    let many = |n: u64, one: &str| format!("{n} {one}{}", if n == 1 { "" } else { "s" });
    let and = match offcuts {
        0 => String::new(),
        n => format!(" and {}", many(n, "offcut")),
    };
    if answer.batches.is_empty() {
        return "No paper is chosen yet: choose one under Paper, and its sheets are counted."
            .to_owned();
    }
    match verdict(answer.batches) {
        Verdict::Proved => format!("You need {}{and} (proved).", many(sheets, "sheet")),
        Verdict::Found => format!(
            "{}{and} are enough; you need at least {least} (proved).",
            capital(&many(sheets, "sheet"))
        ),
        Verdict::NotEnough => "Your sheets are not enough (proved).".to_owned(),
        Verdict::Undecided => {
            "Whether your sheets are enough is open: no plan was found for them.".to_owned()
        }
    }
}

/// Sheets that are missing, and what those at hand are enough for.
fn short(answer: cut::Answer<'_>, enough_for: Option<u64>, albums: i64) -> Vec<String> {
    let missing = report::cut::missing(answer.order, answer.batches).into_iter();
    let mut all: Vec<String> = missing
        .map(|(paper, _, more)| format!("{more} more of {}.", answer.order.papers[paper].name))
        .collect();
    if let (Some(n), true) = (enough_for, albums > 1) {
        let one = if n == 1 { "album" } else { "albums" };
        all.push(format!(
            "What you have is enough for {n} {one} of {albums}."
        ));
    }
    all
}

/// What has no paper is cut of no sheet.
fn uncounted(answer: cut::Answer<'_>) -> Option<String> {
    let all = &answer.order.any_paper;
    let pieces: u64 = all.iter().map(|want| want.count).sum();
    let names = all.iter().map(|want| plain(&want.label())).unique();
    let names = names.collect::<Vec<_>>().join(", ");
    let are = if pieces == 1 {
        "piece that has"
    } else {
        "pieces that have"
    };
    (pieces > 0).then(|| format!("Not counted: {pieces} {are} no paper yet ({names})."))
}

fn by_paper(answer: cut::Answer<'_>) -> Vec<String> {
    let plans = answer.batches.iter().flat_map(|batch| &batch.plan().papers);
    let plans = plans.filter_map(|plan| {
        let paper = answer.order.papers.get(plan.paper)?;
        let name = if paper.name.is_empty() {
            "any paper"
        } else {
            &paper.name
        };
        Some(format!("{name}: {}", plan.sheets))
    });
    plans.collect()
}

/// What was taken for a measure that nobody gave.
fn measure(plan: &Plan) -> Markup {
    let all = assumed::lines(&plan.assumed, assumed::Told::Printed, |it| {
        screen(plan.ruler, it)
    });
    let (first, rest) = all.split_at(all.len().min(ASSUMED_FIRST));
    html! {
        @if !all.is_empty() {
            h3 data-key="assumed-head" { "Assumed: measure these" }
            ul data-key="assumed" { @for said in first { li { (said) } } }
            @if !rest.is_empty() {
                details data-key="assumed-more" { summary { (rest.len()) " more" } ul { @for said in rest { li { (said) } } } }
            }
        }
    }
}

/// What the words of this kind of album mean.
fn words(plan: &Plan) -> Markup {
    let all = plan.words.as_deref().unwrap_or("");
    html! {
        @if !all.is_empty() {
            details data-key="words" {
                summary { "Words" span class="quiet" { " what they mean" } }
                ul { @for said in all.split_inclusive(". ") { li { (said.trim_end()) } } }
            }
        }
    }
}

fn care(plan: &Plan) -> Markup {
    html! {
        details data-key="care" {
            summary { "Take care" span class="quiet" { " " (cautions::of(plan).map(|it| it.short).collect::<Vec<_>>().join(" ")) } }
            ul { @for caution in cautions::of(plan) { li { (caution.full) } } }
        }
    }
}
