//! An album with changes made in it, solved again: what a fix and a swap are proved by.

use super::deeds::Deed;
use super::own::What;
use super::own::template_measure;
use super::soften::Change;
use crate::album::{Album, Insert, Value};
use crate::length::{Interval, Length};
use crate::plan::phrase::Phrase;
use crate::plan::sentence::readable;
use crate::plan::{Parts, dropped, misplaced};
use crate::program::expand::{Expanded, expand};
use crate::program::{Force, Instance, InstanceId, Program};
use crate::scene::{BagMeasure, Fact, ThingId};
use crate::solve::{self, Limits, Verdict};
use crate::style::Style;
use crate::text::Said;
use std::collections::BTreeSet;

/// An album that is asked about.
#[derive(Clone, Copy)]
pub(super) struct Asked<'a> {
    pub style: &'a Style,
    pub album: &'a Album,
    pub expanded: &'a Expanded,
    pub limits: &'a Limits,
    /// Wishes that have to be kept, too.
    pub wanted: &'a [InstanceId],
}

/// A change as it is made: a number of ruler steps, and for a measure what it then is. Of a rule it is how much
/// less is accepted, if that is no whole number of steps.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Step {
    pub change: Change,
    pub amount: i64,
    pub to: Option<Interval>,
}

/// What became of a changed album.
pub(super) enum Solved {
    /// Its sizes that are not given, and how many wishes are not kept.
    Fits(Vec<(String, Interval)>, usize),
    DoesNotFit,
    /// A limit was met.
    Unsettled,
}

/// A rule for some things, by its place in the style and what these and their leaves are called: in
/// another program its number may be another.
type Named = (usize, Vec<String>);

pub(super) fn named(expanded: &Expanded, id: InstanceId) -> Named {
    let scene = &expanded.model.scene;
    let things = expanded.scopes[id.0 as usize].0.iter();
    let called = things.flat_map(|(_, thing)| {
        let leaf = scene.leaf_name(*thing).to_owned();
        [leaf, scene.thing(*thing).label.clone()]
    });
    let rule = expanded.program.instances[id.0 as usize].rule;
    (rule, called.collect())
}

/// Rules of which less is accepted, and how much; rules that are not asked for; wishes that are.
#[derive(Default)]
pub(super) struct Looser {
    accepted: Vec<(Named, Length)>,
    aside: Vec<Named>,
    wanted: Vec<Named>,
}

impl<'a> Asked<'a> {
    /// What is asked of a whole album, its wishes as they are.
    pub(super) fn of(
        style: &'a Style,
        album: &'a Album,
        expanded: &'a Expanded,
        limits: &'a Limits,
    ) -> Asked<'a> {
        Asked {
            style,
            album,
            expanded,
            limits,
            wanted: &[],
        }
    }
}

impl Asked<'_> {
    /// A measure that a change speaks of, as it is; `None` for other changes.
    pub(super) fn now(self, what: &What) -> Option<Interval> {
        let scene = &self.expanded.model.scene;
        match what {
            What::Quantity(name) => match scene.quantities.get(name)? {
                Fact::Length(given) => Some(scene.given(*given).value),
                _ => None,
            },
            What::Size { thing, field } => scene.length(*thing, field),
            What::Template(field) => scene.length(scene.part(scene.album(), "template")?, field),
            What::Pocket { bag, measure } => measure.of(self.album.supplies.bags.get(*bag)?),
            What::Rule(_) | What::Usual(_) | What::Deed(_) | What::LeaveOut(_) | What::Aside(_) => {
                None
            }
        }
    }

    /// A change by this number of ruler steps.
    pub(super) fn step(self, change: &Change, amount: i64) -> Step {
        let by = self.steps(amount);
        let to = self.now(&change.what).and_then(|now| match change.more {
            true => now.longer(by),
            false => now.shorter(by),
        });
        Step {
            change: change.clone(),
            amount,
            to,
        }
    }

    /// The ways to make these changes, the best first. What is accepted is no more than what is missing. One
    /// measure that would be left off the ruler, as of a thing measured in the other unit, goes to the mark
    /// before that, else to the one behind it. Of several changes each leans on what the others come to.
    pub(super) fn ways(self, steps: &[Step]) -> Vec<Vec<Step>> {
        let marks = match steps {
            [only] => [true, false].map(|before| self.at_a_mark(only, before)),
            _ => [None, None],
        };
        let marks = marks.into_iter().flatten().map(|step| vec![step]);
        let missing = |step: &Step| self.just_missing(step).unwrap_or_else(|| step.clone());
        let least: Vec<Step> = steps.iter().map(missing).collect();
        let least = (least != steps).then_some(least);
        marks.chain(least).chain([steps.to_vec()]).collect()
    }

    /// Less of a rule by what is missing, if that is less than whole ruler steps and short to write.
    fn just_missing(self, step: &Step) -> Option<Step> {
        let What::Rule(id) = step.change.what else {
            return None;
        };
        let whole = self.steps(step.amount);
        let least = self.expanded.least_like(id, whole)?;
        let is_short =
            readable(self.expanded.ruler, least) == Phrase::default().length(least.into());
        (is_short && least < whole).then(|| Step {
            to: Some(Interval::exact(least)),
            ..step.clone()
        })
    }

    /// A change that ends at a mark of the ruler; `None` if it does so by itself.
    fn at_a_mark(self, step: &Step, before: bool) -> Option<Step> {
        let ruler = self.expanded.ruler;
        let to = step.to.filter(|to| to.is_exact())?.least();
        let ticks = match step.change.more == before {
            true => ruler.ticks_down(to),
            false => ruler.ticks_up(to),
        };
        let mark = ruler.length_of(ticks).filter(|mark| *mark != to)?;
        // How little may be left of a quantity its style says.
        let may = match &step.change.what {
            What::Quantity(name) if !step.change.more => {
                let least = self.style.quantity(name)?.least(ruler);
                least.is_none_or(|least| mark >= least)
            }
            _ => true,
        };
        may.then(|| Step {
            to: Some(Interval::exact(mark)),
            ..step.clone()
        })
    }

    /// Whether the album fits with these changes, rules in `aside` not asked for; `None` if a limit
    /// was met.
    pub(super) fn fits(self, steps: &[Step], aside: &BTreeSet<InstanceId>) -> Option<bool> {
        self.alone(steps, aside, &BTreeSet::new())
    }

    /// The same of an album of these kinds of leaf only (none of them is all): sooner known, and less.
    pub(super) fn alone(
        self,
        steps: &[Step],
        aside: &BTreeSet<InstanceId>,
        leaves: &BTreeSet<usize>,
    ) -> Option<bool> {
        if self.limits.is_over() {
            return None;
        }
        let Some((album, looser)) = self.changed_in(self.album, steps, aside) else {
            return Some(false);
        };
        let few = (!leaves.is_empty()).then(|| {
            let mut few = album.clone();
            let mut at = 0..;
            few.leaves
                .retain(|_| at.next().is_some_and(|at| leaves.contains(&at)));
            wishes_left(&album, few)
        });
        let few = few.and_then(|few| loosened(self.style, &few, &looser));
        match few.or_else(|| loosened(self.style, &album, &looser)) {
            Some(expanded) => self.musts_hold(expanded.program),
            None => Some(false),
        }
    }

    /// The places of those clashes of which no rule is broken with these changes, other rules not asked for.
    pub(super) fn mended(self, steps: &[Step], clashes: &[&[InstanceId]]) -> Vec<usize> {
        let changed = self.changed_in(self.album, steps, &BTreeSet::new());
        let changed = changed.and_then(|(album, looser)| loosened(self.style, &album, &looser));
        let Some(changed) = changed else {
            return Vec::new();
        };
        let holds = |ids: &[InstanceId]| {
            let names: BTreeSet<Named> = ids.iter().map(|id| named(self.expanded, *id)).collect();
            let mut program = changed.program.clone();
            for (at, it) in (0..).zip(&changed.program.instances) {
                if !names.contains(&named(&changed, InstanceId(at))) {
                    for row in &mut program.rows[it.rows.clone()] {
                        (row.terms, row.most) = (Vec::new(), 0);
                    }
                }
            }
            self.musts_hold(program) == Some(true)
        };
        let all = 0..clashes.len();
        all.filter(|at| holds(clashes[*at])).collect()
    }

    fn musts_hold(self, program: Program) -> Option<bool> {
        let musts = Program {
            stages: Vec::new(),
            first_stages: 0,
            ..program
        };
        match solve::solve(&musts, self.limits).verdict {
            Verdict::FitsBest | Verdict::FitsFound { .. } => Some(true),
            Verdict::Conflict(_) => Some(false),
            Verdict::Undecided { .. } => None,
        }
    }

    /// The sizes that come out with these changes, rules in `aside` not asked for.
    pub(super) fn solved_again(self, steps: &[Step], aside: &BTreeSet<InstanceId>) -> Solved {
        match self.changed_in(self.album, steps, aside) {
            Some((album, looser)) => sizes_of(self.style, &album, &looser, self.limits),
            None => Solved::DoesNotFit,
        }
    }

    /// These changes made in the album, or in one that differs from it by what it is made of; and
    /// the rules that are loosened.
    pub(super) fn changed_in(
        self,
        album: &Album,
        steps: &[Step],
        aside: &BTreeSet<InstanceId>,
    ) -> Option<(Album, Looser)> {
        let named = |id: InstanceId| named(self.expanded, id);
        let mut album = album.clone();
        let mut looser = Looser {
            accepted: Vec::new(),
            aside: aside.iter().map(|id| named(*id)).collect(),
            wanted: self.wanted.iter().map(|id| named(*id)).collect(),
        };
        for step in steps {
            match (&step.change.what, step.to) {
                (What::Rule(id), to) => {
                    let by = to.map_or(self.steps(step.amount), |to| to.least());
                    looser.accepted.push((named(*id), by));
                }
                (What::Quantity(name), Some(to)) => set(&mut album, name, Value::Length(to)),
                (What::Usual(name), _) => album.set.retain(|(n, _)| n.value != *name),
                (What::Size { thing, field }, Some(to)) => {
                    self.give(&mut album, *thing, field, to)?;
                }
                (What::Template(field), Some(to)) => {
                    *template_measure(&mut album.template, field) = Some(to);
                }
                (What::Pocket { bag, measure }, Some(to)) => {
                    let pocket = album.supplies.bags.get_mut(*bag)?.pocket.as_mut()?;
                    match measure {
                        BagMeasure::PocketEdge => pocket.edge = to,
                        _ => pocket.depth = Some(to),
                    }
                }
                (What::LeaveOut(_) | What::Deed(_), _) => {}
                (What::Aside(id), _) => looser.aside.push(named(*id)),
                (_, None) => return None,
            }
        }
        let deeds = steps.iter().filter_map(|step| match &step.change.what {
            What::Deed(deed) => Some(deed),
            _ => None,
        });
        // What mends one part may be more of what mends another.
        let mut done: Vec<&Deed> = Vec::new();
        for deed in deeds {
            done.retain(|other| !deed.covers(other));
            if !done.iter().any(|other| other.covers(deed)) {
                done.push(deed);
            }
        }
        for deed in done {
            deed.done(&mut album)?;
        }
        // Inserts are taken out last: until then their places in the leaf are those of the scene.
        for step in steps {
            if let What::LeaveOut(thing) = &step.change.what {
                let name = self.expanded.model.scene.thing(*thing).label.clone();
                let leaf = &mut album.leaves[self.leaf_index(*thing)?];
                leaf.inserts.retain(|i| i.name != name);
                leaf.given.retain(|(n, _)| !is_size_of(&name, &n.value));
                leaf.measured.retain(|(n, _)| !is_size_of(&name, &n.value));
            }
        }
        Some((wishes_left(self.album, album), looser))
    }

    pub(super) fn leaf_index(self, thing: ThingId) -> Option<usize> {
        let scene = &self.expanded.model.scene;
        let leaf = scene.leaf_of(thing)?;
        scene.leaves().iter().position(|l| *l == leaf)
    }

    /// Gives a size anew, where the album gave it.
    fn give(self, album: &mut Album, thing: ThingId, field: &str, to: Interval) -> Option<()> {
        let name = self.expanded.model.scene.size_name(thing, field);
        let Some(at) = self.leaf_index(thing) else {
            let own = &mut album.own;
            let mut said = own.measured.iter_mut().chain(&mut own.given);
            let (_, value) = said.find(|(n, _)| n.value == name)?;
            *value = to;
            return Some(());
        };
        let leaf = &mut album.leaves[at];
        // What was measured takes the place of what was given.
        let said = leaf.measured.iter_mut().chain(&mut leaf.given);
        if let Some((_, value)) = said.into_iter().find(|(n, _)| n.value == name) {
            *value = to;
            return Some(());
        }
        let label = &self.expanded.model.scene.thing(thing).label;
        let insert = leaf.inserts.iter_mut().find(|i| i.name == *label)?;
        let said = Said {
            value: to,
            place: insert.place,
        };
        match field {
            "width" => insert.width = Some(said),
            "height" => insert.height = Some(said),
            _ => insert.show = Some(said),
        }
        Some(())
    }
}

/// An album without the lines of `prefer` that named what is left out.
fn wishes_left(before: &Album, mut after: Album) -> Album {
    let mut prefer = std::mem::take(&mut after.prefer);
    prefer.retain(|said| still_there(before, &after, &said.value));
    Album { prefer, ..after }
}

/// Whether a line of `prefer` still names something; else it is left out with what it named.
pub fn still_there(before: &Album, after: &Album, line: &str) -> bool {
    let Some((word, rest)) = line.trim().split_once(char::is_whitespace) else {
        return true;
    };
    if word == "keep" {
        return true;
    }
    let (leaf, name) = match rest.split_once(':') {
        Some((leaf, name)) => (Some(leaf.trim()), name.trim()),
        None => (None, rest.trim()),
    };
    let mut words = name.split('.');
    let head = words.next().unwrap_or(name);
    let of_photo = words.next() == Some("photo");
    let inserts = |album: &Album| {
        let leaves = album.leaves.iter();
        let mut here = leaves.filter(|l| leaf.is_none_or(|leaf| l.name == leaf));
        let is_it = |i: &Insert| i.name == head && (!of_photo || i.photo.is_some());
        here.any(|l| l.inserts.iter().any(is_it))
    };
    !inserts(before) || inserts(after)
}

/// Whether a size is one of this thing, or of what is on it.
pub(super) fn is_size_of(thing: &str, size: &str) -> bool {
    let rest = size.strip_prefix(thing);
    rest.is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
}

/// Sets a quantity of the style.
pub(super) fn set(album: &mut Album, name: &str, value: Value) {
    let place = album.style.place;
    match album.set.iter_mut().find(|(n, _)| n.value == name) {
        Some((_, said)) => said.value = value,
        None => {
            let name = Said::nowhere(name.to_owned());
            album
                .set
                .push((Said { place, ..name }, Said { value, place }));
        }
    }
}

/// The rules laid over an album, some of them loosened; `None` if they cannot be.
fn loosened(style: &Style, album: &Album, looser: &Looser) -> Option<Expanded> {
    let mut expanded = expand(style, album).ok()?;
    if !looser.wanted.is_empty() {
        for at in 0..expanded.program.instances.len() {
            let Instance { rule, force, .. } = expanded.program.instances[at];
            let may = force == Force::Wish && looser.wanted.iter().any(|it| it.0 == rule);
            let called = || named(&expanded, InstanceId(at as u32));
            if may && looser.wanted.contains(&called()) {
                expanded.program.instances[at].force = Force::Must;
            }
        }
    }
    let spoken_of = |rule: usize| {
        let accepted = looser.accepted.iter().map(|(it, _)| it);
        accepted.chain(&looser.aside).any(|it| it.0 == rule)
    };
    let instances = expanded.program.instances.iter().enumerate();
    let musts: Vec<(usize, Named)> = instances
        .filter(|(_, it)| it.force == Force::Must && spoken_of(it.rule))
        .map(|(at, _)| (at, named(&expanded, InstanceId(at as u32))))
        .collect();
    for (at, it) in musts {
        let rows = expanded.program.instances[at].rows.clone();
        if looser.aside.contains(&it) {
            for row in &mut expanded.program.rows[rows] {
                (row.terms, row.most) = (Vec::new(), 0);
            }
            continue;
        }
        for (_, by) in looser.accepted.iter().filter(|(other, _)| *other == it) {
            expanded.loosen(InstanceId(at as u32), *by)?;
        }
    }
    Some(expanded)
}

/// Solves an album, some of its rules loosened.
pub(super) fn sizes_of(style: &Style, album: &Album, looser: &Looser, limits: &Limits) -> Solved {
    if limits.is_over() {
        return Solved::Unsettled;
    }
    let Some(expanded) = loosened(style, album, looser) else {
        return Solved::DoesNotFit;
    };
    let solution = solve::solve(&expanded.program, limits);
    match solution.verdict {
        Verdict::FitsBest | Verdict::FitsFound { .. } => {}
        Verdict::Conflict(_) => return Solved::DoesNotFit,
        Verdict::Undecided { .. } => return Solved::Unsettled,
    }
    let parts = Parts {
        style,
        album,
        expanded: &expanded,
        solution: &solution,
    };
    // With rules set aside, nothing keeps things where they belong.
    if looser.aside.is_empty() && !misplaced(parts).is_empty() {
        return Solved::DoesNotFit;
    }
    let named = expanded.sizes.iter();
    let named = named.filter(|s| s.field == "width" || s.field == "height");
    let sizes = named.filter_map(|size| {
        let at = size.unknown.0 as usize;
        let length = expanded.ruler.length_of(solution.values[at])?;
        let name = expanded.program.unknowns[at].name.clone();
        Some((name, Interval::exact(length)))
    });
    Solved::Fits(sizes.collect(), dropped(&expanded, &solution).len())
}
