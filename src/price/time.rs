//! How long the work takes: the minutes of a style's steps, changed by what the album says of them.
//! Imports `album`, `cut`, `plan` and `text`.

use crate::album::Album;
use crate::cut::{Trimmer, pieces};
use crate::plan::Plan;
use crate::plan::steps::StepPlan;
use crate::style::steps::{Shows, Uses};
use crate::text::{Fault, Place, either, nearest};
use num_rational::Ratio;
use thiserror::Error;

/// A step of the work with its time.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Timed {
    pub title: String,
    /// For one album, or once for all copies; `None` if nobody says it.
    pub minutes: Option<i64>,
    /// The album says it; else it is the style's guess.
    pub said: bool,
    /// Papers are cut in it: a teacher does so beforehand, for every kit.
    pub cuts: bool,
    /// A leaf is measured or the template made in it: once for all copies, by a teacher beforehand.
    pub once: bool,
}

/// What is wrong with the minutes of an album.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum TimeError {
    #[error("no step of the work is called `{title}`")]
    NoStep {
        place: Place,
        title: String,
        known: Vec<String>,
    },
}

impl Fault for TimeError {
    fn place(&self) -> Place {
        let TimeError::NoStep { place, .. } = self;
        *place
    }

    fn help(&self) -> Option<String> {
        let TimeError::NoStep { title, known, .. } = self;
        let known: Vec<&str> = known.iter().map(String::as_str).collect();
        Some(match nearest(title, known.iter().copied()) {
            Some(near) => format!("did you mean `{near}`?"),
            None => format!("type {}", either(&known)),
        })
    }
}

/// The steps of an album that it has something to do in, in their order.
///
/// # Errors
///
/// Every step that the album times and its style does not have.
pub fn steps(album: &Album, plan: &Plan) -> Result<Vec<Timed>, Vec<TimeError>> {
    let titled = plan
        .steps
        .iter()
        .filter_map(|step| Some((step, step.title.as_ref()?)));
    let known = |title: &str| titled.clone().any(|(_, known)| known == title);
    let strange = album
        .minutes
        .iter()
        .filter(|(title, _)| !known(&title.value));
    let strange = strange.map(|(title, _)| TimeError::NoStep {
        place: title.place,
        title: title.value.clone(),
        known: titled.clone().map(|(_, title)| title.clone()).collect(),
    });
    let strange: Vec<TimeError> = strange.collect();
    if !strange.is_empty() {
        return Err(strange);
    }
    let inserts = || plan.leaves.iter().flat_map(|leaf| &leaf.inserts);
    let nothing = |step: &StepPlan| match step.uses {
        Some(Uses::Cut) => {
            let order = pieces::order(plan, album, Vec::new(), Trimmer::default());
            order.wants.is_empty() && order.any_paper.is_empty()
        }
        Some(Uses::Photos) => inserts().all(|insert| insert.photo.is_none()),
        Some(Uses::Tuck) => inserts().all(|insert| insert.shows.is_none()),
        _ => step.idle,
    };
    let steps = titled
        .clone()
        .filter(|(step, _)| !nothing(step))
        .map(|(step, title)| {
            let said = album.minutes.iter().find(|(it, _)| it.value == *title);
            Timed {
                title: title.clone(),
                minutes: said.map(|(_, n)| *n).or(step.minutes),
                said: said.is_some(),
                cuts: step.uses == Some(Uses::Cut),
                once: step.shows == Some(Shows::Template),
            }
        });
    Ok(steps.collect())
}

/// Minutes of the work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Minutes {
    /// For each album.
    pub each: i64,
    /// Once for all copies of it.
    pub once: i64,
}

impl Minutes {
    /// Of one of so many copies, with its share of what is done once.
    pub fn of_one(self, copies: u64) -> Ratio<i128> {
        let once = Ratio::new(i128::from(self.once), i128::from(copies.max(1)));
        once + i128::from(self.each)
    }
}

/// What an album says of all its work, or the sum of its steps. `None` if nobody says a time.
pub fn minutes(album: &Album, steps: &[Timed]) -> Option<Minutes> {
    if let Some(each) = album.price.minutes {
        return Some(Minutes { each, once: 0 });
    }
    let sum = |once: bool| {
        let steps = steps.iter().filter(|step| step.once == once);
        let mut minutes = steps.filter_map(|step| step.minutes);
        minutes.try_fold(0_i64, i64::checked_add)
    };
    let (each, once) = (sum(false)?, sum(true)?);
    let timed = steps.iter().any(|step| step.minutes.is_some());
    timed.then_some(Minutes { each, once })
}
