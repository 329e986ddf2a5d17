//! A typed bag that was probably meant otherwise: in a larger unit, or with its gusset in the middle.
//! Nothing is said unless that bag fits.

use super::{Source, input, work};
use crate::explain::Meant;
use crate::length::{Interval, Length, Ruler, Sides, Unit, parse_sides, written_unit};
use crate::plan::Listed;
use crate::plan::work::Outcome;
use crate::solve::Limits;

/// A bag is guessed to be no narrower, and no side of it to be longer.
const NARROWEST: Length = Length::from_nm(90 * Length::MM.nm());
const LONGEST: Length = Length::from_nm(500 * Length::MM.nm());

/// What was probably meant; `None` if no bag was typed, or no other one fits.
pub(super) fn meant(source: &Source, limits: &Limits) -> Option<Meant> {
    let typed = source.bag.as_ref()?;
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
    if let Some(gusset) = gusset.filter(|gusset| gusset.least() > height.most()) {
        let bag = shown(unit, &[width, height, gusset])?;
        return fits(bag).map(|bag| Meant::Order {
            gusset,
            height,
            bag,
        });
    }
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
