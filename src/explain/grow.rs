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
use crate::plan::{Plan, Reason, SizePlan, Stopped};
use crate::program::expand::{Expanded, expand};
use crate::program::{Program, Stage, UnknownId};
use crate::solve::{self, Limits, Verdict};
use crate::style::Style;
use crate::{Outcome, Worked, work};

/// A measure is changed by so many of its steps at most.
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
    #[error("`{name}` is {value}, as it was {}", if *.measured { "measured" } else { "given" })]
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
        target,
        limits,
        base: &known,
    };
    let mut proved = plan.certainty == crate::plan::Certainty::Best;
    let mut offers = Vec::new();
    for measure in measures::all(style, album, &size.leaf) {
        for more in [true, false] {
            let tried = search.offer(&measure, more);
            proved &= tried.proved;
            offers.extend(tried.offer);
        }
    }
    // The sort is stable: of equal offers the measures of the leaf come first.
    offers.sort_by_key(|offer: &Offer| (offer.by, std::cmp::Reverse(offer.buys)));
    Ok(Growth {
        name: size.name.clone(),
        leaf: size.leaf.clone(),
        value: size.value,
        larger: known.larger,
        held_by: size.held_by.clone(),
        offers,
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
    plan.template.iter().chain(leaves)
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
            let mut known: Vec<String> = Vec::new();
            for size in sizes(plan).filter(here).filter(|s| is_found(s)) {
                if !known.contains(&size.name) {
                    known.push(size.name.clone());
                }
            }
            Err(GrowError::NoSuchSize {
                name: name.to_owned(),
                known,
            })
        }
    }
}

/// The size that is asked about.
#[derive(Clone, Copy)]
struct Target<'a> {
    name: &'a str,
    leaf: &'a str,
}

impl Target<'_> {
    /// Its number in a program.
    fn unknown(self, expanded: &Expanded) -> Option<UnknownId> {
        let scene = &expanded.model.scene;
        let mut sizes = expanded.sizes.iter().filter(|size| {
            let leaf = scene
                .leaf_of(size.thing)
                .map_or("", |l| scene.text(l, "name"));
            leaf == self.leaf && scene.size_name(size.thing, &size.field) == self.name
        });
        sizes.next().map(|size| size.unknown)
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

    fn known_of(self, expanded: &Expanded, solution: &solve::Solution) -> Option<Known> {
        let (program, unknown, sign) = self.program(expanded)?;
        Known::new(program, solution, unknown, sign)
    }
}

/// The best of a measure's changes, and whether all were settled.
struct Tried {
    offer: Option<Offer>,
    proved: bool,
}

#[derive(Clone, Copy)]
struct Search<'a> {
    style: &'a Style,
    album: &'a Album,
    target: Target<'a>,
    limits: &'a Limits,
    base: &'a Known,
}

/// What every change of a measure buys, as far as it buys more than all smaller ones.
struct Scan {
    /// Steps, and ruler steps bought.
    better: Vec<(i64, i64)>,
    /// The most steps that were tried; the measure may go no further.
    tried: i64,
    proved: bool,
}

impl Search<'_> {
    fn offer(self, measure: &Measure, more: bool) -> Tried {
        let mut scan = self.scan(measure, more);
        let offer = self.tell(measure, more, &mut scan);
        Tried {
            offer,
            proved: scan.proved,
        }
    }

    fn scan(self, measure: &Measure, more: bool) -> Scan {
        let mut scan = Scan {
            better: Vec::new(),
            tried: 0,
            proved: true,
        };
        let mut answers: Vec<Known> = Vec::new();
        let mut most = 0;
        for steps in 1..=STEPS {
            let signed = if more { steps } else { -steps };
            let Some((album, _)) = measure.changed(self.album, signed) else {
                break;
            };
            let Ok(expanded) = expand(self.style, &album) else {
                break;
            };
            let Some((program, unknown, sign)) = self.target.program(&expanded) else {
                break;
            };
            scan.tried = steps;
            let goal = self.base.better_by(most);
            let rules_out = |known: &Known| known.rules_out(&program, goal);
            if answers.iter().rev().any(rules_out) || self.base.rules_out(&program, goal) {
                continue;
            }
            let solution = solve::solve(&program, self.limits);
            scan.proved &= matches!(solution.verdict, Verdict::FitsBest | Verdict::Conflict(_));
            let Some(known) = Known::new(program, &solution, unknown, sign) else {
                continue;
            };
            if let Some(gain) = known.gain_over(self.base)
                && gain > most
            {
                most = gain;
                scan.better.push((steps, gain));
            }
            answers.push(known);
        }
        scan
    }

    fn tell(self, measure: &Measure, more: bool, scan: &mut Scan) -> Option<Offer> {
        let &(steps, gain) = scan.better.first()?;
        let &(last, in_all) = scan.better.last()?;
        let (_, by) = self.whole(measure, more, steps, gain, scan)?;
        let buys = self.album.ruler.length_of(gain)?;
        // Where more was still bought near the end of what was tried, it may go on.
        let before = [(0, 0)].into_iter().chain(scan.better.iter().copied());
        let gaps = scan.better.iter().zip(before).map(|(b, a)| b.0 - a.0);
        let ended = scan.tried < STEPS || last + gaps.max()? <= STEPS;
        let until = if ended {
            let (held_by, far) = self.whole(measure, more, last, in_all, scan)?;
            Some((far, self.album.ruler.length_of(in_all)?, held_by))
        } else {
            None
        };
        Some(Offer {
            measure: measure.name.clone(),
            leaf: measure.leaf.clone(),
            from: measure.value,
            more,
            by,
            buys,
            until,
        })
    }

    /// Works the changed album out whole: what holds the size there, and how far the measure went.
    /// Nothing where the plan does not show the gain.
    fn whole(
        self,
        measure: &Measure,
        more: bool,
        steps: i64,
        gain: i64,
        scan: &mut Scan,
    ) -> Option<(Vec<Reason>, Length)> {
        let signed = if more { steps } else { -steps };
        let (album, by) = measure.changed(self.album, signed)?;
        let found = match work(self.style, &album, self.limits).ok()?.outcome {
            Outcome::Fits(plan) => sizes(&plan)
                .find(|s| s.name == self.target.name && s.leaf == self.target.leaf)
                .cloned(),
            _ => None,
        };
        let wanted = self.base.better_by(gain);
        let wanted = wanted.and_then(|ticks| self.album.ruler.length_of(ticks));
        let found = found.filter(|s| wanted.map(Interval::exact) == Some(s.value));
        scan.proved &= found.is_some();
        Some((found?.held_by, by))
    }
}
