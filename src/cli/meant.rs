//! What was probably meant otherwise: a bag in a larger unit, or with its two numbers the other way round, and
//! fractions that were typed with a stop. Nothing is said unless that fits.

use super::bag::shown;
use super::{Input, Source, input, work};
use crate::album::{Album, Value};
use crate::explain::Meant;
use crate::length::{Interval, Length, Ruler, Sides, Unit, parse_sides, written_unit};
use crate::plan::Listed;
use crate::plan::work::{self as whole, Outcome};
use crate::solve::Limits;
use std::collections::BTreeSet;

/// A bag is guessed to be no narrower, and no side of it to be longer.
const NARROWEST: Length = Length::from_nm(90 * Length::MM.nm());
const LONGEST: Length = Length::from_nm(500 * Length::MM.nm());

/// What was probably meant; `None` if nothing of the kind fits.
pub(super) fn meant(input: &Input, source: &Source, limits: &Limits) -> Option<Meant> {
    let Some(typed) = &source.bag else {
        return turned(input, limits).or_else(|| fractions(input, limits));
    };
    let unit = written_unit(typed)?;
    let Sides {
        width,
        gusset,
        height,
    } = parse_sides(typed).ok()?;
    let fits = |bag: String| {
        let source = Source {
            bag: Some(bag.clone()),
            ..source.clone()
        };
        let input = input::read("fit", &source).ok()?;
        let worked = work(&input, Listed::NotKept, limits).ok()?;
        matches!(worked.outcome, Outcome::Fits(_)).then_some(bag)
    };
    let larger: &[Unit] = match unit {
        Unit::Millimetre => &[Unit::Centimetre, Unit::Inch],
        Unit::Centimetre => &[Unit::Inch],
        Unit::Inch => &[],
    };
    larger.iter().find_map(|to| {
        let times = |side: Interval| {
            let nm = i128::from(side.least().nm()) * i128::from(to.length().nm());
            let (nm, one) = (nm, i128::from(unit.length().nm()));
            let side = Length::from_nm(i64::try_from(nm / one).ok()?);
            (nm % one == 0 && side <= LONGEST).then(|| Interval::exact(side))
        };
        let sides = [Some(width), gusset, Some(height)].into_iter().flatten();
        let is_exact = sides.clone().all(|side| side.is_exact());
        let sides: Option<Vec<Interval>> = sides.map(times).collect();
        let sides = sides
            .filter(|all| is_exact && all.first().is_some_and(|it| it.least() >= NARROWEST))?;
        let bag = shown(*to, &sides)?;
        fits(bag).map(|bag| Meant::Unit { width, bag })
    })
}

/// A bag of the album that is wider than high, the other way round.
fn turned(input: &Input, limits: &Limits) -> Option<Meant> {
    let bags = input.album.leaves.iter().map(|leaf| leaf.bag);
    let bags: BTreeSet<usize> = bags.collect();
    bags.into_iter().find_map(|at| {
        let mut other = input.album.clone();
        let bag = other.supplies.bags.get_mut(at)?;
        if bag.width.least() <= bag.height.most() || bag.folded.is_some() {
            return None;
        }
        std::mem::swap(&mut bag.width, &mut bag.height);
        let (name, size) = (
            bag.name.clone(),
            input.album.ruler.type_size(bag.width, bag.height),
        );
        let worked = whole::work(&input.style, &other, limits).ok()?;
        matches!(worked.outcome, Outcome::Fits(_)).then_some(Meant::Turned { name, size })
    })
}

/// Measures of the album that lie on no mark of its ruler, `1.2 in` for 1/2 in, all of them read otherwise.
fn fractions(input: &Input, limits: &Limits) -> Option<Meant> {
    let mut other = input.album.clone();
    let ruler = other.ruler;
    let mut found = Vec::new();
    for (name, measure) in measures(&mut other) {
        let meant = measure.is_exact().then(|| fraction(ruler, measure.least()));
        if let Some(meant) = meant.flatten() {
            found.push((name, measure.least(), meant));
            *measure = Interval::exact(meant);
        }
    }
    if found.is_empty() {
        return None;
    }
    let worked = whole::work(&input.style, &other, limits).ok()?;
    matches!(worked.outcome, Outcome::Fits(_)).then_some(Meant::Fractions(found))
}

/// Every length that an album gives beside its supplies, with what it is called there.
fn measures(album: &mut Album) -> Vec<(String, &mut Interval)> {
    let set = album.set.iter_mut().filter_map(|(name, said)| {
        let Value::Length(length) = &mut said.value else {
            return None;
        };
        Some((name.value.clone(), length))
    });
    let of = &mut album.template;
    let holes = [
        ("edge", &mut of.edge),
        ("first", &mut of.first),
        ("pitch", &mut of.pitch),
        ("diameter", &mut of.diameter),
        ("eyelet", &mut of.eyelet),
    ];
    let holes = holes
        .into_iter()
        .filter_map(|(key, said)| Some((key.to_owned(), said.as_mut()?)));
    let own = [&mut album.own.given, &mut album.own.measured];
    let leaves = album.leaves.iter_mut();
    let leaves = leaves.flat_map(|leaf| [&mut leaf.given, &mut leaf.measured]);
    let sizes = own.into_iter().chain(leaves).flatten();
    let sizes = sizes.map(|(name, length)| (name.value.clone(), length));
    set.chain(holes).chain(sizes).collect()
}

/// The fraction of an inch on the ruler whose two numbers stand before and behind the stop of a length that
/// is not.
fn fraction(ruler: Ruler, typed: Length) -> Option<Length> {
    let is_on = |length: Length| length.nm() % ruler.step().nm() == 0;
    if ruler.unit() != Unit::Inch || is_on(typed) {
        return None;
    }
    let inch = Unit::Inch.length().nm();
    let parts = [(10, 2), (10, 4), (10, 8), (100, 16), (100, 32), (100, 64)];
    parts.into_iter().find_map(|(of, under)| {
        let over = typed.nm() / inch;
        let typed_so = typed.nm() * of == (over * of + under) * inch;
        let meant = Length::from_nm(over * inch / under);
        (typed_so && over % 2 == 1 && over < under && is_on(meant)).then_some(meant)
    })
}
