//! Deeds that mend a part of the trouble: each is done in the album and the album solved again; those
//! that have a size are tried with the smallest that does; and the easiest that
//! keeps a wish.
//!
//! May import every room up to `plan`.

use super::changed::{Asked, named};
use super::deeds::{Deed, Side, Supply};
use super::own::What;
use super::tries::Tries;
use crate::album::{Album, Insert};
use crate::length::{Interval, Length, Ruler};
use crate::plan::dropped;
use crate::program::InstanceId;
use crate::program::expand::{Expanded, expand};
use crate::solve::{Limits, Solution, solve};
use crate::style::{Effort, Style};
use crate::supplies::Ring;
use crate::text::Place;
use std::collections::{BTreeMap, BTreeSet};

/// No bag and no sheet is made larger by more than so many steps.
pub(super) const MOST_STEPS: i64 = 64;
/// Nor is a row of holes moved by more for a wish.
const MOST_MOVED: i64 = 8;
/// No larger ring is sold (common practice, no published source), and inside diameters go by these.
const LARGEST_RING: Length = Length::from_nm(4 * 25_400_000);
const RING_STEP: Length = Length::from_nm(25_400_000 / 8);
const METRIC_RING_STEP: Length = Length::MM;
/// Thicknesses of card go by these; they are tried down to half of what it is.
const CARD_STEP: Length = Length::from_nm(12_700);
const METRIC_CARD_STEP: Length = Length::from_nm(10_000);

/// Inside diameter of the smallest ring, on the steps in which they are sold, that takes an album whose supplies
/// name none; `None` if the largest is too small, too, or a limit was met.
pub fn smallest_ring(style: &Style, album: &Album, limits: &Limits) -> Option<Length> {
    let mut album = album.clone();
    album.ring = None;
    album.supplies.rings = vec![Ring {
        name: "ring".to_owned(),
        place: Place::default(),
        inside: Interval::exact(ring_step(&album)),
        wire: None,
        weight: None,
        count: None,
        price: None,
    }];
    let expanded = expand(style, &album).ok()?;
    let asked = Asked::of(style, &album, &expanded, limits);
    match Tries::new(asked, &(Vec::new(), BTreeSet::new())).ring()? {
        Deed::RingOf { to, .. } => Some(to),
        _ => None,
    }
}

fn ring_step(album: &Album) -> Length {
    match album.ruler.is_metric() {
        true => METRIC_RING_STEP,
        false => RING_STEP,
    }
}

impl Tries<'_> {
    /// Deeds that mend what these rules say, each of which may; the smallest of those that have a
    /// size.
    pub(super) fn deeds(&mut self, rules: &[InstanceId]) -> Vec<Deed> {
        let asked = self.asked;
        let (leaves, whole) = asked.spoken_of(rules);
        let mut found: Vec<Deed> = Vec::new();
        let mut offered = Vec::new();
        for at in &leaves {
            offered.extend(asked.in_leaf(*at));
        }
        offered.extend(asked.of_album(rules));
        offered.extend(asked.of_holes());
        offered.extend(asked.of_rings());
        if whole {
            found.extend(self.ring());
        }
        if whole || rules.iter().any(|id| asked.hangs_on(*id).1) {
            found.extend(self.fewer());
        }
        found.extend(self.fewer_holes());
        let called: BTreeSet<String> = rules.iter().flat_map(|id| asked.called(*id)).collect();
        for (leaf, of, paper) in asked.cut_from() {
            let near =
                leaf.is_empty() || leaves.iter().any(|at| asked.album.leaves[*at].name == leaf);
            if near && called.contains(of) {
                found.extend(self.sheet((leaf, of), paper));
            }
        }
        for deed in offered {
            if self.does(&deed) {
                found.push(deed);
            }
        }
        // One other pattern is enough: the one that is most like what was wanted.
        let mut patterns = 0;
        found.retain(|deed| {
            let other = matches!(deed, Deed::Pattern { to: Some(_), .. });
            patterns += usize::from(other);
            !other || patterns == 1
        });
        for at in &leaves {
            for insert in &asked.album.leaves[*at].inserts {
                found.extend(self.fewer_of(*at, insert));
                found.extend(self.thinner(*at, insert));
                found.extend(self.shows(*at, insert));
            }
        }
        let compared = rules.iter().any(|id| asked.leaves_of_rule(*id).len() > 1);
        for at in leaves {
            for side in [Side::Wide, Side::High] {
                found.extend(self.picked(at, side));
                let bag = self.bag(at, side);
                if !compared {
                    found.extend(bag);
                    continue;
                }
                let bag = bag.or_else(|| self.as_others(at, side));
                found.extend(self.no_larger(bag));
            }
        }
        found
    }

    /// The easiest of them that keeps this wish: of the things that it speaks of, the rings at hand
    /// and the eyelets; else a larger ring or fewer leaves. Other holes and bags are no cure for a
    /// wish.
    pub(super) fn easiest(&mut self, wish: InstanceId, now: &Solution) -> Option<Deed> {
        let asked = self.asked;
        let (leaves, whole) = asked.spoken_of(&[wish]);
        // A larger ring or fewer leaves are no cure for a wish that reads neither.
        let (of_rings, of_counts) = asked.hangs_on(wish);
        self.near = asked.near(&[wish]);
        let called = asked.called(wish);
        let of_leaves = leaves.iter().flat_map(|at| asked.in_leaf(*at));
        let mut offered: Vec<Deed> = of_leaves
            .chain(asked.of_holes())
            .chain(asked.of_rings())
            .filter(|deed| match deed {
                // What is glued is pulled out no more.
                Deed::Place { insert, .. } => {
                    let effort = asked.effort(&What::Deed((*deed).clone()), false, 1);
                    called.contains(insert) && effort == Effort::Replace
                }
                Deed::Turn { insert, .. } | Deed::Grip { insert, .. } => called.contains(insert),
                Deed::Use { supply, of, .. } => match supply {
                    Supply::Ring => whole && of_rings,
                    Supply::Paper => called.contains(of),
                    Supply::Bag | Supply::Print | Supply::Punch => false,
                },
                Deed::NoEyelets => true,
                _ => false,
            })
            .chain(asked.mending(wish))
            .collect();
        // A wish is mostly about how a thing is held: that is less trouble than another place.
        offered.sort_by_key(|deed| {
            let held = matches!(deed, Deed::Grip { .. });
            let effort = asked.effort(&What::Deed(deed.clone()), false, 1);
            (!held, asked.style.rank(effort))
        });
        let none = BTreeSet::new();
        let whole_fits = |deed: &Deed| asked.fits(&[asked.deed(deed)], &none) == Some(true);
        let some = !self.near.is_empty();
        offered
            .into_iter()
            .find(|deed| match deed {
                Deed::With { .. } => {
                    let whole = asked.style.whole();
                    let style = whole.as_ref().unwrap_or(asked.style);
                    self.gives_nothing_up(style, deed, wish, now)
                }
                Deed::Grip { .. } => self.does(deed) && (!some || whole_fits(deed)),
                _ => self.does(deed) && self.gives_nothing_up(asked.style, deed, wish, now),
            })
            .or_else(|| self.row(wish, now))
            .or_else(|| (whole && of_rings).then(|| self.ring()).flatten())
            .or_else(|| (whole && of_counts).then(|| self.fewer()).flatten())
    }

    /// Whether a wish is kept with a deed and fewer are given up in all than without, and nothing that is
    /// cut is smaller.
    fn gives_nothing_up(
        &self,
        style: &Style,
        deed: &Deed,
        wish: InstanceId,
        now: &Solution,
    ) -> bool {
        let asked = self.asked;
        let mut album = asked.album.clone();
        let done = deed.done(&mut album);
        let Some(after) = done.and_then(|()| expand(style, &album).ok()) else {
            return false;
        };
        let then = solve(&after.program, asked.limits);
        let old = asked.expanded;
        let sizes = |expanded: &Expanded, solution: &Solution| {
            let sizes = expanded.sizes.iter().map(|it| it.unknown.0 as usize);
            let named = sizes.filter_map(|at| {
                let name = expanded.program.unknowns[at].name.clone();
                Some((name, *solution.values.get(at)?))
            });
            named.collect::<BTreeMap<String, i64>>()
        };
        let (was, is) = (sizes(old, now), sizes(&after, &then));
        let kept = was.iter().all(|(name, size)| match is.get(name) {
            Some(it) => it >= size,
            None => !is.is_empty(),
        });
        let lost = dropped(&after, &then);
        let wish = named(old, wish);
        kept && lost.len() < dropped(old, now).len()
            && lost.into_iter().all(|id| named(&after, id) != wish)
    }

    pub(super) fn does(&mut self, deed: &Deed) -> bool {
        if self.left == 0 {
            self.give_up();
            return false;
        }
        self.left -= 1;
        self.fits(&[self.asked.deed(deed)])
    }

    /// As [`Tries::least`], of deeds of which the largest does if any does: however many there are.
    fn least_of_rising(&mut self, most: i64, deed: impl Fn(i64) -> Option<Deed>) -> Option<Deed> {
        let does = |tries: &mut Self, n| deed(n).is_some_and(|deed| tries.does(&deed));
        (most > 0 && does(self, most)).then_some(())?;
        let least = self.between((0, most), &does)?;
        deed(least)
    }

    /// The smallest of these deeds that does: of no more than `most`, each larger than the one
    /// before.
    fn least(&mut self, most: i64, deed: impl Fn(i64) -> Option<Deed>) -> Option<Deed> {
        let does = |tries: &mut Self, n| deed(n).is_some_and(|deed| tries.does(&deed));
        let (mut not, mut enough) = (0, 1);
        while !does(self, enough) {
            if enough >= most {
                return None;
            }
            (not, enough) = (enough, (2 * enough).min(most));
        }
        let least = self.between((not, enough), &does)?;
        deed(least)
    }

    /// The smallest that does, of one that does not and one that does; `None` if not all could be tried.
    pub(super) fn between(
        &mut self,
        (mut not, mut enough): (i64, i64),
        does: &impl Fn(&mut Self, i64) -> bool,
    ) -> Option<i64> {
        while enough - not > 1 {
            if self.left == 0 {
                self.give_up();
                return None;
            }
            let middle = not + (enough - not) / 2;
            match does(self, middle) {
                true => enough = middle,
                false => not = middle,
            }
        }
        Some(enough)
    }

    /// The row of holes a little higher or lower, where the album says how high it begins and the wish
    /// speaks of a hole.
    fn row(&mut self, wish: InstanceId, now: &Solution) -> Option<Deed> {
        let asked = self.asked;
        let scene = &asked.expanded.model.scene;
        let mut things = asked.expanded.scopes[wish.0 as usize].0.iter();
        things.find(|(_, thing)| scene.thing(*thing).kind == "hole")?;
        let (from, step) = (asked.album.template.first?, asked.album.ruler.step());
        let moved = (1..=MOST_MOVED).flat_map(|n| [n, -n]).filter_map(|n| {
            let to = from.longer(step.checked_mul(n)?)?;
            (to.least() > Length::ZERO).then_some(Deed::Row { from, to })
        });
        moved
            .into_iter()
            .find(|deed| self.does(deed) && self.gives_nothing_up(asked.style, deed, wish, now))
    }

    fn ring(&mut self) -> Option<Deed> {
        let album = self.asked.album;
        let rings = &album.supplies.rings;
        let ring = match &album.ring {
            Some(fixed) => rings.get(fixed.value),
            None => rings.iter().max_by_key(|ring| ring.inside.least()),
        }?;
        let step = ring_step(album);
        // On the steps in which rings are sold, from the next one on.
        let whole = ring.inside.least().nm().div_euclid(step.nm());
        self.least_of_rising(LARGEST_RING.nm() / step.nm() - whole, |n| {
            let to = step.checked_mul(whole.checked_add(n)?)?;
            Some(Deed::RingOf {
                from: ring.name.clone(),
                inside: ring.inside,
                to,
            })
        })
    }

    fn fewer(&mut self) -> Option<Deed> {
        let leaves = &self.asked.album.leaves;
        let all = leaves.iter().map(|leaf| leaf.count).sum::<i64>();
        let many = leaves.iter().max_by_key(|leaf| leaf.count)?;
        let fewer = self.least_of_rising(many.count - 1, |by| {
            Some(Deed::Fewer {
                leaf: many.name.clone(),
                by,
                left: all - by,
            })
        });
        // Fewer of several kinds were not tried.
        self.untried |= fewer.is_none() && leaves.len() > 1;
        fewer
    }

    fn fewer_holes(&mut self) -> Option<Deed> {
        let template = &self.asked.album.template;
        let from = template.holes.filter(|_| template.pattern.is_none())?;
        self.least(from - 1, |by| {
            let to = from - by;
            (to > 0).then_some(Deed::Holes { from, to })
        })
    }

    fn fewer_of(&mut self, at: usize, insert: &Insert) -> Option<Deed> {
        let leaf = &self.asked.album.leaves[at].name;
        self.least_of_rising(insert.count - 1, |by| {
            Some(Deed::FewerOf {
                leaf: leaf.clone(),
                insert: insert.name.clone(),
                by,
                left: insert.count - by,
            })
        })
    }

    /// Card as thick as may be, of what it is now.
    fn thinner(&mut self, at: usize, insert: &Insert) -> Option<Deed> {
        let asked = self.asked;
        let scene = &asked.expanded.model.scene;
        let thing = scene.insert(scene.leaves()[at], &insert.name)?;
        let now = scene.length(thing, "caliper")?;
        let grain = match asked.album.ruler.is_metric() {
            true => METRIC_CARD_STEP,
            false => CARD_STEP,
        };
        let leaf = &asked.album.leaves[at].name;
        let whole = now.least().nm().div_euclid(grain.nm());
        self.least_of_rising(whole / 2, |n| {
            let to = grain.checked_mul(whole - n)?;
            (to > Length::ZERO).then(|| Deed::Thinner {
                leaf: leaf.clone(),
                insert: insert.name.clone(),
                from: now,
                to,
            })
        })
    }

    /// A thing that stands out of its slot, as far as it has to.
    fn shows(&mut self, at: usize, insert: &Insert) -> Option<Deed> {
        if insert.show.is_some() || insert.photo.is_some() {
            return None;
        }
        let album = self.asked.album;
        let leaf = &album.leaves[at].name;
        self.least(MOST_STEPS, |n| {
            Some(Deed::Show {
                leaf: leaf.clone(),
                insert: insert.name.clone(),
                to: album.ruler.step().checked_mul(n)?,
            })
        })
    }

    fn picked(&mut self, at: usize, side: Side) -> Option<Deed> {
        let (name, pack, step) = self.asked.side_of(at, side)?;
        let within = (pack.most().nm() - pack.least().nm()) / step.nm();
        if within < 1 {
            return None;
        }
        self.least(within.min(MOST_STEPS), |n| {
            Some(Deed::Pick {
                from: name.clone(),
                side,
                pack,
                to: pack.least().checked_add(step.checked_mul(n)?)?,
            })
        })
    }

    /// The smallest bag that does: by whole steps of the ruler, then finer, as it is bought and not cut.
    fn bag(&mut self, at: usize, side: Side) -> Option<Deed> {
        let asked = self.asked;
        let whole = self.least(MOST_STEPS, |n| asked.bag(at, side, n))?;
        let (_, now, step) = asked.side_of(at, side)?;
        let ruler = asked.album.ruler;
        let in_inches = ruler.shows_in_own(now.least()) && !ruler.is_metric();
        let fine = Ruler::MARKS[usize::from(!in_inches)];
        let finer = |n: i64| {
            let mut finer = whole.clone();
            if let Deed::BagOf { to, .. } = &mut finer {
                *to = to.shorter(step)?.longer(fine.checked_mul(n)?)?;
            }
            Some(finer)
        };
        let does = |tries: &mut Self, n| finer(n).is_some_and(|it| tries.does(&it));
        let parts = -(-step.nm()).div_euclid(fine.nm());
        let untried = self.untried;
        let least = self.between((0, parts), &does);
        self.untried = untried;
        let least = least.filter(|n| *n < parts).and_then(finer);
        Some(least.unwrap_or(whole))
    }

    /// A bag as large as that of another leaf: where leaves are compared, only one size may do.
    fn as_others(&mut self, at: usize, side: Side) -> Option<Deed> {
        let asked = self.asked;
        let (_, own, step) = asked.side_of(at, side)?;
        let others = (0..asked.album.leaves.len()).filter_map(|it| asked.side_of(it, side));
        let more = others.map(|(_, it, _)| (it.least().nm() - own.least().nm()) / step.nm());
        let steps: BTreeSet<i64> = more.filter(|n| (1..=MOST_STEPS).contains(n)).collect();
        let mut deeds = steps.into_iter().filter_map(|n| asked.bag(at, side, n));
        deeds.find(|it| self.does(it))
    }

    /// A larger bag; it says so where one a step larger would not do.
    fn no_larger(&mut self, bag: Option<Deed>) -> Option<Deed> {
        let mut bag = bag?;
        let mut larger = bag.clone();
        let step = self.asked.album.ruler.step();
        if let (Deed::BagOf { to, .. }, Deed::BagOf { only, .. }) = (&mut larger, &mut bag) {
            *to = to.longer(step)?;
            let untried = std::mem::take(&mut self.untried);
            *only = !self.fits(&[self.asked.deed(&larger)]) && !self.untried;
            self.untried |= untried;
        }
        Some(bag)
    }
}

impl Asked<'_> {
    /// A leaf's bag, one of its sides, and a step of the ruler.
    fn side_of(self, at: usize, side: Side) -> Option<(String, Interval, Length)> {
        let album = self.album;
        let bag = album.supplies.bags.get(album.leaves[at].bag)?;
        let now = match side {
            Side::Wide => bag.width,
            Side::High => bag.height,
        };
        Some((bag.name.clone(), now, album.ruler.step()))
    }

    /// A leaf's bag so many steps larger on one side.
    fn bag(self, at: usize, side: Side, steps: i64) -> Option<Deed> {
        let (from, now, step) = self.side_of(at, side)?;
        let to = now.longer(step.checked_mul(steps)?)?;
        Some(Deed::BagOf {
            from,
            side,
            to,
            only: false,
        })
    }

    /// A bag larger both ways, no wider and then no higher than all of the trouble asks for.
    pub(super) fn larger_bag(self, at: usize) -> Option<[Deed; 2]> {
        let beside = |deed: &Deed| (vec![self.deed(deed)], BTreeSet::new());
        let most = beside(&self.bag(at, Side::High, MOST_STEPS)?);
        // If the largest does not do, no other is tried.
        let widest = self.deed(&self.bag(at, Side::Wide, MOST_STEPS)?);
        if !Tries::new(self, &most).fits(&[widest]) {
            return None;
        }
        let wide = Tries::new(self, &most).bag(at, Side::Wide)?;
        let narrow = beside(&wide);
        let high = Tries::new(self, &narrow).bag(at, Side::High)?;
        Some([wide, high])
    }
}
