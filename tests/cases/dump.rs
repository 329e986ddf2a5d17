//! A plan or a conflict as short, stable text.

use crate::marks::outcome;
use crate::run::Case;
use std::fmt::Write;
use tuckwright::Outcome;
use tuckwright::length::{Length, Ruler};
use tuckwright::plan::clash::Sense;
use tuckwright::plan::frames::{Laid, What};
use tuckwright::plan::leaf::{InsertPlan, LeafPlan, PhotoPlan};
use tuckwright::plan::{Certainty, Plan, Reason, RuleLine, SizePlan};
use tuckwright::report::phrase::screen;

/// Writing to a text does not fail.
macro_rules! line {
    ($to:expr, $($rest:tt)*) => {{ let _ = writeln!($to, $($rest)*); }};
}

/// A plan: every size with what holds it, wishes that are not kept, rules without a step to spare.
///
/// # Errors
/// It does not fit.
pub fn plan(case: &Case) -> Result<String, String> {
    let worked = case.work()?;
    let Outcome::Fits(plan) = &worked.outcome else {
        return Err(format!("it does not fit: {}", outcome(&worked.outcome)));
    };
    let mut out = sizes(plan);
    section(
        &mut out,
        "not kept",
        plan.rules.iter().filter(|r| !r.kept),
        Some(case.album.ruler),
    );
    let tight = plan
        .rules
        .iter()
        .filter(|r| r.kept && r.steps_left == Some(0));
    section(&mut out, "tight", tight, None);
    if !plan.unlimited.is_empty() {
        line!(out, "\nnothing limits: {}", plan.unlimited.join(", "));
    }
    Ok(out)
}

/// A conflict, or the wishes that are not kept.
///
/// # Errors
/// It fits with every wish kept, or nothing is decided.
pub fn clash(case: &Case) -> Result<String, String> {
    let worked = case.work()?;
    let mut out = String::new();
    match &worked.outcome {
        Outcome::Clash(clash) => {
            for m in &clash.members {
                line!(out, "{}", title(&m.name, &m.of));
                line!(
                    out,
                    "    {}",
                    m.because
                        .as_ref()
                        .map_or("(not told)".to_owned(), |it| screen(case.album.ruler, it))
                );
                if let Some(short) = m.short.filter(|_| !m.kept) {
                    let off = match m.sense {
                        Sense::TooMuch => "too much",
                        Sense::TooLittle => "too little",
                        Sense::Off => "off",
                    };
                    line!(out, "    {} {off}", case.album.ruler.show(short));
                }
            }
        }
        Outcome::Fits(plan) => section(
            &mut out,
            "not kept",
            plan.rules.iter().filter(|r| !r.kept),
            Some(case.album.ruler),
        ),
        other => return Err(outcome(other)),
    }
    if out.is_empty() {
        Err("it fits, and every wish is kept".into())
    } else {
        Ok(out)
    }
}

fn section<'a>(
    out: &mut String,
    word: &str,
    rules: impl Iterator<Item = &'a RuleLine>,
    sentence: Option<Ruler>,
) {
    for (n, rule) in rules.enumerate() {
        if n == 0 {
            if !out.is_empty() {
                out.push('\n');
            }
            line!(out, "{word}:");
        }
        line!(out, "    {}", title(&rule.name, &rule.of));
        if let Some(ruler) = sentence {
            line!(out, "        {}", screen(ruler, &rule.because));
        }
    }
}

fn title(name: &str, of: &str) -> String {
    if of.is_empty() {
        name.to_owned()
    } else {
        format!("{name} [{of}]")
    }
}

/// Everything that is cut, punched, chosen or thick.
pub fn sizes(plan: &Plan) -> String {
    let mut out = String::new();
    let ruler = plan.ruler;
    line!(
        out,
        "{}",
        match plan.certainty {
            Certainty::Best => "proved best",
            Certainty::Found { .. } => "best found",
        }
    );
    let holes = &plan.holes;
    let heights: Vec<_> = holes
        .heights
        .iter()
        .map(|h| ruler.show_interval(*h))
        .collect();
    line!(
        out,
        "holes of {} at {} above the tail",
        ruler.show_interval(holes.diameter),
        heights.join(", ")
    );
    for size in &plan.template {
        line!(out, "{}", one(plan, size));
    }
    let stack = ruler.about(plan.stack_at_holes.most());
    match &plan.ring {
        Some(ring) => line!(
            out,
            "ring: {}; takes {}, stack {stack}",
            ring.name,
            ruler.about(ring.takes)
        ),
        None => line!(out, "stack {stack}"),
    }
    for leaf in &plan.leaves {
        leaf_sizes(&mut out, plan, leaf);
    }
    for size in &plan.others {
        line!(out, "{}", one(plan, size));
    }
    for (n, part) in plan.parts.iter().enumerate() {
        if n == 0 {
            line!(out, "\nparts of the album");
        }
        for size in [&part.width, &part.height] {
            line!(out, "{}", one(plan, size));
        }
    }
    out
}

fn leaf_sizes(out: &mut String, plan: &Plan, leaf: &LeafPlan) {
    let ruler = plan.ruler;
    let turned = if leaf.turned { ", turned" } else { "" };
    line!(
        out,
        "\nleaf {} x{}{turned}: {} wide, {} high",
        leaf.name,
        leaf.count,
        ruler.show_interval(leaf.width),
        ruler.show_interval(leaf.height)
    );
    let parts = laid(plan, leaf);
    let slots = || parts.iter().filter(|part| is_slot(part));
    for pocket in slots().filter(|slot| slot.name == "pocket") {
        line!(
            out,
            "pocket: edge {}, depth {}",
            ruler.show_interval(pocket.mouth.expect("it opens")),
            ruler.show_interval(pocket.height)
        );
    }
    for slot in slots().filter(|slot| called(slot).ends_with(" slot")) {
        let name = called(slot);
        let name = name.trim_end_matches(" slot");
        line!(
            out,
            "slot {name}: depth {}",
            ruler.show_interval(slot.height)
        );
    }
    line!(
        out,
        "thickness: {} in the middle, {} at the holes",
        ruler.about(leaf.thickness.most()),
        ruler.about(leaf.thickness_at_holes.most())
    );
    for part in &leaf.parts {
        line!(
            out,
            "{}\n{}",
            one(plan, &part.width),
            one(plan, &part.height)
        );
        if let Some(under) = part.runs_under {
            line!(
                out,
                "    runs under the pocket by {}",
                ruler.show_interval(under)
            );
        }
    }
    for insert in &leaf.inserts {
        let laid = parts
            .iter()
            .find(|part| part.name == insert.name && matches!(part.what, What::Insert(..)));
        let slot = laid.and_then(|laid| parts.get(laid.slot?));
        insert_sizes(out, plan, insert, slot.map(called));
    }
}

/// What lies on a leaf; nothing if its style has no tables.
fn laid<'p>(plan: &'p Plan, leaf: &LeafPlan) -> &'p [Laid] {
    let at = plan.leaves.iter().position(|it| it.name == leaf.name);
    let frame = plan.frames.iter().find(|frame| frame.leaf == at);
    frame.map_or(&[], |frame| &frame.parts)
}

fn is_slot(part: &Laid) -> bool {
    matches!(part.what, What::Slot(Some(_)))
}

/// A slot of the style in a few letters; the only one of the mouth has no name of its own.
fn called(slot: &Laid) -> String {
    match slot.name.as_str() {
        "mouth" => "only slot".to_owned(),
        "under_band" => "band".to_owned(),
        name => name.replace('_', " "),
    }
}

fn insert_sizes(out: &mut String, plan: &Plan, insert: &InsertPlan, slot: Option<String>) {
    line!(
        out,
        "{}\n{}",
        one(plan, &insert.width),
        one(plan, &insert.height)
    );
    if let Some((least, most)) = insert.shows {
        let show = |nm| plan.ruler.show(Length::from_nm(nm));
        let range = if least == most {
            show(least)
        } else {
            format!("{} to {}", show(least), show(most))
        };
        let place = slot.unwrap_or_default();
        line!(out, "    {place}, shows {range}");
    }
    if let Some(photo) = &insert.photo {
        photo_sizes(out, plan, photo);
    }
}

fn photo_sizes(out: &mut String, plan: &Plan, photo: &PhotoPlan) {
    let ruler = plan.ruler;
    line!(
        out,
        "{}\n{}",
        one(plan, &photo.width),
        one(plan, &photo.height)
    );
    line!(
        out,
        "    border {} at each side, {} above; caption strip {}",
        ruler.show_interval(photo.border_side),
        ruler.show_interval(photo.border_above),
        ruler.show_interval(photo.border_below)
    );
    if let Some(print) = &photo.print {
        let turned = if print.turned { " turned" } else { "" };
        line!(
            out,
            "    from {}{turned}: off {} left, {} right, {} at one end",
            print.name,
            ruler.show(print.off_left),
            ruler.show(print.off_right),
            ruler.show(print.off_end)
        );
    }
}

/// A size with what holds it.
fn one(plan: &Plan, size: &SizePlan) -> String {
    let value = plan.ruler.show_interval(size.value);
    let reasons: Vec<String> = size.held_by.iter().map(|r| reason(plan, r)).collect();
    format!("{}: {value} <- {}", size.name, reasons.join(" + "))
}

fn reason(plan: &Plan, reason: &Reason) -> String {
    match reason {
        Reason::Rule { name, .. } => name.clone(),
        Reason::Preference(title) => format!("({title})"),
        Reason::Limit(length) => format!("limit {}", plan.ruler.show(*length)),
        Reason::Given => "given".into(),
        Reason::Measured => "measured".into(),
        Reason::Unknown => "?".into(),
    }
}
