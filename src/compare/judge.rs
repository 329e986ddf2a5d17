//! Many bags for one album: the rules are read once, and of each bag only what it changes is worked
//! out.
//!
//! For bags of one shape only right sides move ([`Again`]), and of these programs equal parts are
//! solved once ([`Apart`]). An answer is a function of its bag: neither the order of the bags nor
//! the threads that ask show in it. It equals what [`offer`](super::offer()) gives, which goes the
//! whole way for one bag; but where that verifies a whole plan from the text of the rules, here the
//! sizes are tested against every row.

use super::asked::Asked;
use super::offer::{self, nominal};
use super::{Answer, Candidate, Nominal, Offer, glance};
use crate::album::Album;
use crate::plan::{self, Parts};
use crate::program::again::{self, Again};
use crate::program::expand::Expanded;
use crate::program::{ExpandError, InstanceId, UnknownId};
use crate::scene::BagShape;
use crate::solve::{
    Answered, Apart, Counts, Limits, Memory, Settled, Solution, Stats, Verdict, solve_apart,
};
use crate::supplies::Bag;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, Mutex, PoisonError, RwLock};

/// Parts of programs that are remembered, at some hundreds of bytes each.
const REMEMBERED: usize = 1 << 17;

/// Conditions that turn out otherwise make another way to lay the rules over bags of one shape; so
/// many are kept.
const MOST_WAYS: usize = 16;

/// Answers bags for one album, from any number of threads.
#[derive(Debug)]
pub struct Judge<'a> {
    asked: &'a Asked<'a>,
    limits: Limits,
    memory: Memory,
    ways: RwLock<BTreeMap<BagShape, Vec<Arc<Way>>>>,
    /// What is wrong with every bag of a shape.
    refused: RwLock<BTreeMap<BagShape, Vec<ExpandError>>>,
}

/// The rules laid over bags of one shape.
#[derive(Debug)]
struct Way {
    album: Album,
    again: Again,
    apart: Apart,
    /// The sizes whose limits are asked for, ascending.
    told: Vec<UnknownId>,
    /// Distinguishes it in the memory.
    number: i64,
    /// Copies to work on that no thread is using.
    desks: Mutex<Vec<Desk>>,
}

/// What was expanded, as one bag has it.
#[derive(Debug)]
struct Desk {
    expanded: Expanded,
    sides: Vec<i64>,
}

impl<'a> Judge<'a> {
    /// A judge of bags for what is asked.
    pub fn new(asked: &'a Asked<'a>, limits: &Limits) -> Judge<'a> {
        Judge {
            asked,
            limits: *limits,
            memory: Memory::new(REMEMBERED),
            ways: RwLock::default(),
            refused: RwLock::default(),
        }
    }

    /// What this bag comes to, and what it costs.
    pub fn offer(&self, candidate: &Candidate) -> Offer {
        offer::offered(self.asked, candidate, self.answer(&candidate.bag))
    }

    /// What the album comes to with this bag. With ±, what an exactly known bag of its nominal
    /// measures would give is found too.
    pub fn answer(&self, bag: &Bag) -> Answer {
        let mut answer = self.one(bag, true);
        if let Answer::Fits(fit) = &mut answer {
            fit.nominal = nominal(bag).map(|exact| self.nominal(&exact));
        }
        answer
    }

    /// How much of what was answered so far was remembered.
    pub fn counts(&self) -> Counts {
        self.memory.counts()
    }

    fn nominal(&self, bag: &Bag) -> Nominal {
        let photo = match self.one(bag, false) {
            Answer::Fits(fit) => fit.photo,
            _ => None,
        };
        photo.map_or(Nominal::Nothing, |photo| {
            Nominal::Photo(photo.width.least(), photo.height.least())
        })
    }

    /// The answer without the nominal bag's, and reasons where they are asked for.
    fn one(&self, bag: &Bag, reasons: bool) -> Answer {
        let shape = BagShape::from(bag);
        let ways = self.ways.read().unwrap_or_else(PoisonError::into_inner);
        let known = ways.get(&shape).cloned().unwrap_or_default();
        drop(ways);
        for way in &known {
            if let Some(answer) = self.along(way, bag, reasons) {
                return answer;
            }
        }
        let whole = || offer::answer(self.asked, bag, &self.limits);
        if known.len() >= MOST_WAYS {
            return whole();
        }
        let refused = self.refused.read().unwrap_or_else(PoisonError::into_inner);
        if let Some(errors) = refused.get(&shape) {
            return Answer::NotWorkable(errors.clone());
        }
        drop(refused);
        let way = match self.way(bag) {
            Ok(Some(way)) => Arc::new(way),
            Ok(None) => return whole(),
            Err(errors) => {
                self.refuse(bag, &errors);
                return Answer::NotWorkable(errors);
            }
        };
        let mut ways = self.ways.write().unwrap_or_else(PoisonError::into_inner);
        ways.entry(shape).or_default().push(Arc::clone(&way));
        drop(ways);
        self.along(&way, bag, reasons).unwrap_or_else(whole)
    }

    /// Remembers what is wrong with a bag, where it is wrong with every bag of its shape.
    fn refuse(&self, bag: &Bag, errors: &[ExpandError]) {
        let (style, album) = (self.asked.style, self.asked.with(bag));
        if again::all_of_a_shape(style, &album, self.asked.leaves(), errors) {
            let mut refused = self.refused.write().unwrap_or_else(PoisonError::into_inner);
            refused.insert(BagShape::from(bag), errors.to_vec());
        }
    }

    /// The rules laid over this bag anew, ready for others like it; `None` if others may change
    /// more than right sides.
    fn way(&self, bag: &Bag) -> Result<Option<Way>, Vec<ExpandError>> {
        let (album, expanded) = self.asked.expanded(bag)?;
        let mut told = self.told(&album, &expanded);
        told.sort_unstable();
        let apart = Apart::new(&expanded.program);
        let again = Again::new(self.asked.style, &album, self.asked.leaves(), expanded);
        Ok(again.zip(apart).map(|(again, apart)| Way {
            number: self.memory.number(),
            album,
            again,
            apart,
            told,
            desks: Mutex::default(),
        }))
    }

    /// The sides of the photos that may be looked at.
    fn told(&self, album: &Album, expanded: &Expanded) -> Vec<UnknownId> {
        let scene = &expanded.model.scene;
        let list = |thing, name| scene.thing(thing).lists.get(name).into_iter().flatten();
        let mut told = Vec::new();
        for (at, leaf) in scene.leaves().iter().enumerate() {
            let places = 0..album.leaves[at].inserts.len();
            for (place, insert) in places.zip(list(*leaf, "inserts")) {
                let looked_at = match self.asked.photo() {
                    Some(photo) => photo == (at, place),
                    None => self.asked.gets_it(at),
                };
                for photo in list(*insert, "photos").filter(|_| looked_at) {
                    let sides = ["width", "height"].map(|side| (*photo, side.to_owned()));
                    told.extend(
                        sides
                            .iter()
                            .filter_map(|it| expanded.model.unknowns.get(it)),
                    );
                }
            }
        }
        told
    }

    /// The answer along a known way; `None` if this bag has to go another.
    fn along(&self, way: &Way, bag: &Bag, reasons: bool) -> Option<Answer> {
        let free = way
            .desks
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .pop();
        let mut desk = free.unwrap_or_else(|| Desk {
            expanded: way.again.expanded.clone(),
            sides: Vec::new(),
        });
        let answer = self.worked_out(way, &mut desk, bag, reasons);
        let mut desks = way.desks.lock().unwrap_or_else(PoisonError::into_inner);
        desks.push(desk);
        answer
    }

    fn worked_out(&self, way: &Way, desk: &mut Desk, bag: &Bag, reasons: bool) -> Option<Answer> {
        let Desk { expanded, sides } = desk;
        way.again
            .lay(&mut expanded.model.scene, &way.album, bag, sides)?;
        for (row, most) in expanded.program.rows.iter_mut().zip(sides) {
            row.most = *most;
        }
        let told = if reasons { &way.told[..] } else { &[] };
        let memory = (&self.memory, way.number);
        let answered = solve_apart(&expanded.program, &way.apart, told, memory, &self.limits);
        let (solution, dropped) = match answered {
            Answered::Best(settled) => as_solution(settled),
            Answered::Whole(solution) => {
                let dropped = plan::dropped(expanded, &solution);
                (*solution, dropped)
            }
        };
        let style = self.asked.style;
        let parts = Parts {
            style,
            album: &way.album,
            expanded,
            solution: &solution,
        };
        Some(match &solution.verdict {
            Verdict::FitsBest | Verdict::FitsFound { .. } => {
                Answer::Fits(Box::new(glance::fit(self.asked, parts, &dropped)))
            }
            Verdict::Conflict(found) => {
                Answer::Clash(glance::conflict(style, expanded, found, &self.limits))
            }
            Verdict::Undecided { why } => Answer::Undecided((*why).into()),
        })
    }
}

/// As a solution without most of its stages, and the wishes that it does not keep.
fn as_solution(settled: Settled) -> (Solution, BTreeSet<InstanceId>) {
    let dropped = settled.kept.iter().enumerate().filter(|(_, kept)| !**kept);
    let dropped = dropped.map(|(at, _)| InstanceId(at as u32)).collect();
    let mut held_by = vec![None; settled.values.len()];
    for (unknown, held) in settled.held {
        held_by[unknown.0 as usize] = Some(held);
    }
    let solution = Solution {
        verdict: Verdict::FitsBest,
        values: settled.values,
        taken: settled.taken,
        stages: settled.stages,
        held_by,
        unlimited: Vec::new(),
        certificates: settled.certificates,
        stats: Stats::default(),
    };
    (solution, dropped)
}
