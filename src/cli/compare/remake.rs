//! The album in the bag that is typed, beside what it is in its own.

use super::super::output::Sink;
use super::super::typed::Typed;
use super::super::{CLASH, Input, Source, Stop, answer, ask, explained, from, input, usage, work};
use super::Compare;
use crate::album::{Album, Template};
use crate::explain::{Deed, Explanation, Fix, FixChange};
use crate::plan::work::Outcome;
use crate::plan::{Listed, Plan};
use crate::program::ExpandError;
use crate::program::expand::expand;
use crate::report;
use crate::solve::Limits;

/// What has no place in an album, each with what to do; `None` if more than that is wrong.
fn lacking(errors: &[ExpandError]) -> Option<Vec<(String, &str)>> {
    let each = errors.iter().map(|error| match error {
        ExpandError::Nowhere { help, .. } => Some((error.to_string(), help.as_str())),
        _ => None,
    });
    each.collect()
}

/// The album in the bag that is typed, beside what it is in its own.
pub(super) fn remake(verb: &Compare) -> Result<u8, Stop> {
    let limits = verb.time.begin();
    let others = [
        ("--bags", !verb.bags.is_empty()),
        ("--widths", verb.widths.is_some()),
        ("--at-least", !verb.at_least.is_empty()),
        ("--svg", verb.svg.is_some()),
        ("--csv", verb.csv),
    ];
    if let Some((option, _)) = others.iter().find(|(_, typed)| *typed) {
        let message = format!("`{option}` does not go with an album and `--bag`. Leave it out");
        return Err(usage("compare", &message));
    }
    let of_bag = Source {
        album: None,
        set: Vec::new(),
        ..verb.source.clone()
    };
    let typed = input::read("compare", &of_bag)?;
    let of_album = Source {
        album: verb.source.album.clone(),
        set: verb.source.set.clone(),
        ..Source::default()
    };
    let mut input = input::read("compare", &of_album)?;
    Sink::new(&verb.target).ready()?;
    let leaves = leaves(verb, &mut input)?;
    let before = work(&input, Listed::NotKept, &limits)?;
    let bag = crate::supplies::Bag {
        name: "the other bag".to_owned(),
        ..typed.album.supplies.bags[0].clone()
    };
    let old = match &before.outcome {
        Outcome::Fits(plan) => Some(&**plan),
        _ => None,
    };
    let mut remade = Input {
        album: input.album.with_bag(&leaves, &bag),
        ..input
    };
    if let Some(old) = old.filter(|_| leaves.len() < remade.album.leaves.len()) {
        remade = with_holes(remade, old, &limits);
    }
    if let Err(errors) = expand(&remade.style, &remade.album)
        && let Some(lacking) = lacking(&errors)
    {
        let from = from(&remade, &of_album);
        let text = match verb.json {
            true => report::json::lacking(from, &lacking, CLASH),
            false => report::remake::lacking(from, &lacking),
        };
        Sink::new(&verb.target).write(&text)?;
        return Ok(CLASH);
    }
    let after = work(&remade, Listed::NotKept, &limits)?;
    let mut explanation = explained((&remade, &Source::default()), &after, &limits);
    if let Some(explanation) = &mut explanation {
        never_back(explanation, &bag.name);
    }
    let (answer, code) = answer(&after.outcome, explanation.as_ref())?;
    // Its file is made of the old bag.
    let from = report::From {
        file: false,
        ..from(&remade, &of_album)
    };
    let text = match verb.json {
        true => report::json::remake(from, old, answer, code),
        false => report::remake::text(from, old, answer),
    };
    Sink::new(&verb.target).write(&text)?;
    Ok(code)
}

/// Leaves that keep their bag are punched: the others go on with the same holes if they can.
fn with_holes(remade: Input, old: &Plan, limits: &Limits) -> Input {
    let kept = Input {
        album: Album {
            template: punched(&remade.album.template, old),
            ..remade.album.clone()
        },
        files: remade.files.clone(),
        style: remade.style.clone(),
    };
    match work(&kept, Listed::NotKept, limits) {
        Ok(worked) if matches!(worked.outcome, Outcome::Fits(_)) => kept,
        _ => remade,
    }
}

/// The old bag is no answer to how it goes in the new one.
fn never_back(explanation: &mut Explanation, bag: &str) {
    let back =
        |change: &FixChange| matches!(change, FixChange::Do(Deed::Use { from, .. }) if from == bag);
    let stays = |fix: &Fix| !fix.changes.iter().any(back);
    explanation.whole.retain(stays);
    for list in &mut explanation.fixes {
        list.fixes.retain(stays);
    }
}

/// A template with the holes that were found for a plan.
fn punched(template: &Template, plan: &Plan) -> Template {
    let of = |field: &str| {
        let mut sizes = plan.template.iter();
        let size = sizes.find(|it| it.name.rsplit_once('.').is_some_and(|(_, it)| it == field));
        size.map(|it| it.value)
    };
    Template {
        edge: template.edge.or(of("edge")),
        first: template.first.or(of("first")),
        pitch: template.pitch.or(of("pitch")),
        ..template.clone()
    }
}

/// The leaves that get the other bag: all of them, or the one that is named.
fn leaves(verb: &Compare, input: &mut Input) -> Result<Vec<usize>, Stop> {
    let Some(name) = &verb.leaf else {
        return Ok((0..input.album.leaves.len()).collect());
    };
    let mut typed = Typed::over(&mut input.files);
    let leaf = ask::leaf(&mut typed, &input.album, name);
    match leaf {
        Some(leaf) => {
            input.files = typed.done()?;
            Ok(vec![leaf])
        }
        None => Err(typed.stop()),
    }
}
