//! What is shown in the place of a leaf's drawing: the leaf cut open, the openings of the album, the sheets,
//! the template.

use super::form::{button, capital};
use super::{drawing, printed};
use crate::draw::paper::Paper;
use crate::draw::{cutting, profile, template};
use crate::open::sight::{Now, Sheets, Sight};
use crate::plan::Plan;
use crate::plan::frames::FramePlan;
use crate::report::handout::openings::{self, on_page};
use crate::report::handout::sheets::words;
use crate::report::place;
use maud::{Markup, html};
use serde_json::json;

/// The leaf from its edge, as it is printed: how far each thing goes down, and where it stops.
pub fn cut_open(plan: &Plan, frame: &FramePlan) -> Markup {
    let Some(page) = profile::figure(plan, frame, 110_000_000) else {
        return html! { p class="quiet" { "Nothing is tucked in here." } };
    };
    html! {
        div class="stage" data-key="open" { (printed::paper_page(&page, &page.about)) }
        p class="quiet" data-key="open-about" { (page.about) }
    }
}

/// The openings in order, as the album is turned over.
pub fn album(plan: &Plan) -> Markup {
    let side = |side: openings::Side| {
        let frame = plan
            .frames
            .iter()
            .find(|frame| frame.leaf == Some(side.leaf))?;
        let about = on_page(plan, side);
        let pressed = json!({ "leaf": side.leaf, "side": if side.pocket { "front" } else { "back" }, "view": "leaf" });
        let name = &plan.leaves.get(side.leaf)?.name;
        Some(html! {
            (drawing::small(plan, frame, !side.pocket, (120, 170), &about))
            p { (about) }
            (button(&format!("Look at {name}, {}", frame.sides[usize::from(!side.pocket)]), "/look", &pressed))
        })
    };
    html! {
        @if place::opens(plan) {
            p class="quiet" data-key="intro" { (openings::introduction(plan)) }
            ol class="openings" data-key="openings" {
                @for opening in openings::openings(plan) {
                    li {
                        h3 { (openings::named(plan, &opening)) }
                        div class="opening" {
                            div class="page" { @if let Some(left) = opening.left { (side(left).unwrap_or_default()) } }
                            div class="page" { @if let Some(right) = opening.right { (side(right).unwrap_or_default()) } }
                        }
                    }
                }
            }
        }
        @if let Some(closed) = plan.closed {
            p data-key="closed" {
                "Closed: " (plan.ruler.about(closed.width)) " wide, " (plan.ruler.about(closed.height)) " high, "
                (plan.ruler.about(closed.thickness)) " thick."
            }
        }
    }
}

pub fn sheets(sight: &Sight<'_>, plan: &Plan) -> Markup {
    let Sheets::Counted(answer, ..) = sight.sheets else {
        let said = match sight.now {
            Now::Fits { .. } => "Counting the sheets.",
            _ => "The sheets are counted as soon as the album fits.",
        };
        return html! { p class="quiet" { (said) } };
    };
    let plans = cutting::figures(plan.ruler, answer, 130_000_000);
    html! {
        p class="push" data-key="push" { "Wider than this screen: push a drawing sideways to see its settings." }
        p data-key="sheets-about" { (words(answer.order)) }
        @for (n, page) in plans.iter().enumerate() {
            div class="wide sheet" data-key=(format!("sheet{n}")) { (printed::paper_page(page, &page.about)) }
        }
    }
}

pub fn holes(plan: &Plan) -> Markup {
    let (pages, _) = template::pages(Paper::A4, plan, &mut Vec::new(), &mut Vec::new());
    html! {
        p data-key="true" { "Print the PDF for the template at true scale: a screen shows it smaller or larger." }
        @for said in crate::report::holes::sentences(plan) {
            p { (capital(&crate::report::phrase::screen(plan.ruler, &said))) "." }
        }
        @if let Some(page) = pages.first() {
            div class="wide" data-key="template" { (printed::paper_page(&page.clone().trimmed(2_000_000), &page.about)) }
        }
    }
}
