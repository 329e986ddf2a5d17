//! Photos to places: what is wanted, the plan that cuts off least, and the same of each photo.
//!
//! First things first: as many photos placed as can be, then as few too coarse as can be, then the
//! least share cut off (in all, or of the photo that loses most), then places that become as little smaller
//! as can be where they take the shape of their photo. All of it is one whole number a
//! photo and place: shares over their common denominator, so that nothing is rounded.

pub use super::answer::{Arranged, Asked, NoPlan, Placed, Share2, Wanted};
use super::check;
use super::free::any_order;
use super::kept::in_order;
use super::problem::{Number, Page, Places, Problem, Proof};
use super::share::{self, Fit, Share};
use crate::length::Length;
use crate::plan::openings::PhotoSpot;
use crate::supplies::Supplies;
use num_bigint::BigInt;
use num_integer::Integer;
use num_traits::{One, ToPrimitive, Zero};
use std::collections::BTreeSet;

/// One photo in one place.
#[derive(Clone, Copy)]
struct Pairing {
    turned: bool,
    size: (Length, Length),
    fit: Fit,
    lost: Share,
    smaller: Share,
    seen: Share,
    printed: (Share, Share),
    pixels_an_inch: Option<Share>,
    too_coarse: bool,
}

impl Asked<'_> {
    /// The way in which a photo loses least in a place and is not too coarse.
    fn pairing(&self, photo: usize, at: usize) -> Option<Pairing> {
        let spot = self.spots.get(at)?;
        let place = (spot.width, spot.height);
        let sizes = self.wanted.sizes.get(&(photo, at));
        let sizes = std::iter::once(&place).chain(sizes.into_iter().flatten());
        let turns = [false, true]
            .into_iter()
            .filter(|it| !it || self.wanted.turn);
        let ways = sizes.flat_map(|size| turns.clone().map(move |turned| (*size, turned)));
        let ways = ways.filter_map(|(size, turned)| self.way(photo, place, size, turned));
        ways.min_by_key(|way| (way.too_coarse, way.lost, way.smaller, way.turned))
    }

    /// A photo in a place of this size.
    fn way(
        &self,
        photo: usize,
        place: (Length, Length),
        size: (Length, Length),
        turned: bool,
    ) -> Option<Pairing> {
        let photo = self.photos.get(photo)?;
        let sides = laid(*photo.sides.as_ref().ok()?, turned);
        let fit = share::fit(sides, size);
        let seen = share::seen(fit, self.most_cut);
        let printed = share::printed(sides, size, fit, seen);
        let fine = photo
            .pixels
            .then(|| share::pixels_an_inch(sides.0, printed.0));
        let least = self.wanted.coarsest.map(|n| Share::from_integer(n.into()));
        let too_coarse = fine.zip(least).is_some_and(|(fine, least)| fine < least);
        let area = |(w, h): (Length, Length)| i128::from(w.nm()) * i128::from(h.nm());
        let kept = Share::new(area(size), area(place).max(1)).min(Share::one());
        Some(Pairing {
            turned,
            size,
            fit,
            lost: Share::one() - fit.filled,
            smaller: Share::one() - kept,
            seen,
            printed,
            pixels_an_inch: fine,
            too_coarse,
        })
    }

    /// The places that a photo may have, with what it loses there.
    fn pairings(&self) -> Vec<Vec<Option<Pairing>>> {
        let all = |photo| (0..self.spots.len()).map(move |spot| self.pairing(photo, spot));
        (0..self.photos.len())
            .map(|photo| all(photo).collect())
            .collect()
    }
}

/// The sides of a photo as it lies.
pub fn laid((across, up): (i64, i64), turned: bool) -> (i64, i64) {
    match turned {
        true => (up, across),
        false => (across, up),
    }
}

/// Puts photos in their places; `over` is asked whether time is up.
///
/// # Errors
/// Why there is no plan.
pub fn arrange(
    asked: Asked<'_>,
    supplies: &Supplies,
    prints: &dyn Fn(&PhotoSpot) -> Vec<usize>,
    over: &dyn Fn() -> bool,
) -> Result<Arranged, NoPlan> {
    let pairings = asked.pairings();
    let (plan, proved) = match solve(asked, &pairings, over) {
        Solved::Plan(plan, proved) => (plan, proved),
        Solved::None => return Err(fixed(asked, &pairings, over)),
        Solved::Open => return Err(NoPlan::Open),
        Solved::Refused => return Err(NoPlan::Refused),
    };
    let mut placed = Vec::new();
    for (photo, spot) in plan.iter().enumerate() {
        let Some(spot) = *spot else { continue };
        let Some(pairing) = pairings[photo][spot] else {
            return Err(NoPlan::Refused);
        };
        let (sides, at) = (&asked.photos[photo].sides, &asked.spots[spot]);
        let cards = prints(at).into_iter();
        let cards = cards.filter_map(|print| Some((print, supplies.prints.get(print)?)));
        let sides = sides.as_ref().ok();
        let sides = sides.map(|sides| laid(*sides, pairing.turned));
        let print =
            sides.and_then(|sides| share::print(sides, pairing.size, cards, asked.most_cut));
        placed.push(Placed {
            photo,
            spot,
            turned: pairing.turned,
            size: pairing.size,
            fit: pairing.fit,
            lost: pairing.lost,
            smaller: pairing.smaller,
            seen: pairing.seen,
            covered: pairing.fit.filled / pairing.seen,
            printed: pairing.printed,
            pixels_an_inch: pairing
                .pixels_an_inch
                .and_then(|fine| fine.to_integer().to_i64()),
            too_coarse: pairing.too_coarse,
            print,
        });
    }
    placed.sort_by_key(|placed| placed.spot);
    let sized = |photo: &usize| asked.photos[*photo].sides.is_ok();
    let left_out = (0..plan.len()).filter(|photo| plan[*photo].is_none());
    let big = |share: Share| Share2::new((*share.numer()).into(), (*share.denom()).into());
    let arranged = Arranged {
        left_out: left_out.filter(sized).collect(),
        sum: placed
            .iter()
            .map(|it| big(it.lost))
            .fold(Share2::zero(), |a, b| a + b),
        worst: placed
            .iter()
            .map(|it| it.lost)
            .max()
            .unwrap_or_else(Share::zero),
        placed,
        proved,
    };
    match super::verify::photos(asked, &arranged) {
        Ok(()) => Ok(arranged),
        Err(_) => Err(NoPlan::Refused),
    }
}

/// Which single wish stands in the way.
fn fixed(asked: Asked<'_>, pairings: &[Vec<Option<Pairing>>], over: &dyn Fn() -> bool) -> NoPlan {
    let without = |facing: Option<usize>, stays: Option<usize>| {
        let mut wanted = asked.wanted.clone();
        facing.map(|at| wanted.facing.remove(at));
        stays.map(|at| wanted.stays.remove(at));
        let wanted = &wanted;
        matches!(
            solve(Asked { wanted, ..asked }, pairings, over),
            Solved::Plan(..)
        )
    };
    let facing = 0..asked.wanted.facing.len();
    let stays = 0..asked.wanted.stays.len();
    NoPlan::Fixed {
        facing: facing.filter(|at| without(Some(*at), None)).collect(),
        stays: stays.filter(|at| without(None, Some(*at))).collect(),
    }
}

enum Solved {
    Plan(Places, bool),
    /// Proved that there is none.
    None,
    Open,
    Refused,
}

/// Whole numbers for what is wanted.
fn solve(asked: Asked<'_>, pairings: &[Vec<Option<Pairing>>], over: &dyn Fn() -> bool) -> Solved {
    let photos = asked.photos.len();
    let common = |of: &dyn Fn(&Pairing) -> Share| {
        let each = pairings.iter().flatten().flatten();
        each.fold(BigInt::one(), |common, pairing| {
            let of = BigInt::from(*of(pairing).denom());
            match (&common % &of).is_zero() {
                true => common,
                false => common.lcm(&of),
            }
        })
    };
    let counted = |share: Share, common: &BigInt| -> BigInt {
        common / BigInt::from(*share.denom()) * BigInt::from(*share.numer())
    };
    // No sum of what places become smaller is as much as the least that is cut off; no sum of that as much
    // as one photo that is too coarse, and so on.
    let many = BigInt::from(photos + 1);
    let small = common(&|pairing| pairing.smaller);
    let step = match asked.wanted.sizes.is_empty() {
        true => BigInt::one(),
        false => &small * &many,
    };
    let losses_in = common(&|pairing| pairing.lost);
    let common = &losses_in * &step;
    let coarse = &common * &many;
    let out = &coarse * &many;
    let dear = &out * &many;
    let mut costs: Vec<Vec<Option<BigInt>>> = Vec::new();
    for (photo, row) in pairings.iter().enumerate() {
        let may = |spot: usize| {
            let mut stays = asked.wanted.stays.iter();
            stays.all(|(who, place)| (*who == photo) == (*place == spot))
        };
        let cost = |(spot, pairing): (usize, &Option<Pairing>)| {
            let pairing = pairing.filter(|_| may(spot))?;
            let lost = counted(pairing.lost, &losses_in) * &step;
            let lost = match asked.wanted.sizes.is_empty() {
                true => lost,
                false => lost + counted(pairing.smaller, &small),
            };
            Some(match pairing.too_coarse {
                true => lost + &coarse,
                false => lost,
            })
        };
        costs.push(row.iter().enumerate().map(cost).collect());
    }
    let must = |photo: usize| {
        let facing = asked.wanted.facing.iter();
        let mut stays = asked.wanted.stays.iter();
        facing.clone().any(|(a, b)| *a == photo || *b == photo) || stays.any(|(a, _)| *a == photo)
    };
    let page = |spot: &PhotoSpot| Page {
        opening: spot.opening,
        right: spot.right,
    };
    let problem = Problem {
        costs,
        out: (0..photos)
            .map(|photo| (!must(photo)).then(|| out.clone()))
            .collect(),
        dear,
        pairs: asked.wanted.facing.clone(),
        pages: asked.spots.iter().map(page).collect(),
        rough: None,
    };
    let losses = |photo: usize, spot: usize| {
        let pairing = pairings[photo][spot]?;
        Some((pairing.lost, pairing.too_coarse))
    };
    // Short numbers are much faster.
    let total = &problem.dear * &many;
    match total.bits() < 120 {
        true => narrowed(&problem, |n| n.to_i128()).answer(asked.wanted, &losses, over),
        false => {
            let rough = narrowed(&problem, |n: &BigInt| ((n << 60u32) / &common).to_i128());
            let rough = Some(Box::new(rough));
            Problem { rough, ..problem }.answer(asked.wanted, &losses, over)
        }
    }
}

fn narrowed(problem: &Problem<BigInt>, narrow: impl Fn(&BigInt) -> Option<i128>) -> Problem<i128> {
    let short = |n: &BigInt| narrow(n).unwrap_or(i128::MAX >> 16);
    let row = |row: &Vec<Option<BigInt>>| row.iter().map(|n| n.as_ref().map(short)).collect();
    Problem {
        costs: problem.costs.iter().map(row).collect(),
        out: row(&problem.out),
        dear: short(&problem.dear),
        pairs: problem.pairs.clone(),
        pages: problem.pages.clone(),
        rough: None,
    }
}

/// What a photo loses in a place, and whether it is too coarse there.
type Losses<'l> = dyn Fn(usize, usize) -> Option<(Share, bool)> + 'l;

impl<T: Number> Problem<T> {
    fn answer(self, wanted: &Wanted, losses: &Losses<'_>, over: &dyn Fn() -> bool) -> Solved {
        let first = self.once(wanted.free, over);
        let (Solved::Plan(plan, proved), true) = (&first, wanted.worst) else {
            return first;
        };
        // The same photos placed and too coarse, with the least that the worst of them loses.
        let level = |plan: &Places| {
            let placed = plan
                .iter()
                .enumerate()
                .filter_map(|(photo, spot)| losses(photo, (*spot)?));
            let coarse = placed.clone().filter(|(_, coarse)| *coarse).count();
            (plan.len() - placed.count(), coarse)
        };
        let wanted_level = level(plan);
        let pairs = (0..self.costs.len()).flat_map(|a| (0..self.pages.len()).map(move |b| (a, b)));
        let limits: BTreeSet<Share> = pairs.filter_map(|(a, b)| Some(losses(a, b)?.0)).collect();
        let limits: Vec<Share> = limits.into_iter().collect();
        let (mut best, mut proved) = (plan.clone(), *proved);
        let (mut low, mut high) = (0, limits.len());
        while low < high {
            let middle = low + (high - low) / 2;
            let mut narrower = self.clone();
            for photo in 0..self.costs.len() {
                for spot in 0..self.pages.len() {
                    if losses(photo, spot).is_some_and(|(loss, _)| loss > limits[middle]) {
                        narrower.forbid(photo, spot);
                    }
                }
            }
            match narrower.once(wanted.free, over) {
                Solved::Plan(plan, whole) if level(&plan) == wanted_level => {
                    (best, high) = (plan, middle);
                    proved &= whole;
                }
                Solved::Plan(_, whole) => {
                    low = middle + 1;
                    proved &= whole;
                }
                Solved::None => low = middle + 1,
                Solved::Open => {
                    low = middle + 1;
                    proved = false;
                }
                Solved::Refused => return Solved::Refused,
            }
        }
        Solved::Plan(best, proved)
    }

    /// The cheapest plan, checked.
    fn once(&self, free: bool, over: &dyn Fn() -> bool) -> Solved {
        let (plan, least, whole) = match free {
            false => (in_order(self), check::least_in_order(self), true),
            true => {
                let found = any_order(self, over);
                let whole = !matches!(found.proof, Proof::Open) && found.proof.is_whole();
                let least = check::bound(self, &found.proof).filter(|_| whole);
                (found.plan, least, whole)
            }
        };
        match plan {
            Some(plan) => match check::cost(self, &plan, !free) {
                None => Solved::Refused,
                Some(_) if !whole => Solved::Plan(plan, false),
                Some(cost) if least.as_ref() == Some(&cost) => Solved::Plan(plan, true),
                Some(_) => Solved::Refused,
            },
            None if !whole => Solved::Open,
            None if least.is_none_or(|least| least >= self.dear) => Solved::None,
            None => Solved::Refused,
        }
    }
}

/// What comes off each of the two sides of a photo that are cut, at the size at which it is printed.
pub fn off(placed: &Placed) -> Length {
    let (wide, high) = placed.printed;
    let over = match placed.fit.broad {
        true => wide - Share::from_integer(placed.size.0.nm().into()),
        false => high - Share::from_integer(placed.size.1.nm().into()),
    };
    let half = (over / Share::from_integer(2)).round().to_integer();
    Length::from_nm(i64::try_from(half.max(0)).unwrap_or(0))
}
