//! What would make a size larger, or smaller where small is wanted: each given measure changed step
//! by step, and the whole album solved again.
//!
//! Gains come in steps and need not grow with the change, so nothing is inferred from a single
//! try: every change up to [`STEPS`] steps is either solved, stage by stage up to the one that
//! settles the size, or passed over because an earlier answer's own proofs hold for it as they
//! stand (`known`). What is offered was worked out whole, and verified, once more.
//!
//! May import every room up to `plan`.

use super::known::Known;
use super::measures::{self, Measure};
use super::{Growth, Offer};
use crate::album::Album;
use crate::length::{Interval, Length};
use crate::plan::phrase::Phrase;
use crate::plan::work::{Outcome, Worked, work};
use crate::plan::{Plan, Reason, SizePlan, Stopped};
use crate::program::expand::{Expanded, SizeOf, expand};
use crate::program::{Program, Stage, UnknownId};
use crate::scene::ThingId;
use crate::solve::{self, Limits, Verdict};
use crate::style::Style;
use itertools::Itertools;
use rayon::prelude::*;
use std::cmp::Reverse;
use std::collections::BTreeMap;

/// The most of its own steps that a measure is changed by.
pub const STEPS: i64 = 32;

/// Why nothing can be said of what holds a size back.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum GrowError {
    #[error("no size is called `{name}`")]
    NoSuchSize {
        name: String,
        /// Sizes that were found, without their leaves.
        known: Vec<String>,
    },
    #[error("no leaf is called `{leaf}`")]
    NoSuchLeaf { leaf: String, known: Vec<String> },
    #[error("several leaves have `{name}`: {}", .leaves.join(", "))]
    WhichLeaf { name: String, leaves: Vec<String> },
    #[error("`{name}` is {value}, as {} in the album", if *.measured { "measured" } else { "given" })]
    NotFound {
        name: String,
        leaf: String,
        /// On the album's ruler.
        value: String,
        measured: bool,
    },
    #[error("the album does not fit")]
    DoesNotFit,
    #[error("a limit was met before the album was worked out")]
    Stopped(Stopped),
}

/// Tells what holds a size back, and what one more step of each given measure would buy.
///
/// # Errors
/// There is no such size, it is on several leaves, it was given and not found; the album does not
/// fit.
pub fn grow(
    style: &Style,
    album: &Album,
    worked: &Worked,
    name: &str,
    leaf: Option<&str>,
    limits: &Limits,
) -> Result<Growth, GrowError> {
    let plan = match &worked.outcome {
        Outcome::Fits(plan) => plan,
        Outcome::Undecided(stopped) => return Err(GrowError::Stopped(*stopped)),
        Outcome::Defect(_) => return Err(GrowError::Stopped(Stopped::Refused)),
        Outcome::Clash(_) => return Err(GrowError::DoesNotFit),
    };
    let size = find(plan, album, name, leaf)?;
    let target = Target {
        name: &size.name,
        leaf: &size.leaf,
    };
    let known = target.known_of(&worked.expanded, &worked.solution);
    let known = known.ok_or(GrowError::Stopped(Stopped::TooLarge))?;
    let search = Search {
        style,
        album,
        plan,
        target,
        limits,
        base: &known,
    };
    let mut proved = plan.certainty == crate::plan::Certainty::Best;
    let mut offers = Vec::new();
    let measures = measures::all(style, album, &size.leaf);
    for ((offer, settled), measure) in search.all(&measures) {
        proved &= settled;
        offers.extend(offer.map(|offer| (measure, offer)));
    }
    // What asks for another punch or paper comes later. The sort is stable: of equal offers the measures of
    // the leaf come first.
    offers.sort_by_key(|(it, o): &(&Measure, Offer)| {
        let gains = (o.by, Reverse(o.buys));
        (o.loses.is_some(), it.of_a_thing, gains, it.give)
    });
    let offers = offers.into_iter().map(|(_, offer)| offer).collect();
    Ok(Growth {
        name: size.name.clone(),
        leaf: size.leaf.clone(),
        value: size.value,
        larger: known.larger,
        held_by: size.held_by.clone(),
        offers,
        places: search.places(&worked.expanded),
        pattern: search.without_pattern(),
        proved,
    })
}

/// Every size of a plan, in its order.
fn sizes(plan: &Plan) -> impl Iterator<Item = &SizePlan> {
    let leaves = plan.leaves.iter().flat_map(|leaf| {
        let parts = leaf.parts.iter().flat_map(|p| [&p.width, &p.height]);
        let inserts = leaf.inserts.iter().flat_map(|insert| {
            let photo = insert.photo.iter().flat_map(|p| [&p.width, &p.height]);
            [&insert.width, &insert.height].into_iter().chain(photo)
        });
        parts.chain(inserts)
    });
    let own = plan.parts.iter().flat_map(|p| [&p.width, &p.height]);
    let own = own.filter(|size| !size.held_by.is_empty());
    let all = plan.template.iter().chain(leaves).chain(own);
    all.chain(&plan.others)
}

fn is_found(size: &SizePlan) -> bool {
    !matches!(size.held_by[..], [Reason::Given] | [Reason::Measured])
}

fn find<'p>(
    plan: &'p Plan,
    album: &Album,
    name: &str,
    leaf: Option<&str>,
) -> Result<&'p SizePlan, GrowError> {
    // As sizes are told where there are several leaves: `shore: photo_mat.width`.
    let (leaf, name) = match (leaf, name.split_once(": ")) {
        (None, Some((leaf, name))) => (Some(leaf), name),
        (leaf, _) => (leaf, name),
    };
    if let Some(leaf) = leaf
        && !plan.leaves.iter().any(|l| l.name == leaf)
    {
        return Err(GrowError::NoSuchLeaf {
            leaf: leaf.to_owned(),
            known: plan.leaves.iter().map(|l| l.name.clone()).collect(),
        });
    }
    let here = |size: &&SizePlan| size.leaf.is_empty() || leaf.is_none_or(|l| size.leaf == l);
    let named: Vec<&SizePlan> = sizes(plan)
        .filter(here)
        .filter(|s| s.name == name)
        .collect();
    let found: Vec<&SizePlan> = named.iter().copied().filter(|s| is_found(s)).collect();
    match (found[..].first(), found.len(), named.first()) {
        (Some(size), 1, _) => Ok(size),
        (Some(_), _, _) => Err(GrowError::WhichLeaf {
            name: name.to_owned(),
            leaves: found.iter().map(|s| s.leaf.clone()).collect(),
        }),
        (None, _, Some(given)) => Err(GrowError::NotFound {
            name: name.to_owned(),
            leaf: given.leaf.clone(),
            value: album.ruler.show_interval(given.value),
            measured: given.held_by == [Reason::Measured],
        }),
        (None, _, None) => {
            let known = sizes(plan).filter(here).filter(|s| is_found(s));
            let known = known.map(|size| size.name.clone()).unique().collect();
            Err(GrowError::NoSuchSize {
                name: name.to_owned(),
                known,
            })
        }
    }
}

/// The size that is asked about.
#[derive(Clone, Copy)]
pub(super) struct Target<'a> {
    pub name: &'a str,
    leaf: &'a str,
}

impl Target<'_> {
    /// Its number in a program.
    fn unknown(self, expanded: &Expanded) -> Option<UnknownId> {
        self.sought(expanded).map(|size| size.unknown)
    }

    /// What has it.
    pub fn thing(self, expanded: &Expanded) -> Option<ThingId> {
        self.sought(expanded).map(|size| size.thing)
    }

    fn sought(self, expanded: &Expanded) -> Option<&SizeOf> {
        let scene = &expanded.model.scene;
        expanded.sizes.iter().find(|size| {
            scene.leaf_name(size.thing) == self.leaf
                && scene.size_name(size.thing, &size.field) == self.name
        })
    }

    /// The program up to the stage that settles it, and the sign of that stage.
    fn program(self, expanded: &Expanded) -> Option<(Program, UnknownId, i64)> {
        let unknown = self.unknown(expanded)?;
        let mut stages = expanded.program.stages.iter();
        let mut sign = 0;
        let settles = stages.position(|stage| match stage {
            Stage::Best { objective, .. } => match objective[..] {
                [(id, n)] if id == unknown => {
                    sign = n.signum();
                    true
                }
                _ => false,
            },
            _ => false,
        })?;
        let program = &expanded.program;
        let short = Program {
            stages: program.stages[..=settles].to_vec(),
            first_stages: program.first_stages.min(settles + 1),
            ..program.clone()
        };
        Some((short, unknown, sign))
    }

    pub fn size(self, plan: &Plan) -> Option<&SizePlan> {
        sizes(plan).find(|s| s.name == self.name && s.leaf == self.leaf)
    }

    fn known_of(self, expanded: &Expanded, solution: &solve::Solution) -> Option<Known> {
        let (program, unknown, sign) = self.program(expanded)?;
        Known::new(program, solution, unknown, sign)
    }
}

#[derive(Clone, Copy)]
pub(super) struct Search<'a> {
    pub style: &'a Style,
    pub album: &'a Album,
    pub plan: &'a Plan,
    pub target: Target<'a>,
    pub limits: &'a Limits,
    pub base: &'a Known,
}

impl<'a> Search<'a> {
    /// Every measure in both directions, in order, on all cores.
    fn all(self, measures: &'a [Measure]) -> Vec<((Option<Offer>, bool), &'a Measure)> {
        let asked = measures.iter().flat_map(|m| [(m, true), (m, false)]);
        let asked: Vec<(&Measure, bool)> = asked.collect();
        let found = asked.par_iter();
        found
            .map(|(measure, more)| (self.offer(measure, *more), *measure))
            .collect()
    }

    /// What a measure offers, and whether all of it was settled.
    fn offer(self, measure: &'a Measure, more: bool) -> (Option<Offer>, bool) {
        let mut scan = Scan {
            search: self,
            measure,
            more,
            most: measure.reaches(more, STEPS),
            programs: BTreeMap::new(),
            better: Vec::new(),
            proved: true,
        };
        scan.run();
        let offer = scan.tell();
        (offer, scan.proved)
    }
}

/// The changes of one measure in one direction.
struct Scan<'a> {
    search: Search<'a>,
    measure: &'a Measure,
    more: bool,
    /// The most steps to try; fewer than [`STEPS`] where the measure goes no further.
    most: i64,
    /// Programs by steps, those that were needed.
    programs: BTreeMap<i64, Option<(Program, UnknownId, i64)>>,
    /// Steps and ruler steps bought, where a change buys more than all smaller ones.
    better: Vec<(i64, i64)>,
    proved: bool,
}

/// A changed album, worked out whole.
enum Whole {
    Fits(Box<Plan>),
    /// What clashes.
    Clash(Vec<Reason>),
    Unsettled,
}

impl Scan<'_> {
    fn album(&self, steps: i64) -> Option<Album> {
        let signed = if self.more { steps } else { -steps };
        self.measure.changed(self.search.album, signed)
    }

    fn program(&mut self, steps: i64) -> Option<&(Program, UnknownId, i64)> {
        if !self.programs.contains_key(&steps) {
            let made = self.album(steps).and_then(|album| {
                let expanded = expand(self.search.style, &album).ok()?;
                self.search.target.program(&expanded)
            });
            self.programs.insert(steps, made);
        }
        self.programs.get(&steps)?.as_ref()
    }

    fn rules_out(&mut self, known: &Known, steps: i64, goal: Option<i64>) -> bool {
        self.program(steps)
            .is_some_and(|(program, ..)| known.rules_out(program, goal))
    }

    fn run(&mut self) {
        let mut answers: Vec<Known> = vec![self.search.base.clone()];
        let mut gained = 0;
        let mut steps = 1;
        while steps <= self.most {
            if self.search.limits.is_over() {
                self.proved = false;
                break;
            }
            let goal = self.search.base.better_by(gained);
            let mut earlier = answers.iter().rev();
            if let Some(known) = earlier.find(|known| self.rules_out(known, steps, goal)) {
                steps = self.farthest(known, steps, goal) + 1;
                continue;
            }
            let Some((program, unknown, sign)) = self.program(steps).cloned() else {
                // The style says nothing of such an album: there is no such measure.
                self.most = steps - 1;
                break;
            };
            let solution = solve::solve(&program, self.search.limits);
            let settled = matches!(solution.verdict, Verdict::FitsBest | Verdict::Conflict(_));
            self.proved &= settled;
            if let Some(known) = Known::new(program, &solution, unknown, sign) {
                if let Some(gain) = known.gain_over(self.search.base)
                    && gain > gained
                {
                    gained = gain;
                    self.better.push((steps, gain));
                }
                answers.push(known);
            }
            steps += 1;
        }
    }

    /// The most steps up to which an answer that rules out `steps` rules out all. Each row goes one
    /// way only as a measure grows, so a proof that stands at two changes stands between them.
    fn farthest(&mut self, known: &Known, steps: i64, goal: Option<i64>) -> i64 {
        if self.rules_out(known, self.most, goal) {
            return self.most;
        }
        let (mut stands, mut fails) = (steps, self.most);
        while fails - stands > 1 {
            let middle = stands.midpoint(fails);
            if self.rules_out(known, middle, goal) {
                stands = middle;
            } else {
                fails = middle;
            }
        }
        stands
    }

    fn tell(&mut self) -> Option<Offer> {
        let ruler = self.search.album.ruler;
        let &(first, gain) = self.better.first()?;
        let &(last, in_all) = self.better.last()?;
        let plan = self.gained(first, gain)?;
        // Where more was still bought near the end of what was tried, it may go on.
        let before = [(0, 0)].into_iter().chain(self.better.iter().copied());
        let gaps = self.better.iter().zip(before);
        let gap = gaps.map(|(b, a)| b.0 - a.0).max()?;
        let until = if self.most < STEPS || last + gap <= STEPS {
            self.gained(last, in_all)?;
            let held_by = match self.whole((last + gap).min(self.most)) {
                // There is no more of it.
                _ if last + gap > self.most => Vec::new(),
                Whole::Fits(plan) => self
                    .search
                    .target
                    .size(&plan)
                    .map_or(Vec::new(), |s| s.held_by.clone()),
                Whole::Clash(members) => members,
                Whole::Unsettled => vec![Reason::Unknown],
            };
            let by = self.measure.step.checked_mul(last)?;
            Some((by, ruler.length_of(in_all)?, held_by))
        } else {
            None
        };
        Some(Offer {
            measure: self.measure.name.clone(),
            leaf: self.measure.leaf.clone(),
            from: self.measure.value,
            more: self.more,
            by: self.measure.step.checked_mul(first)?,
            buys: ruler.length_of(gain)?,
            loses: self.loses(&plan),
            half: until.is_some()
                && !self.more
                && last + gap > self.most
                && self.measure.is_halved(),
            until,
        })
    }

    fn whole(&self, steps: i64) -> Whole {
        let worked = self.album(steps).map(|album| {
            work(self.search.style, &album, self.search.limits).map(|worked| worked.outcome)
        });
        match worked {
            Some(Ok(Outcome::Fits(plan))) => Whole::Fits(plan),
            Some(Ok(Outcome::Clash(clash))) => {
                let members = clash.members.into_iter().map(|member| Reason::Rule {
                    because: (member.because).unwrap_or_else(|| Phrase::words(&member.name)),
                    name: member.name,
                    sides: None,
                    source: member.source,
                });
                Whole::Clash(members.collect())
            }
            _ => Whole::Unsettled,
        }
    }

    /// The verified plan of a changed album, which must show the gain.
    fn gained(&mut self, steps: i64, gain: i64) -> Option<Box<Plan>> {
        let wanted = self.search.base.better_by(gain);
        let wanted = wanted.and_then(|ticks| self.search.album.ruler.length_of(ticks));
        let target = self.search.target;
        let shows = |plan: &Plan| {
            let size = target.size(plan);
            size.map(|s| s.value) == wanted.map(Interval::exact)
        };
        let plan = match self.whole(steps) {
            Whole::Fits(plan) if shows(&plan) => Some(plan),
            _ => None,
        };
        self.proved &= plan.is_some();
        plan
    }

    /// What the other side of the same thing loses.
    fn loses(&self, plan: &Plan) -> Option<Length> {
        let target = self.search.target;
        let (thing, side) = target.name.rsplit_once('.')?;
        let other = match side {
            "width" => format!("{thing}.height"),
            "height" => format!("{thing}.width"),
            _ => return None,
        };
        let find = |plan| sizes(plan).find(|s| s.name == other && s.leaf == target.leaf);
        let before = find(self.search.plan)?.value.most();
        let lost = before.checked_sub(find(plan)?.value.most())?;
        (self.search.base.larger && lost > Length::ZERO).then_some(lost)
    }
}
