//! All of it in one function, for the command and for the page: of a plan and a number of copies.

use super::ask::{Asked, ask};
use super::cost::{self, Copies, Material};
use super::parcel::{self, Tried};
use super::time::{self, TimeError, Timed};
use super::weight::{Weight, weigh};
use crate::album::Album;
use crate::cut::batch::Batch;
use crate::cut::pieces::{Made, together};
use crate::cut::{Order, Trimmer};
use crate::money::Money;
use crate::plan::Plan;

/// What was worked out of one album.
#[derive(Clone, Debug)]
pub struct Priced {
    /// Those that are made together; prices are those of one.
    pub copies: Copies,
    pub weight: Weight,
    pub parcels: Vec<Tried>,
    pub material: Material,
    pub steps: Vec<Timed>,
    /// Minutes of one album.
    pub minutes: Option<i64>,
    /// What that work costs, if the album says what an hour does.
    pub work: Option<Money>,
    /// Material and work together.
    pub costs: Money,
    /// `None` if no wish is typed.
    pub asked: Option<Asked>,
}

/// Why nothing can be said of a price.
#[derive(Debug)]
pub enum Unpriced<E> {
    /// Numbers that cannot be multiplied exactly.
    TooLarge,
    /// Steps that the album times and the style does not have.
    Steps(Vec<TimeError>),
    /// The sheets were not counted.
    Cut(E),
}

/// Works a price out; `cut` counts the sheets of all copies.
///
/// # Errors
/// If numbers are too large, a step is timed that is not there, or `cut` fails.
pub fn price<E>(
    album: &Album,
    plan: &Plan,
    copies: Copies,
    cut: impl FnOnce(&Order) -> Result<Vec<Batch>, E>,
) -> Result<Priced, Unpriced<E>> {
    let weight = weigh(album, plan).ok_or(Unpriced::TooLarge)?;
    let parcels = plan.closed.map_or(Vec::new(), |closed| {
        parcel::tried(&album.supplies.parcels, closed, weight.total)
    });
    let steps = time::steps(album, plan).map_err(Unpriced::Steps)?;
    let minutes = time::minutes(album, &steps);
    let sets = Made {
        sets: copies.made,
        ..Made::once(plan, album)
    };
    let order = together(&[sets], Vec::new(), Trimmer::default());
    let batches = match order.wants.is_empty() {
        true => Vec::new(),
        false => cut(&order).map_err(Unpriced::Cut)?,
    };
    let material = cost::material(album, &weight, copies, (&order, &batches));
    let material = material.ok_or(Unpriced::TooLarge)?;
    let counted = match album.price.whole_packs {
        true => material.packs,
        false => material.used,
    };
    let work = minutes.zip(album.price.hour);
    let work = work.map(|(minutes, hour)| cost::work(minutes, hour).ok_or(Unpriced::TooLarge));
    let work = work.transpose()?;
    let costs = counted.plus(work.unwrap_or_default());
    let costs = costs.ok_or(Unpriced::TooLarge)?;
    let asked = match album.price.wish {
        Some(_) => Some(ask(costs, &album.price).ok_or(Unpriced::TooLarge)?),
        None => None,
    };
    Ok(Priced {
        copies,
        weight,
        parcels,
        material,
        steps,
        minutes,
        work,
        costs,
        asked,
    })
}
