//! `print --kit`: the pages of a class, of one kind of album or of several.

use super::together;
use super::typed::Typed;
use super::{Source, Stop, Target, buy};
use crate::arrange::pads;
use crate::cut::{Answer, Trimmer};
use crate::draw::kit::{self, Student};
use crate::draw::list::Document;
use crate::draw::paper::Paper;
use crate::length::Ruler;
use crate::plan::Plan;
use crate::plan::work::Outcome;
use crate::price::time::Timed;
use crate::price::weight::{Weight, weigh};
use crate::report::buy::{Shopping, not_enough};
use crate::report::handout::kit::{self as class_of, Class, Room, teacher};
use crate::shop::needs::needs;
use crate::solve::Limits;

/// The pages.
pub(super) fn pages(
    (source, copies): (&Source, &together::Copies),
    paper: &dyn Fn(Ruler) -> Paper,
    (limits, seconds): (&Limits, Option<u64>),
) -> Result<Document, Stop> {
    let together = together::read(Typed::default(), "print", source, copies)?;
    let albums = together.joined()?;
    let ruler = together.ruler()?;
    let mut worked = together.work(limits, (false, &Target::default()))?;
    let pads = pads::pads(&together.made(&albums, &worked), &|| limits.is_over());
    for (n, (worked, album)) in worked.iter_mut().zip(&albums).enumerate() {
        if let Outcome::Fits(plan) = &mut worked.outcome {
            limited(plan)?;
            pads::write(&pads, n, &album.supplies, plan);
        }
    }
    let made = together.made(&albums, &worked);
    let Some(first) = made.first() else {
        return Err(Stop::Told("an album is missing".to_owned()));
    };
    let supplies = &first.album.supplies;
    let order = pads::order(&made, Vec::new(), Trimmer::default(), &pads);
    let needs = needs(&made, order);
    let [any_ring, any_print] = [needs.any_ring, needs.any_print];
    let patience = (limits, seconds);
    let found = buy::bought(&together.files, (supplies, needs), (None, ruler), patience)?;
    let purchase = found
        .map_err(|short| Stop::Told(not_enough(&short, together.copies()).trim().to_owned()))?;
    let shopping = Shopping {
        title: &first.plan.title,
        supplies,
        purchase: &purchase,
        any_ring,
        any_print,
        ring: together.ring(&albums, &worked, limits),
        ruler,
    };
    let facts = together.albums.iter().zip(&made).map(|(each, made)| {
        let weight = weigh(made.album, made.plan).ok_or_else(super::price::too_large)?;
        let steps = super::price::steps(&each.input, made.plan)?;
        Ok((weight, steps))
    });
    let facts: Vec<(Weight, Vec<Timed>)> = facts.collect::<Result<_, Stop>>()?;
    let classes = together.albums.iter().zip(&made).zip(&facts);
    let classes = classes.map(|((each, made), (weight, steps))| Class {
        album: made.album,
        plan: made.plan,
        steps,
        weight,
        students: each.copies,
        spare: each.spare,
    });
    let classes: Vec<Class<'_>> = classes.collect();
    let room = Room {
        classes: &classes,
        answer: Answer::drawn(&purchase.order, &purchase.batches),
        shopping: &shopping.sections(),
        ruler,
    };
    let titles: Vec<&str> = made.iter().map(|made| made.plan.title.as_str()).collect();
    let students = classes.iter().map(|class| Student {
        plan: class.plan,
        kit: class_of::found(*class),
        work: class_of::work(*class),
    });
    let answer = room.answer.map(|answer| (ruler, answer));
    let teacher = (format!("For the teacher. {}", room.under()), teacher(room));
    let students: Vec<Student<'_>> = students.collect();
    let paper = paper(ruler);
    let titles = titles.join("; ");
    Ok(kit::document(paper, &titles, teacher, answer, &students))
}

/// What is printed of a plan are sizes to cut.
pub(super) fn limited(plan: &Plan) -> Result<(), Stop> {
    let Some(name) = plan.unlimited.first() else {
        return Ok(());
    };
    let why = "what would be printed of it is no size to cut. Give it in the album";
    Err(Stop::Told(format!("Nothing limits {name}: {why}.")))
}
