//! What one album weighs: areas of paper times grams a square metre, and what a scale says of the rest.
//!
//! Each line is rounded outwards to whole micrograms, once; nothing else rounds. What no file says is
//! assumed between two ends, and named.

use crate::album::Album;
use crate::cut::{Trimmer, Want, pieces};
use crate::length::{Interval, Length};
use crate::plan::{PhotoPlan, Plan};
use crate::supplies::weight::{Number, Weighs};
use crate::supplies::{Bag, Card, Paper, Ring, Supplies};
use num_traits::CheckedMul;
use std::ops::Add;

/// A weight between two ends (micrograms).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Grams {
    pub least: i128,
    pub most: i128,
}

impl Add for Grams {
    type Output = Grams;

    fn add(self, other: Grams) -> Grams {
        Grams {
            least: self.least + other.least,
            most: self.most + other.most,
        }
    }
}

/// What something weighs is counted by, where no scale and no pack says it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum By {
    /// What such paper usually weighs (g/m2), from and to.
    Usual(i64, i64),
    /// The thickness of its paper, with the usual bulk.
    Thickness,
    /// Steel wire of the ring's size.
    Steel,
    /// The same, of a wire from 2 mm to 3 mm.
    UsualWire,
    /// The paper of a bag: its face and back, its sides and half the gusset for its bottom.
    Shape,
}

/// What kind of thing a line adds up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum What {
    Bags,
    Papers,
    Cards,
    Prints,
    Rings,
}

/// Things of one kind and name in one album.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    pub what: What,
    /// As the supplies name it; empty for paper and prints without a name.
    pub name: String,
    pub count: u64,
    /// Of all of them.
    pub grams: Grams,
    pub assumed: Vec<By>,
}

/// What an album weighs.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Weight {
    pub lines: Vec<Line>,
    pub total: Grams,
    /// It is threaded on rings, and none is named: they are left out.
    pub without_rings: bool,
}

// Bag paper: 30 lb kraft of lunch bags is 49 g/m2 (derived), grocery bags are sold with 80 to 120;
// printed sources disagree, so the answer asks to weigh one.
const BAG_PAPER: (i64, i64) = (50, 120);
// Common practice, no published source: printed design papers and thin card.
const DESIGN_PAPER: (i64, i64) = (100, 220);
// Common practice, no published source: postcards and index cards.
const CARDS: (i64, i64) = (150, 300);
// A laboratory's table of photo papers, read in a stored copy.
const PHOTO_PAPER: (i64, i64) = (150, 250);
/// Bulk of bag paper: that of kraft, and what a caliper may be off (hundredths of a cm3/g).
const BAG_BULK: (i128, i128) = (130, 160);
/// Bulk of any paper or board (hundredths of a cm3/g).
const BULK: (i128, i128) = (80, 160);
/// Thickness of a ring's wire if nobody says it (nanometres).
const WIRE: (i128, i128) = (2_000_000, 3_000_000);

/// What one album weighs. `None` if its numbers are too large to be multiplied exactly.
pub fn weigh(album: &Album, plan: &Plan) -> Option<Weight> {
    let mut weight = Weight {
        without_rings: plan.takes_rings && plan.ring.is_none(),
        ..Weight::default()
    };
    let supplies = &album.supplies;
    for (leaf, said) in plan.leaves.iter().zip(&album.leaves) {
        let bag = supplies.bags.get(said.bag)?;
        let (grams, assumed) = of_bag(bag, leaf.single)?;
        weight.put(What::Bags, &bag.name, leaf.count, grams, assumed)?;
        for (insert, said) in leaf.inserts.iter().zip(&said.inserts) {
            let count = leaf.count.checked_mul(insert.count)?;
            if let Some(card) = said.card.and_then(|card| supplies.cards.get(card)) {
                let area = Area::of(card.width, card.height);
                let (grams, assumed) = of_card(card, area, area, CARDS)?;
                weight.put(What::Cards, &card.name, count, grams, assumed)?;
            }
            if let Some(photo) = &insert.photo {
                let (name, grams, assumed) = of_photo(supplies, photo)?;
                weight.put(What::Prints, name, count, grams, assumed)?;
            }
        }
    }
    // The pieces that are really cut.
    let order = pieces::order(plan, album, Vec::new(), Trimmer::default());
    let cut = order.wants.iter().chain(&order.any_paper);
    for want in cut.chain(&order.from_left) {
        let named = want.papers.iter().filter_map(|at| order.papers.get(*at));
        let papers = named.filter_map(|it| supplies.papers.iter().find(|p| p.name == it.name));
        let papers: Vec<&Paper> = papers.collect();
        // The designs of a pad are one paper.
        let of = |paper: &&Paper| {
            paper
                .design_of
                .and_then(|(pad, _)| supplies.papers.get(pad))
        };
        let named = papers
            .iter()
            .map(|it| of(it).map_or(it.name.as_str(), |pad| &pad.name));
        let mut name: Vec<&str> = named.collect();
        name.dedup();
        let count = i64::try_from(want.count).ok()?;
        let (grams, assumed) = of_piece(want, &papers)?;
        weight.put(What::Papers, &name.join(" or "), count, grams, assumed)?;
    }
    if let Some(ring) = &plan.ring {
        let ring = supplies.rings.iter().find(|it| it.name == ring.name)?;
        let (grams, assumed) = of_ring(ring)?;
        let count = i64::try_from(plan.rings()).ok()?;
        weight.put(What::Rings, &ring.name, count, grams, assumed)?;
    }
    weight.lines.sort_by_key(|line| line.what);
    Some(weight)
}

impl Weight {
    /// Adds a number of one thing; none of them is no line.
    fn put(
        &mut self,
        what: What,
        name: &str,
        count: i64,
        each: (Number, Number),
        assumed: Vec<By>,
    ) -> Option<()> {
        let all = |one: Number| one.checked_mul(&Number::from(i128::from(count)));
        let grams = Grams {
            least: all(each.0)?.floor().to_integer(),
            most: all(each.1)?.ceil().to_integer(),
        };
        let count = u64::try_from(count).ok()?;
        if count == 0 {
            return Some(());
        }
        self.total = self.total + grams;
        let mut lines = self.lines.iter_mut();
        match lines.find(|line| line.what == what && line.name == name) {
            Some(line) => {
                line.count = line.count.checked_add(count)?;
                line.grams = line.grams + grams;
            }
            None => self.lines.push(Line {
                what,
                name: name.to_owned(),
                count,
                grams,
                assumed,
            }),
        }
        Some(())
    }
}

/// An area between two ends (square nanometres).
#[derive(Clone, Copy)]
struct Area {
    least: i128,
    most: i128,
}

impl Area {
    fn of(width: Interval, height: Interval) -> Area {
        let by = |a: Length, b: Length| i128::from(a.nm()) * i128::from(b.nm());
        Area {
            least: by(width.least(), height.least()),
            most: by(width.most(), height.most()),
        }
    }
}

/// Micrograms of one thing, from and to, and what is assumed.
type Known = Option<((Number, Number), Vec<By>)>;

/// Micrograms of an area of paper of a weight (g/m2).
pub fn micrograms(square_nm: i128, grams: Number) -> Option<Number> {
    // 1 g/m2 is 1e6 micrograms on 1e18 square nanometres.
    Number::new(square_nm, 1_000_000_000_000).checked_mul(&grams)
}

fn on_a_scale(grams: Number) -> Option<Number> {
    grams.checked_mul(&Number::from(1_000_000))
}

fn of_area(area: Area, grams: (Number, Number)) -> Option<(Number, Number)> {
    Some((
        micrograms(area.least, grams.0)?,
        micrograms(area.most, grams.1)?,
    ))
}

/// Grams a square metre of paper of a thickness, with a bulk from and to.
fn by_thickness(caliper: Interval, bulk: (i128, i128)) -> (Number, Number) {
    // g/m2 = micrometres / (cm3/g); the bulk is in hundredths.
    let grams = |nm: i64, bulk: i128| Number::new(i128::from(nm), 10 * bulk);
    (
        grams(caliper.least().nm(), bulk.1),
        grams(caliper.most().nm(), bulk.0),
    )
}

fn usual((least, most): (i64, i64)) -> ((Number, Number), By) {
    let number = |grams: i64| Number::from(i128::from(grams));
    ((number(least), number(most)), By::Usual(least, most))
}

/// A bag; or, if it is `single`, a sheet as wide and as high.
fn of_bag(bag: &Bag, single: bool) -> Known {
    let (grams, assumed) = match (bag.weight, bag.caliper) {
        (Some(Weighs::Grams(grams)), _) => {
            let grams = on_a_scale(grams)?;
            return Some(((grams, grams), Vec::new()));
        }
        (Some(Weighs::Paper(least, most)), _) => ((least, most), None),
        (None, Some(caliper)) => (by_thickness(caliper, BAG_BULK), Some(By::Thickness)),
        (None, None) => {
            let (grams, by) = usual(BAG_PAPER);
            (grams, Some(by))
        }
    };
    if single {
        let area = Area::of(bag.width, bag.height);
        return Some((of_area(area, grams)?, assumed.into_iter().collect()));
    }
    // A tube as wide as face and gusset, twice; it is longer by half the gusset for the bottom.
    let paper = |width: i64, height: i64, gusset: i64| {
        let [width, height, gusset] = [width, height, gusset].map(i128::from);
        (width + gusset) * (2 * height + gusset)
    };
    let gusset = bag
        .gusset
        .map_or((0, 0), |it| (it.least().nm(), it.most().nm()));
    let area = Area {
        least: paper(bag.width.least().nm(), bag.height.least().nm(), gusset.0),
        most: paper(bag.width.most().nm(), bag.height.most().nm(), gusset.1),
    };
    let assumed = assumed.into_iter().chain([By::Shape]);
    Some((of_area(area, grams)?, assumed.collect()))
}

/// A card or a print of this area, of which this much is used.
fn of_card(card: &Card, whole: Area, used: Area, else_usual: (i64, i64)) -> Known {
    let (grams, assumed) = match (card.weight, card.caliper) {
        (Some(Weighs::Grams(grams)), _) => {
            let share = |used: i128, whole: i128| {
                let share = Number::new(used.min(whole), whole.max(1));
                let all = on_a_scale(grams)?;
                share.checked_mul(&all)
            };
            let grams = (
                share(used.least, whole.most)?,
                share(used.most, whole.least)?,
            );
            return Some((grams, Vec::new()));
        }
        (Some(Weighs::Paper(least, most)), _) => ((least, most), None),
        (None, Some(caliper)) => (by_thickness(caliper, BULK), Some(By::Thickness)),
        (None, None) => {
            let (grams, by) = usual(else_usual);
            (grams, Some(by))
        }
    };
    Some((of_area(used, grams)?, assumed.into_iter().collect()))
}

fn of_photo<'a>(
    supplies: &'a Supplies,
    photo: &PhotoPlan,
) -> Option<(&'a str, (Number, Number), Vec<By>)> {
    let used = Area::of(photo.width.value, photo.height.value);
    let print = photo.print.as_ref();
    let print = print.and_then(|it| supplies.prints.iter().find(|print| print.name == it.name));
    match print {
        Some(print) => {
            let whole = Area::of(print.width, print.height);
            let (grams, assumed) = of_card(print, whole, used, PHOTO_PAPER)?;
            Some((&print.name, grams, assumed))
        }
        None => {
            let (grams, by) = usual(PHOTO_PAPER);
            Some(("", of_area(used, grams)?, vec![by]))
        }
    }
}

/// A piece that may be cut from any of these papers.
fn of_piece(want: &Want, papers: &[&Paper]) -> Known {
    let of = |paper: Option<&&Paper>| match paper.map(|paper| (paper.grams, paper.caliper)) {
        Some((Some(grams), _)) => (grams, None),
        Some((None, Some(caliper))) => (by_thickness(caliper, BULK), Some(By::Thickness)),
        _ => {
            let (grams, by) = usual(DESIGN_PAPER);
            (grams, Some(by))
        }
    };
    let first = of(papers.first());
    let mut assumed: Vec<By> = first.1.into_iter().collect();
    let mut grams = first.0;
    for paper in papers.iter().skip(1) {
        let (other, by) = of(Some(paper));
        grams = (grams.0.min(other.0), grams.1.max(other.1));
        assumed.extend(by.filter(|by| !assumed.contains(by)));
    }
    let twice = 2 * i128::from(want.width.nm()) * i128::from(want.height.nm()) - want.twice_off;
    let area = Area {
        least: twice / 2,
        most: (twice + 1) / 2,
    };
    Some((of_area(area, grams)?, assumed))
}

fn of_ring(ring: &Ring) -> Known {
    if let Some(grams) = ring.weight {
        let grams = on_a_scale(grams)?;
        return Some(((grams, grams), Vec::new()));
    }
    let wire = ring
        .wire
        .map(|it| (it.least().nm().into(), it.most().nm().into()));
    let (least, most): (i128, i128) = wire.unwrap_or(WIRE);
    let inside = (
        ring.inside.least().nm().into(),
        ring.inside.most().nm().into(),
    );
    let by = match ring.wire {
        Some(_) => By::Steel,
        None => By::UsualWire,
    };
    Some(((steel(inside.0, least), steel(inside.1, most)), vec![by]))
}

/// Micrograms of a steel ring without a hinge, of this inside and this wire (nanometres).
pub fn steel(inside: i128, wire: i128) -> Number {
    // A wire of diameter d, as long as the circle through its middle, pi (D + d): pi / 4 d^2 x pi (D + d).
    // Steel is 7.85 g/cm3 (from memory), so 7.85e-15 micrograms a cubic nanometre; pi^2 / 4 = 2.4674011.
    let volume = wire * wire * (inside + wire);
    Number::new(
        volume / 1_000_000 * 785 * 24_674_011,
        1_000_000_000_000_000_000,
    )
}
