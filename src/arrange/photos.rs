//! Photos to places: what is wanted, the plan that cuts off least, and the same of each photo.
//!
//! First things first: as many photos placed as can be, then as few too coarse as can be, then the
//! least share cut off with the prints at hand (in all, or of the photo that loses most), then places that become as little smaller
//! as can be where they take the shape of their photo. All of it is one whole number a
//! photo and place: shares over their common denominator, so that nothing is rounded.

pub use super::answer::{Arranged, Asked, NoPlan, Placed, Share2, Wanted};
use super::check;
use super::free::any_order;
use super::kept::in_order;
use super::problem::{Number, Page, Places, Problem, Proof};
use super::share::{self, Fit, Share};
use super::{Photo, wish};
use crate::album::{Album, Photos};
use crate::length::Length;
use crate::plan::Plan;
use crate::plan::openings::PhotoSpot;
use crate::supplies::{Card, Supplies};
use crate::text::Faults;
use num_bigint::BigInt;
use num_integer::Integer;
use num_traits::{One, ToPrimitive, Zero};
use std::collections::{BTreeMap, BTreeSet};

/// One photo in one place.
#[derive(Clone, Copy)]
struct Pairing {
    turned: bool,
    size: (Length, Length),
    fit: Fit,
    lost: Share,
    smaller: Share,
    seen: Share,
    covered: Share,
    own: (Share, (Share, Share)),
    pixels_an_inch: Option<Share>,
    too_coarse: bool,
    print: Option<share::Print>,
}

/// The prints that each place may take. Photos of one shape lose the same in places of one size.
struct Prints<'a> {
    of: Vec<Vec<usize>>,
    cards: &'a [Card],
    known: BTreeMap<Known, Option<share::Print>>,
}

/// A photo's shape, a place's size, and the prints that it may take.
type Known = ((i64, i64), (Length, Length), Vec<usize>);

impl Prints<'_> {
    fn best(
        &mut self,
        at: usize,
        (across, up): (i64, i64),
        size: (Length, Length),
        most_cut: Share,
    ) -> Option<share::Print> {
        let of = self.of.get(at).filter(|of| !of.is_empty())?;
        let common = across.gcd(&up).max(1);
        let shape = (across / common, up / common);
        let cards = of
            .iter()
            .filter_map(|print| Some((*print, self.cards.get(*print)?)));
        let known = self.known.entry((shape, size, of.clone()));
        *known.or_insert_with(|| share::print(shape, size, cards, most_cut))
    }
}

impl Asked<'_> {
    /// The way in which a photo loses least in a place and is not too coarse.
    fn pairing(&self, photo: usize, at: usize, prints: &mut Prints<'_>) -> Option<Pairing> {
        let spot = self.spots.get(at)?;
        let place = (spot.width, spot.height);
        let sizes = self.wanted.sizes.get(&(photo, at));
        let sizes = std::iter::once(&place).chain(sizes.into_iter().flatten());
        let turns = [false, true]
            .into_iter()
            .filter(|it| !it || self.wanted.turn);
        let ways = sizes.flat_map(|size| turns.clone().map(move |turned| (*size, turned)));
        let ways = ways.filter_map(|(size, turned)| {
            let sides = self.photos.get(photo)?.sides.as_ref().ok()?;
            let print = prints.best(at, laid(*sides, turned), size, self.most_cut);
            self.way(photo, place, size, (turned, print))
        });
        ways.min_by_key(|way| (way.too_coarse, way.lost, way.smaller, way.turned))
    }

    /// A photo in a place of this size.
    fn way(
        &self,
        photo: usize,
        place: (Length, Length),
        size: (Length, Length),
        (turned, print): (bool, Option<share::Print>),
    ) -> Option<Pairing> {
        let photo = self.photos.get(photo)?;
        let sides = laid(*photo.sides.as_ref().ok()?, turned);
        let fit = share::fit(sides, size);
        let own_seen = share::seen(fit, self.most_cut);
        let own = (own_seen, share::printed(sides, size, fit, own_seen));
        let (seen, covered, printed) = match &print {
            Some(print) => (print.seen(), print.covered, print.image),
            None => (own_seen, fit.filled / own_seen, own.1),
        };
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
            lost: Share::one() - seen * covered,
            smaller: Share::one() - kept,
            seen,
            covered,
            own,
            pixels_an_inch: fine,
            too_coarse,
            print,
        })
    }

    /// The places that a photo may have, with what it loses there.
    fn pairings(&self, mut prints: Prints<'_>) -> Vec<Vec<Option<Pairing>>> {
        let mut all = |photo| {
            let spots = 0..self.spots.len();
            spots
                .map(|spot| self.pairing(photo, spot, &mut prints))
                .collect()
        };
        (0..self.photos.len()).map(&mut all).collect()
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
    let pairings = asked.pairings(Prints {
        of: asked.spots.iter().map(prints).collect(),
        cards: &supplies.prints,
        known: BTreeMap::new(),
    });
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
        placed.push(Placed {
            photo,
            spot,
            turned: pairing.turned,
            size: pairing.size,
            fit: pairing.fit,
            lost: pairing.lost,
            smaller: pairing.smaller,
            seen: pairing.seen,
            covered: pairing.covered,
            own: pairing.own,
            pixels_an_inch: pairing
                .pixels_an_inch
                .and_then(|fine| fine.to_integer().to_i64()),
            too_coarse: pairing.too_coarse,
            print: pairing.print,
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
    match super::verify::photos(asked, &supplies.prints, &arranged) {
        Ok(()) => Ok(arranged),
        Err(_) => Err(NoPlan::Refused),
    }
}

/// Sizes of places that take the shape of their photo, by photo and place.
pub type Sizes = BTreeMap<(usize, usize), Vec<(Length, Length)>>;

/// The photos of an album in the places of its plan.
///
/// # Errors
/// What it says of photos or places that there are not; then, within, why there is no plan.
pub fn stand(
    (album, plan): (&Album, &Plan),
    (asked, photos, spots): (&Photos, &[Photo], &[PhotoSpot]),
    sizes: Sizes,
    over: &dyn Fn() -> bool,
) -> Result<Result<Arranged, NoPlan>, Faults> {
    let labels: Vec<String> = spots.iter().map(|spot| wish::label(plan, spot)).collect();
    let wanted = wish::wanted(asked, photos, &labels)?;
    let question = Asked {
        photos,
        spots,
        wanted: &Wanted { sizes, ..wanted },
        most_cut: wish::most_cut(asked),
    };
    // Prints that a photo in a place may be trimmed from.
    let prints = |spot: &PhotoSpot| {
        let photo = wish::insert(album, spot).and_then(|insert| insert.photo.as_ref());
        photo.map_or(Vec::new(), |photo| photo.prints.clone())
    };
    Ok(arrange(question, &album.supplies, &prints, over))
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

/// What comes off each of the two sides of a photo that are cut, on a print made to measure.
pub fn off(placed: &Placed) -> Length {
    let (_, (wide, high)) = placed.own;
    let over = match placed.fit.broad {
        true => wide - Share::from_integer(placed.size.0.nm().into()),
        false => high - Share::from_integer(placed.size.1.nm().into()),
    };
    let half = (over / Share::from_integer(2)).round().to_integer();
    Length::from_nm(i64::try_from(half.max(0)).unwrap_or(0))
}
