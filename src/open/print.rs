//! The printout of an album, and the pages of a class that makes it.

use super::ask::{bought, dealt};
use super::bench::Counted;
use super::change;
use super::desk::Desk;
use super::read::{Facts, Reading, Refusal, sentence};
use super::room::Room;
use super::state::Sheets;
use crate::arrange::pads;
use crate::cut::{Answer, pieces::Made, work as cutting};
use crate::draw::kit::{self, Student};
use crate::draw::paper::Paper;
use crate::draw::{handout, list::Document, pdf};
use crate::length::Ruler;
use crate::plan::work::{Outcome, work};
use crate::price::{time, weight::weigh};
use crate::report::handout::kit::{self as class_of, Class, teacher};
use crate::solve::Limits;
use std::sync::Arc;
use std::time::Duration;

fn paper(ruler: Ruler) -> Paper {
    match ruler.is_metric() {
        true => Paper::A4,
        false => Paper::Letter,
    }
}

fn written(document: &Document) -> Result<Vec<u8>, String> {
    pdf::file(document).map_err(|_| "The PDF could not be made.".to_owned())
}

const NOT_FITTING: &str = "There is nothing to print yet: the album does not fit.";

/// A file's name and its bytes.
pub type Pdf = (String, Vec<u8>);

/// The printout of the album as it stands, or with a number of albums as it is typed, the pages of a class that
/// makes so many. After `time` the best cutting plan so far is printed.
///
/// # Errors
/// Why there is none.
pub fn printed(room: &Room, typed: Option<&str>, time: Duration) -> Result<Pdf, Refusal> {
    let albums = typed.map(change::albums).transpose()?;
    let albums = albums.filter(|albums| *albums > 1);
    let (facts, sheets) = {
        let state = room.state();
        if !state.slips.is_empty() {
            let said = "There is nothing to print yet: mend the album's text first.";
            return Err(Refusal::new(said));
        }
        let sheets = match &state.sheets {
            // One album is printed, however many were counted.
            Some((of, Sheets::Counted(counted))) if *of == state.version && state.albums == 1 => {
                Some(Arc::clone(counted))
            }
            _ => None,
        };
        let facts = state.facts.clone().filter(|_| !state.is_working());
        (facts.ok_or_else(|| Refusal::new(NOT_FITTING))?, sheets)
    };
    let file = room.desk.name().unwrap_or_else(|| "album".to_owned());
    let stem = file.strip_suffix(".toml").unwrap_or(&file);
    let plain = |sign: char| sign.is_ascii_alphanumeric() || " -_".contains(sign);
    let stem: String = stem.chars().filter(|sign| plain(*sign)).collect();
    let stem = if stem.is_empty() { "album" } else { &stem };
    let (name, made) = match albums {
        Some(albums) => (format!("{stem}-{albums}.pdf"), kits(&facts, albums, time)),
        None => (
            format!("{stem}.pdf"),
            whole(&*room.desk, &facts, sheets.as_deref(), time),
        ),
    };
    Ok((name, made.map_err(Refusal::new)?))
}

/// The printout as a PDF, with the sheets as they were counted, or cut anew within this time.
fn whole(
    desk: &dyn Desk,
    facts: &Facts,
    counted: Option<&Counted>,
    time: Duration,
) -> Result<Vec<u8>, String> {
    let Reading { album, style, .. } = &*facts.reading;
    // With all rules, for the rule book.
    let limits = Limits::lasting(time);
    let outcome = work(style, album, &limits).map(|it| it.outcome);
    let Ok(Outcome::Fits(plan)) = outcome else {
        return Err(NOT_FITTING.to_owned());
    };
    let mut plan = *plan;
    // Why photos have no places is said where the page is asked for them.
    let _ = desk.standing(album, style, &mut plan);
    let album = &album.by_design();
    let (own, pads) = dealt(Made::once(&plan, album), &limits);
    pads::write(&pads, 0, &album.supplies, &mut plan);
    let batches;
    let (order, batches) = match counted {
        Some(counted) => (&counted.order, &counted.batches),
        None => {
            let patience = cutting::Patience::lasting(time, None);
            batches = cutting::work(&own, None, album.ruler, &patience).unwrap_or_default();
            (&own, &batches)
        }
    };
    let ask = handout::Ask {
        album,
        plan: &plan,
        answer: Answer::drawn(order, batches),
        parts: None,
    };
    written(&handout::document(paper(album.ruler), &ask))
}

/// The pages of a class in which each of so many makes this album, as a PDF: what whoever teaches buys, cuts and
/// hands out; then what each finds in a kit and does with it.
///
/// # Errors
/// Why there are none, as a sentence.
fn kits(facts: &Facts, albums: u64, time: Duration) -> Result<Vec<u8>, String> {
    let Outcome::Fits(plan) = &facts.worked.outcome else {
        return Err(NOT_FITTING.to_owned());
    };
    let limits = Limits::lasting(time);
    let album = &facts.reading.album.by_design();
    let mut plan = (**plan).clone();
    let (order, pads) = dealt(Made::of(&plan, album, albums), &limits);
    pads::write(&pads, 0, &album.supplies, &mut plan);
    let made = Made::of(&plan, album, albums);
    let (purchase, shopping) = bought(&facts.reading.style, (album, made), order, &limits)?;
    let weight =
        weigh(album, &plan).ok_or("Some numbers are too large to be multiplied exactly.")?;
    let steps = time::steps(&facts.reading.album, &plan)
        .map_err(|errors| sentence(&errors.first().map(ToString::to_string).unwrap_or_default()))?;
    let class = Class {
        album,
        plan: &plan,
        steps: &steps,
        weight: &weight,
        students: albums,
        spare: 0,
    };
    let room = class_of::Room {
        classes: &[class],
        answer: Answer::drawn(&purchase.order, &purchase.batches),
        shopping: &shopping,
        ruler: album.ruler,
    };
    let under = format!("For the teacher. {}", room.under());
    let student = Student {
        plan: &plan,
        kit: class_of::found(class),
        work: class_of::work(class),
    };
    let answer = room.answer.map(|answer| (album.ruler, answer));
    let teacher = (under, teacher(room));
    written(&kit::document(
        paper(album.ruler),
        &plan.title,
        teacher,
        answer,
        &[student],
    ))
}
