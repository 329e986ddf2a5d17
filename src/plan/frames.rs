//! Where everything lies: each frame of a style with its parts from front to back, what hides what,
//! what is pierced and folded, worked out from a verified solution.
//!
//! A place is an expression of the style. `value` evaluates it with what is uncertain in its middle,
//! to be drawn, and between its ends, to be judged (`amount`); `lay` puts the parts on their frame, `tuck`
//! the inserts into their slots, and `check` works everything out again and refuses what lies elsewhere.
//! May import what `plan` may.

mod amount;
pub mod check;
mod lay;
mod tab;
mod tuck;
mod value;

use super::leaf::{self, LeafPlan, PartPlan};
use super::phrase::Phrase;
use super::view::View;
use super::{Parts, SizePlan};
use crate::album::Grip;
use crate::length::{Interval, Length};
use crate::scene::{HoleAt, ThingId};
use crate::style::parts::Mark;
pub use crate::style::parts::{Bound, Edge};
use itertools::Itertools;
pub use tab::Tab;
pub(crate) use value::Laying;

/// A rectangle in its frame (nanometres): across from the left edge, up from the low edge.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Area {
    pub left: i64,
    pub right: i64,
    pub low: i64,
    pub high: i64,
}

/// What a laid part is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum What {
    /// A piece of paper: its place in [`LeafPlan::parts`], if it is one of the album's pieces.
    Paper(Option<usize>),
    /// So many layers of the bag; a fold has none.
    Ply(i64),
    /// Room for inserts, and where it opens.
    Slot(Option<Edge>),
    /// One of its place in [`LeafPlan::inserts`], and which copy of it.
    Insert(usize, usize),
}

impl Default for What {
    fn default() -> What {
        What::Slot(None)
    }
}

/// A part where it lies.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Laid {
    pub name: String,
    pub title: String,
    pub what: What,
    pub area: Area,
    /// Its width and height as a maker reads them.
    pub width: Interval,
    pub height: Interval,
    /// It lies on the back of its frame.
    pub back: bool,
    /// The slot that an insert is in, by its place in the frame's parts.
    pub slot: Option<usize>,
    /// What lies before it, seen from its side.
    pub behind: Vec<Area>,
    /// How far an end of it runs under something while the other end is seen, and under what.
    pub runs_under: Option<Interval>,
    pub under: Option<String>,
    /// Glued all over.
    pub flat: bool,
    /// Corners of what is no rectangle.
    pub outline: Vec<(i64, i64)>,
    /// Where the glue is, if it is not glued all over.
    pub glued: Vec<Area>,
    /// The part that it hangs together with, by its place, and at which edge.
    pub joined: Option<(Edge, usize)>,
    /// Its slot's low end was said, so that things stop there.
    pub stops: bool,
    pub note: Option<Phrase>,
    pub glue: Option<Phrase>,
    pub says: Option<Phrase>,
    /// What a maker measures of it, and what it should be.
    pub measure: Option<(String, Interval)>,
    /// Of a slot: the edge above which an insert shows, in words, and where it is in the frame.
    pub edge: Option<String>,
    pub mouth: Option<Interval>,
}

/// A hole; or a fold, of which one of `across` and `up` is absent.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Marked {
    pub name: String,
    /// One of it, and several, in words.
    pub titles: [String; 2],
    /// How the template is laid.
    pub lay: Option<String>,
    /// Where all of that name are.
    pub note: Option<Phrase>,
    pub across: Option<Interval>,
    pub up: Option<Interval>,
    pub diameter: Option<Interval>,
}

/// A frame and everything on it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FramePlan {
    pub name: String,
    /// Its leaf's place in [`super::Plan::leaves`]; absent for a frame of the album.
    pub leaf: Option<usize>,
    /// Frames alike in the album, or in one leaf.
    pub count: i64,
    pub bound: Bound,
    /// One of it, and several.
    pub titles: [String; 2],
    /// The side that is seen first, and the other.
    pub sides: [String; 2],
    /// Left, right, low, high.
    pub edges: [String; 4],
    /// The table of supplies that it is made from.
    pub from: Option<String>,
    /// What stands above the map of all openings.
    pub faces: Option<String>,
    pub measures: Option<[String; 2]>,
    pub width: Interval,
    pub height: Interval,
    /// It is a piece itself; else it is only what its parts make of it.
    pub cut: bool,
    /// Its corners, if it is no rectangle.
    pub outline: Vec<(i64, i64)>,
    /// From front to back.
    pub parts: Vec<Laid>,
    pub marks: Vec<Marked>,
    /// How far papers and inserts stand out of it: left, right, low, high.
    pub out: [Length; 4],
    pub grips: Grips,
}

/// What things are taken hold of by, as their style says it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Grips {
    /// Radius of a notch (nanometres).
    pub notch: Option<i64>,
    /// Of a string's hole: its centre below the upper edge, and its radius.
    pub string: Option<(i64, i64)>,
    /// Width and height of what is seen of a tab.
    pub tab: Option<(i64, i64)>,
    /// How much of its height is glued to what it pulls.
    pub glued: Option<i64>,
}

impl FramePlan {
    /// The part of that name, the first of several.
    pub fn part(&self, name: &str) -> Option<&Laid> {
        self.parts.iter().find(|part| part.name == name)
    }

    /// Its corners, if it is no rectangle: its own, or those of the paper that is all of what is not cut itself.
    pub fn shape(&self) -> &[(i64, i64)] {
        let (width, height) = (self.width.middle().nm(), self.height.middle().nm());
        let mut parts = self
            .parts
            .iter()
            .filter(|it| matches!(it.what, What::Paper(_)));
        let all = parts.find(|it| {
            let ends = [
                it.area.left,
                it.area.low,
                width - it.area.right,
                height - it.area.high,
            ];
            !it.outline.is_empty() && ends.iter().all(|off| off.abs() <= check::NEAR)
        });
        match all.filter(|_| !self.cut && self.outline.is_empty()) {
            Some(all) => &all.outline,
            None => &self.outline,
        }
    }

    /// The layer of the bag that a part lies on.
    pub fn under(&self, name: &str) -> Option<&Laid> {
        let at = self.parts.iter().position(|part| part.name == name)?;
        let part = &self.parts[at];
        let bag = |it: &&Laid| matches!(it.what, What::Ply(1..)) && it.area.meets(part.area);
        match part.back {
            true => self.parts[..at].iter().rev().find(bag),
            false => self.parts[at..].iter().find(bag),
        }
    }

    /// Slots, front to back.
    pub fn slots(&self) -> impl Iterator<Item = &Laid> {
        let slot = |part: &&Laid| matches!(part.what, What::Slot(_));
        self.parts.iter().filter(slot)
    }

    /// The same, each height once, to be said.
    pub fn heights_apart(&self, mark: &str) -> Vec<Interval> {
        self.heights(mark).into_iter().unique().collect()
    }

    /// Where the marks of that name are above the low edge.
    pub fn heights(&self, mark: &str) -> Vec<Interval> {
        let marks = self.marks.iter().filter(|it| it.name == mark);
        marks.filter_map(|it| it.up).collect()
    }

    /// How far what is in its slots stands out of it at most: left, right, low, high.
    pub fn stands_out(&self, leaf: &LeafPlan) -> [Length; 4] {
        let mut most = [0_i64; 4];
        for insert in &self.parts {
            let slot = insert.slot.and_then(|slot| self.parts.get(slot));
            let slot = slot.map(|slot| (slot.what, slot.mouth));
            let (Some((_, shows)), Some((What::Slot(Some(opens)), Some(mouth)))) =
                (self.shows(insert), slot)
            else {
                continue;
            };
            let grip = match insert.what {
                What::Insert(n, _) => leaf.inserts.get(n).map(|it| it.grip),
                _ => None,
            };
            let tab = grip.filter(|it| *it == Grip::Tab);
            let tab = tab.and_then(|_| self.tab(insert));
            let shows = shows + tab.map_or(0, |tab| tab.beyond);
            let out = match opens {
                Edge::Left | Edge::Low => shows - mouth.least().nm(),
                Edge::Right => mouth.most().nm() + shows - self.width.most().nm(),
                Edge::High => mouth.most().nm() + shows - self.height.most().nm(),
            };
            let most = &mut most[opens as usize];
            *most = out.max(*most);
        }
        most.map(Length::from_nm)
    }

    /// How far an insert stands out of its slot, from least to most (nanometres), negative where it
    /// stays inside. `None` if it is glued on.
    pub fn shows(&self, insert: &Laid) -> Option<(i64, i64)> {
        let slot = self.parts.get(insert.slot?)?;
        let What::Slot(Some(opens)) = slot.what else {
            return None;
        };
        let (long, deep) = match opens {
            Edge::Low | Edge::High => (insert.height, slot.height),
            Edge::Left | Edge::Right => (insert.width, slot.width),
        };
        let least = long.least().nm() - deep.most().nm();
        Some((least, long.most().nm() - deep.least().nm()))
    }

    /// By how much a part is larger than what it lies on or is tucked into, in nanometres, where this does
    /// not open; negative if it is smaller.
    pub fn over(&self, laid: &Laid) -> i64 {
        let slot = laid.slot.and_then(|at| self.parts.get(at));
        let (width, height) = slot.map_or((self.width, self.height), |it| (it.width, it.height));
        let across = laid.width.least().nm() - width.most().nm();
        let up = laid.height.least().nm() - height.most().nm();
        match slot.map(|slot| slot.what) {
            Some(What::Slot(Some(Edge::Left | Edge::Right))) => up,
            Some(What::Slot(Some(Edge::Low | Edge::High))) => across,
            _ => across.max(up),
        }
    }

    /// What is larger than what it lies on or is tucked into, or lies beside it, and that: papers on the
    /// frame, where one with an outline may be folded round it; slots in it; inserts in their slots, which
    /// may stand out only where these open.
    pub fn astray(&self) -> impl Iterator<Item = (&Laid, Option<&Laid>)> {
        let own = Area {
            left: 0,
            right: self.width.most().nm(),
            low: 0,
            high: self.height.most().nm(),
        };
        let off = move |laid: &&Laid| match laid.what {
            What::Paper(_) if laid.outline.is_empty() => {
                !laid.area.meets(own) || self.over(laid) > 0
            }
            What::Slot(_) => self.over(laid) > 0,
            What::Insert(..) => laid.slot.is_some() && self.over(laid) > 0,
            _ => false,
        };
        let into = |laid: &Laid| laid.slot.and_then(|at| self.parts.get(at));
        self.parts
            .iter()
            .filter(off)
            .map(move |laid| (laid, into(laid)))
    }

    /// Everything but slots and inserts in the order in which it is put on: on either side what lies
    /// next to the bag comes first.
    pub fn as_glued(&self) -> Vec<&Laid> {
        let put = |part: &&Laid| matches!(part.what, What::Paper(_) | What::Ply(_));
        let (back, front): (Vec<&Laid>, Vec<&Laid>) =
            self.parts.iter().filter(put).partition(|part| part.back);
        front.into_iter().rev().chain(back).collect()
    }

    /// Inserts and pieces of paper on one side, front to back.
    pub fn pieces(&self, back: bool) -> impl Iterator<Item = &Laid> {
        let piece = |part: &Laid| matches!(part.what, What::Paper(_) | What::Insert(..));
        let here = self.parts.iter();
        here.filter(move |part| part.back == back && piece(part))
    }
}

impl Area {
    /// So wide a strip at one of its edges.
    fn strip(self, edge: Edge, wide: i64) -> Area {
        let mut strip = self;
        match edge {
            Edge::Left => strip.right = self.right.min(self.left + wide),
            Edge::Right => strip.left = self.left.max(self.right - wide),
            Edge::Low => strip.high = self.high.min(self.low + wide),
            Edge::High => strip.low = self.low.max(self.high - wide),
        }
        strip
    }

    /// Whether they share more than an edge.
    pub fn meets(self, other: Area) -> bool {
        self.left.max(other.left) < self.right.min(other.right)
            && self.low.max(other.low) < self.high.min(other.high)
    }
}

/// The holes of the leaves that a hole in a part of the album meets: at each place what they are called,
/// and that of the first leaf. A leaf's own holes meet none.
fn holes_met(parts: Parts<'_>, leaf: Option<ThingId>, mark: &Mark) -> Vec<(String, ThingId)> {
    let scene = &parts.expanded.model.scene;
    let (Some(called), None, Some(_)) = (parts.style.hole(), leaf, &mark.diameter) else {
        return Vec::new();
    };
    let holes = scene.holes().iter();
    holes.map(|hole| (called.name.clone(), *hole)).collect()
}

/// Tells the leaves and their pieces, and those of the album, what follows from where things lie.
pub(super) fn tell(
    view: View<'_>,
    frames: &[FramePlan],
    leaves: &mut [LeafPlan],
    own: &mut [PartPlan],
) {
    let (scene, hole) = (view.scene(), view.parts.style.hole());
    for frame in frames {
        let leaf = frame.leaf.and_then(|leaf| leaves.get_mut(leaf));
        let plies = frame
            .leaf
            .and_then(|leaf| scene.plies.get(scene.leaves().get(leaf)?));
        let (parts, inserts) = match leaf {
            Some(leaf) => {
                let is_hole = |mark: &&Marked| hole.is_some_and(|hole| hole.name == mark.name);
                let holes = frame.marks.iter().filter(is_hole);
                let at = holes.filter_map(|mark| {
                    Some(HoleAt {
                        across: mark.across?,
                        up: mark.up?,
                    })
                });
                let layers = at.map(|at| plies.map_or(0, |plies| plies.told(scene, at)));
                leaf.layers_at_holes = layers.collect();
                (&mut leaf.parts[..], &mut leaf.inserts[..])
            }
            None => (&mut *own, &mut [][..]),
        };
        if let Some(part) = parts
            .iter_mut()
            .find(|it| frame.cut && it.label == frame.name)
        {
            part.twice_off = twice_off(&frame.outline, frame.width, frame.height);
        }
        for laid in &frame.parts {
            match laid.what {
                What::Paper(Some(part)) => {
                    if let Some(part) = parts.get_mut(part) {
                        part.runs_under = laid.runs_under;
                        part.twice_off = twice_off(&laid.outline, laid.width, laid.height);
                    }
                }
                What::Insert(insert, 0) => {
                    if let Some(insert) = inserts.get_mut(insert) {
                        insert.shows = frame.shows(laid);
                        insert.tab = tab::cut(view, frame, laid, insert);
                    }
                }
                _ => {}
            }
        }
    }
}

/// Adds what is cut to the room where it lies on a frame of the album.
pub(super) fn laid(view: View<'_>, frames: &[FramePlan], own: &mut Vec<PartPlan>) {
    let of_album = frames.iter().filter(|frame| frame.leaf.is_none());
    for laid in of_album.flat_map(|frame| &frame.parts) {
        if laid.what != What::Paper(None) || own.iter().any(|part| part.label == laid.name) {
            continue;
        }
        let side = |side: &str, value: Interval| SizePlan {
            name: format!("{}.{side}", laid.name),
            leaf: String::new(),
            value,
            held_by: Vec::new(),
        };
        own.push(PartPlan {
            label: laid.name.clone(),
            count: leaf::count(view, None, &laid.name),
            flat: laid.flat,
            paper: leaf::paper(view, &view.parts.album.own.parts, &laid.name),
            width: side("width", laid.width),
            height: side("height", laid.height),
            runs_under: laid.runs_under,
            twice_off: twice_off(&laid.outline, laid.width, laid.height),
        });
    }
}

/// Twice what an outline leaves out of a rectangle (square nanometres): Gauss's area formula.
fn twice_off(corners: &[(i64, i64)], width: Interval, height: Interval) -> i128 {
    if corners.is_empty() {
        return 0;
    }
    let ends = corners.iter().zip(corners.iter().cycle().skip(1));
    let twice = ends
        .map(|((a, b), (c, d))| i128::from(*a) * i128::from(*d) - i128::from(*c) * i128::from(*b));
    let whole = i128::from(width.middle().nm()) * i128::from(height.middle().nm());
    (2 * whole - twice.sum::<i128>().abs()).max(0)
}

/// All frames of a plan, each with what its names stand for. `own` are the pieces of the album's own.
pub(super) fn frames<'a>(
    view: View<'a>,
    leaves: &'a [LeafPlan],
    own: &'a [PartPlan],
) -> Vec<(FramePlan, Laying<'a>)> {
    let scene = view.scene();
    let mut all = Vec::new();
    for (part, frame) in view.parts.style.frames() {
        match frame.from {
            Some(_) => {
                let things = scene.leaves().iter().zip(leaves).enumerate();
                all.extend(things.map(|(n, (id, plan))| {
                    let mut laying = Laying::of_leaf(view, &part.name, *id, plan);
                    let laid = laying.frame(part, frame, Some(n));
                    laying.out = laid.stands_out(plan);
                    (laid, laying)
                }));
            }
            None => all.extend(Laying::of_part(view, part, own).map(|mut laying| {
                let laid = laying.frame(part, frame, None);
                (laid, laying)
            })),
        }
    }
    all
}
