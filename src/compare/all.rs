//! Many bags, on all cores, handed on in the order in which they came.

use super::{Asked, Candidate, Offer, offer};
use crate::solve::Limits;
use rayon::prelude::*;

/// Bags that are worked out together; the next are read when these are handed on.
const TOGETHER: usize = 256;

/// Works out one bag after the other and hands each on, in the order of `bags` whatever the number of
/// threads. No more bags are held than are worked out together.
///
/// # Errors
/// That of `hand_on`, at which it stops.
pub fn each<E>(
    asked: &Asked<'_>,
    limits: &Limits,
    bags: impl IntoIterator<Item = Candidate>,
    mut hand_on: impl FnMut(Offer) -> Result<(), E>,
) -> Result<(), E> {
    let mut bags = bags.into_iter();
    loop {
        let some: Vec<Candidate> = bags.by_ref().take(TOGETHER).collect();
        if some.is_empty() {
            return Ok(());
        }
        let offers: Vec<Offer> = some
            .par_iter()
            .map(|candidate| offer(asked, candidate, limits))
            .collect();
        for offer in offers {
            hand_on(offer)?;
        }
    }
}
