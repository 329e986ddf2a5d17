//! All of it in one function, for the command and for the page: of a plan and a number of copies.

use super::ask::{Asked, ask};
use super::cost::{self, Copies, Lot, Material};
use super::parcel::{self, Tried};
use super::time::{self, Minutes, TimeError, Timed};
use super::weight::{Weight, weigh};
use crate::album::Album;
use crate::cut::Order;
use crate::cut::batch::Batch;
use crate::cut::pieces::Made;
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
    pub minutes: Option<Minutes>,
    /// What the work of one album costs with its share of what is done once for all, if the album says what an hour does.
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

/// The prices of albums that are made together, of one of each.
///
/// `cut` counts the sheets of all copies.
///
/// # Errors
/// If numbers are too large, a step is timed that is not there, or `cut` fails.
pub fn prices<E>(
    all: &[(Made<'_>, Copies)],
    order: &Order,
    cut: impl FnOnce(&Order) -> Result<Vec<Batch>, E>,
) -> Result<Vec<Priced>, Unpriced<E>> {
    let weights = all.iter().map(|(made, _)| weigh(made.album, made.plan));
    let weights: Option<Vec<Weight>> = weights.collect();
    let weights = weights.ok_or(Unpriced::TooLarge)?;
    let steps = all
        .iter()
        .map(|(made, _)| time::steps(made.album, made.plan));
    let steps: Result<Vec<Vec<Timed>>, _> = steps.collect();
    let steps = steps.map_err(Unpriced::Steps)?;
    let batches = match order.wants.is_empty() {
        true => Vec::new(),
        false => cut(order).map_err(Unpriced::Cut)?,
    };
    let lots = all.iter().zip(&weights);
    let lots: Vec<Lot<'_>> = lots
        .map(|((made, copies), weight)| Lot {
            album: made.album,
            weight,
            copies: *copies,
        })
        .collect();
    let materials = cost::material(&lots, (order, &batches)).ok_or(Unpriced::TooLarge)?;
    let each = all.iter().zip(weights).zip(steps).zip(materials);
    let priced = each.map(|((((made, copies), weight), steps), material)| {
        one((made.album, made.plan), *copies, (weight, steps, material))
    });
    priced.collect::<Option<_>>().ok_or(Unpriced::TooLarge)
}

/// `None` beyond what can be counted.
fn one(
    (album, plan): (&Album, &Plan),
    copies: Copies,
    (weight, steps, material): (Weight, Vec<Timed>, Material),
) -> Option<Priced> {
    let parcels = plan.closed.map_or(Vec::new(), |closed| {
        parcel::tried(&album.supplies.parcels, closed, weight.total)
    });
    let minutes = time::minutes(album, &steps);
    let counted = match album.price.whole_packs {
        true => material.packs,
        false => material.used,
    };
    let work = match minutes.zip(album.price.hour) {
        Some((minutes, hour)) => Some(cost::work(minutes.of_one(copies.sold), hour)?),
        None => None,
    };
    let costs = counted.plus(work.unwrap_or_default())?;
    let asked = match album.price.wish {
        Some(_) => Some(ask(costs, &album.price)?),
        None => None,
    };
    Some(Priced {
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
