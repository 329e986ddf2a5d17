//! A bag that was probably meant otherwise: in a larger unit, or with its two numbers the other way round.
//! Nothing is said unless that bag fits.

use super::{Input, Source, input, work};
use crate::explain::Meant;
use crate::length::{Interval, Length, Ruler, Sides, Unit, parse_sides, written_unit};
use crate::plan::Listed;
use crate::plan::work::{self as whole, Outcome};
use crate::solve::Limits;
use std::collections::BTreeSet;

/// A bag is guessed to be no narrower, and no side of it to be longer.
const NARROWEST: Length = Length::from_nm(90 * Length::MM.nm());
const LONGEST: Length = Length::from_nm(500 * Length::MM.nm());

/// What was probably meant; `None` if no other bag fits.
pub(super) fn meant(input: &Input, source: &Source, limits: &Limits) -> Option<Meant> {
    let Some(typed) = &source.bag else {
        return turned(input, limits);
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
    let shown = |unit: Unit, sides: &[Interval]| {
        let ruler = Ruler::new(unit.length(), unit)?;
        let exact = |side: &Interval| side.is_exact().then(|| side.least());
        let sides: Option<Vec<Length>> = sides.iter().map(exact).collect();
        Some(ruler.show_sides(&sides?))
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
