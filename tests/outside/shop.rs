//! Albums and styles from text, and what became of them.

use tuckwright::album::{self, Album};
use tuckwright::length::{Interval, Length, Ruler, parse_interval, parse_length};
use tuckwright::plan::clash::Member;
use tuckwright::plan::{Certainty, InsertPlan, Plan, Reason, SizePlan};
use tuckwright::report::phrase::screen;
use tuckwright::solve::Limits;
use tuckwright::style::{self, Style};
use tuckwright::text::{Faults, Files, Look, render};
use tuckwright::{Outcome, work};

pub fn length(text: &str) -> Length {
    parse_length(text).expect("a length")
}

pub fn interval(text: &str) -> Interval {
    parse_interval(text).expect("a length, or between two")
}

#[track_caller]
fn valid<T>(files: &Files, read: Result<T, Faults>) -> T {
    read.unwrap_or_else(|faults| panic!("{}", render(files, &faults, Look::Plain)))
}

/// The shipped style, or one from text.
#[track_caller]
pub fn style(text: Option<&str>) -> Style {
    let text = text.or_else(|| style::shipped::shipped("upright"));
    let mut files = Files::default();
    let file = files.add("style.toml", text.expect("a shipped style"));
    let read = style::text::read(&mut files, file);
    valid(&files, read)
}

#[track_caller]
pub fn album(text: &str) -> Album {
    let mut files = Files::default();
    let file = files.add("album.toml", text);
    let mut load = |_: &str| Err("there are no files here".to_owned());
    let read = album::text::read(&mut files, file, &mut load);
    valid(&files, read)
}

#[track_caller]
fn outcome(style: &Style, album: &Album) -> Outcome {
    match work(style, album, &Limits::default()) {
        Ok(worked) => worked.outcome,
        Err(errors) => panic!("{errors:?}"),
    }
}

/// The plan of an album that fits; every size proved best.
#[track_caller]
pub fn plan_of(style: &Style, album: &Album) -> Plan {
    match outcome(style, album) {
        Outcome::Fits(plan) => {
            assert_eq!(plan.certainty, Certainty::Best);
            *plan
        }
        other => panic!("it does not fit: {other:?}"),
    }
}

#[track_caller]
pub fn plan(text: &str) -> Plan {
    plan_of(&style(None), &album(text))
}

#[track_caller]
pub fn plan_in(own: &str, text: &str) -> Plan {
    plan_of(&style(Some(own)), &album(text))
}

#[track_caller]
fn clash_of(style: &Style, text: &str) -> Vec<(String, String)> {
    let album = album(text);
    match outcome(style, &album) {
        Outcome::Clash(clash) => {
            assert!(clash.proved_minimal);
            told(album.ruler, clash.members)
        }
        other => panic!("nothing clashes: {other:?}"),
    }
}

/// What clashes in the shipped style: the rules' names and sentences, in the style's order.
#[track_caller]
pub fn clash(text: &str) -> Vec<(String, String)> {
    clash_of(&style(None), text)
}

#[track_caller]
pub fn clash_in(own: &str, text: &str) -> Vec<(String, String)> {
    clash_of(&style(Some(own)), text)
}

fn told(ruler: Ruler, mut members: Vec<Member>) -> Vec<(String, String)> {
    members.sort_by_key(|member| member.place);
    let members = members.into_iter();
    members
        .map(|member| {
            let because = screen(ruler, &member.because.unwrap_or_default());
            (member.name, because)
        })
        .collect()
}

/// Exactly these rules clash.
#[track_caller]
pub fn clashes(found: &[(String, String)], names: &[&str]) {
    let found: Vec<&str> = found.iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(found, names);
}

pub fn sizes(plan: &Plan) -> Vec<&SizePlan> {
    let leaves = plan.leaves.iter();
    let parts = leaves.clone().flat_map(|l| &l.parts);
    let inserts = leaves.flat_map(|l| &l.inserts);
    let photos = inserts.clone().filter_map(|i| i.photo.as_ref());
    plan.template
        .iter()
        .chain(parts.flat_map(|p| [&p.width, &p.height]))
        .chain(inserts.flat_map(|i| [&i.width, &i.height]))
        .chain(photos.flat_map(|p| [&p.width, &p.height]))
        .collect()
}

#[track_caller]
fn size<'a>(plan: &'a Plan, name: &str) -> &'a SizePlan {
    let mut all = sizes(plan).into_iter();
    let found = all.find(|size| size.name == name);
    found.unwrap_or_else(|| panic!("the plan has no {name}"))
}

/// Exact sizes of things, as width and height.
#[track_caller]
pub fn has(plan: &Plan, things: &[(&str, &str, &str)]) {
    for (thing, width, height) in things {
        for (side, text) in [("width", width), ("height", height)] {
            let name = format!("{thing}.{side}");
            let found = size(plan, &name).value;
            let wanted = Interval::exact(length(text));
            let shown = plan.ruler.show_interval(found);
            assert_eq!(found, wanted, "{name} is {shown}, not {text}");
        }
    }
}

/// Exactly these rules hold a size.
#[track_caller]
pub fn held(plan: &Plan, name: &str, rules: &[&str]) {
    let reasons = &size(plan, name).held_by;
    let mut found: Vec<&str> = reasons
        .iter()
        .map(|reason| match reason {
            Reason::Rule { name, .. } => name.as_str(),
            other => panic!("{name} is held by {other:?}"),
        })
        .collect();
    found.sort_unstable();
    let mut rules = rules.to_vec();
    rules.sort_unstable();
    assert_eq!(found, rules, "{name}");
}

/// Hole centres above the tail, lowest first.
#[track_caller]
pub fn stand_at(plan: &Plan, heights: &[&str]) {
    let wanted: Vec<Interval> = heights.iter().map(|h| Interval::exact(length(h))).collect();
    let shown = plan.holes.heights.iter();
    let shown: Vec<String> = shown.map(|h| plan.ruler.show_interval(*h)).collect();
    assert_eq!(plan.holes.heights, wanted, "{shown:?}");
}

/// Wishes that the plan does not keep: the rule and its sentence.
pub fn not_kept(plan: &Plan) -> Vec<(&str, String)> {
    let lines = plan.rules.iter().filter(|line| line.wish && !line.kept);
    lines
        .map(|line| (line.name.as_str(), screen(plan.ruler, &line.because)))
        .collect()
}

#[track_caller]
pub fn insert<'a>(plan: &'a Plan, name: &str) -> &'a InsertPlan {
    let mut all = plan.leaves.iter().flat_map(|leaf| &leaf.inserts);
    all.find(|insert| insert.name == name).expect("an insert")
}

/// An album of one kind of flat leaf without any mats or pocket.
pub fn bare(ruler: &str, size: &str, rest: &str) -> String {
    format!(
        r#"
        album = "One kind of leaf"
        ruler = "{ruler}"
        {rest}
        [[bag]]
        name = "leaf"
        size = "{size}"
        bottom = "pinch"
        caliper = "0.1 mm"
        [[leaf]]
        name = "leaf"
        bag = "leaf"
        front_mat = "none"
        back_mat = "none"
        "#
    )
}
