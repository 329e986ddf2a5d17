//! The steps of the work: a style's sentences, filled in for one album. Facts, no words of our own.
//!
//! A sentence is said for each thing that its `for` binds: leaves, what a leaf has of a list, and the
//! parts and slots that lie on it (`leaf.parts`, in the order in which they are glued, and `leaf.slots`);
//! so `cover.parts` of a frame of the album.
//! May import what `plan` may.

use super::frames::{FramePlan, Laid, Laying, What};
use super::leaf::LeafPlan;
use super::phrase::{Phrase, Piece};
use super::view::View;
use crate::length::Interval;
use crate::program::model::{Meaning, Value};
use crate::scene::{ThingId, stack};
use crate::style::expr::{Binding, Condition, ConditionNode, Expr, Node, Path, Test, Words};
use crate::style::steps::{self, Sentence, Shows, Uses};

/// One step, as far as the style says it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StepPlan {
    pub title: Option<String>,
    /// Empty where nothing is to be done, or only what `uses` adds.
    pub does: Vec<Phrase>,
    pub checks: Vec<Phrase>,
    pub care: Option<Phrase>,
    /// What has to be on the table for it.
    pub needs: Vec<Phrase>,
    /// Stands in for the whole where nothing is to be done; else the step is left out.
    pub none: Option<String>,
    pub uses: Option<Uses>,
    /// For one album, by one person with some practice; `None` if the style does not say it.
    pub minutes: Option<i64>,
    pub shows: Option<Shows>,
    /// It speaks of things that this album does not have.
    pub idle: bool,
    /// It is done to leaves, not to the album, or makes their template.
    pub of_leaves: bool,
}

/// What a sentence is said of.
#[derive(Clone)]
struct Speaker<'a> {
    laying: Laying<'a>,
    /// The leaf's place in the plan, and its frame.
    leaf: Option<usize>,
    frame: Option<&'a FramePlan>,
    /// What the variables of `leaf.parts` and `leaf.slots` stand for.
    parts: Vec<(String, &'a Laid)>,
}

/// All steps of a style, in its order.
pub(super) fn steps(
    view: View<'_>,
    leaves: &[LeafPlan],
    frames: &[(FramePlan, Laying<'_>)],
) -> Vec<StepPlan> {
    let album = Speaker {
        laying: Laying::of_album(view),
        leaf: None,
        frame: None,
        parts: Vec::new(),
    };
    let of_leaf = |(n, leaf): (usize, &ThingId)| {
        let frame = frames.iter().find(|(frame, _)| frame.leaf == Some(n));
        let bare = || Some(Laying::of_leaf(view, "leaf", *leaf, leaves.get(n)?));
        let laying = frame.map(|(_, laying)| laying.clone()).or_else(bare);
        Some(Speaker {
            laying: laying?,
            leaf: Some(n),
            frame: frame.map(|(frame, _)| frame),
            parts: Vec::new(),
        })
    };
    let leaves = view.scene().leaves().iter().enumerate();
    let telling = Telling {
        frames,
        leaves: leaves.filter_map(of_leaf).collect(),
        album,
    };
    let steps = view.parts.style.steps.iter();
    steps.map(|step| telling.step(step)).collect()
}

struct Telling<'a> {
    album: Speaker<'a>,
    leaves: Vec<Speaker<'a>>,
    frames: &'a [(FramePlan, Laying<'a>)],
}

impl<'a> Telling<'a> {
    fn step(&self, step: &steps::Step) -> StepPlan {
        let mut needs = Vec::new();
        let of_album = |words: &Vec<Words>| self.phrase(&self.album, words);
        let always: Vec<Phrase> = step.needs.iter().filter_map(of_album).collect();
        let depends = |it: &Sentence| !it.bindings.is_empty() || !it.when.is_empty();
        let (mut some, mut idle) = (false, step.uses.is_none());
        let mut does = Vec::new();
        for alike in step.does.chunk_by(|a, b| a.follows(b)) {
            let said = self.sentences(alike, &mut needs);
            let depending = alike.iter().any(depends);
            some |= depending;
            idle &= !depending || said.is_empty();
            does.extend(said);
        }
        let idle = idle && some;
        let checks = step.checks.chunks(1);
        let checks = checks.flat_map(|one| self.sentences(one, &mut needs));
        StepPlan {
            title: step.title.clone(),
            does,
            checks: checks.collect(),
            care: step.care.as_ref().and_then(of_album),
            needs: match idle {
                true => Vec::new(),
                false => always.into_iter().chain(needs).collect(),
            },
            none: step.none.clone(),
            uses: step.uses.clone(),
            minutes: step.minutes.as_ref().and_then(|minutes| {
                let point = self.album.laying.view.point();
                let minutes = point.ends(minutes, &Default::default())?;
                i64::try_from(minutes.most.ceil().to_integer()).ok()
            }),
            shows: step.shows,
            idle,
            of_leaves: match &step.uses {
                Some(Uses::Photos | Uses::Tuck) => true,
                Some(Uses::Mark(name)) => self.leaves.iter().any(|it| it.pierced(name)),
                Some(Uses::Measure | Uses::Cut | Uses::Order) => false,
                None if step.shows == Some(Shows::Template) => true,
                None => step.does.iter().any(Sentence::is_of_leaves),
            },
        }
    }

    /// Sentences that speak of the same things, thing by thing.
    fn sentences(&self, alike: &[Sentence], needs: &mut Vec<Phrase>) -> Vec<Phrase> {
        let Some(one) = alike.first() else {
            return Vec::new();
        };
        let (first, rest) = one.bindings.split_at(one.bindings.len().min(1));
        let mut all = Vec::new();
        for first in &self.bound(&self.album, first) {
            let mut said = Vec::new();
            for speaker in &self.bound(first, rest) {
                for sentence in alike {
                    if !sentence.when.iter().all(|it| holds(speaker, it)) {
                        continue;
                    }
                    let Some(phrase) = self.phrase(speaker, &sentence.say) else {
                        continue;
                    };
                    said.push(phrase);
                    for words in &sentence.needs {
                        let need = self.phrase(speaker, words);
                        needs.extend(need.filter(|need| !needs.contains(need)));
                    }
                }
            }
            let head = one.head.as_ref().and_then(|head| self.phrase(first, head));
            all.extend(together(said, head, one.join.as_deref()));
        }
        if one.once {
            all.truncate(1);
        }
        all
    }

    /// Everything that bindings stand for.
    fn bound(&self, from: &Speaker<'a>, bindings: &[Binding]) -> Vec<Speaker<'a>> {
        let Some((first, rest)) = bindings.split_first() else {
            return vec![from.clone()];
        };
        let each = self.listed(from, first);
        each.iter().flat_map(|it| self.bound(it, rest)).collect()
    }

    fn listed(&self, from: &Speaker<'a>, binding: &Binding) -> Vec<Speaker<'a>> {
        let name = &binding.variable;
        match binding.list.0.as_slice() {
            [leaves] if leaves == "leaves" => {
                let leaves = self.album.laying.view.scene().leaves().iter();
                let leaves = leaves.zip(&self.leaves);
                leaves.map(|(id, leaf)| leaf.with(name, *id)).collect()
            }
            [head, list] if list == "parts" && self.of_album(head).is_some() => {
                let frame = self.of_album(head);
                let parts = frame.map_or(Vec::new(), |(frame, _)| frame.as_glued());
                let of = |part| Speaker {
                    laying: frame.map_or(from.laying.clone(), |(_, laying)| laying.clone()),
                    leaf: None,
                    frame: frame.map(|(frame, _)| frame),
                    parts: vec![(name.clone(), part)],
                };
                parts.into_iter().map(of).collect()
            }
            [_, list] if from.frame.is_some() && (list == "parts" || list == "slots") => {
                let laid = from.frame.map_or(Vec::new(), |frame| match list.as_str() {
                    "parts" => frame.as_glued(),
                    _ => frame.slots().collect(),
                });
                let of = |part| {
                    let mut speaker = from.clone();
                    speaker.parts.push((name.clone(), part));
                    speaker
                };
                laid.into_iter().map(of).collect()
            }
            _ => {
                let model = &from.laying.view.parts.expanded.model;
                let things = model.list(&binding.list, &from.laying.scope);
                things.iter().map(|it| from.with(name, *it)).collect()
            }
        }
    }

    /// A frame of the album itself.
    fn of_album(&self, name: &str) -> Option<&'a (FramePlan, Laying<'a>)> {
        let mut frames = self.frames.iter();
        frames.find(|(frame, _)| frame.leaf.is_none() && frame.name == name)
    }

    fn phrase(&self, speaker: &Speaker<'a>, words: &[Words]) -> Option<Phrase> {
        let mut pieces = Vec::new();
        for word in words {
            match word {
                Words::Plain(text) => pieces.push(Piece::Words(text.clone())),
                Words::Left | Words::Right | Words::Off => return None,
                Words::Value(expr) => pieces.extend(self.value(speaker, expr)?),
            }
        }
        Some(Phrase(pieces))
    }

    fn value(&self, speaker: &Speaker<'a>, expr: &Expr) -> Option<Vec<Piece>> {
        let laying = &speaker.laying;
        if let Node::Name(path) = &expr.node
            && let Some(pieces) = self.named(speaker, path)
        {
            return Some(pieces);
        }
        let view = laying.view;
        let model = &view.parts.expanded.model;
        Some(vec![
            match model.value(expr, &laying.scope, view.finished.picks) {
                Ok(Value::Number(n)) => Piece::Words(n.to_string()),
                Ok(Value::Text(text)) => Piece::Words(text),
                _ => Piece::Length(laying.value(expr)?.interval()?),
            },
        ])
    }

    /// What a name says that is more than one value: `leaf.each`, `stop.unfolded`, `hole.heights`.
    fn named(&self, speaker: &Speaker<'a>, path: &Path) -> Option<Vec<Piece>> {
        let [head, field] = path.0.as_slice() else {
            return None;
        };
        let view = speaker.laying.view;
        // A name of the album comes before the same of a part: `pocket.edge`.
        let model = &view.parts.expanded.model;
        let known = model.meaning(path, &speaker.laying.scope) != Meaning::Absent;
        if let Some(laid) = speaker.laid(head, known) {
            return of_part(speaker, laid, field);
        }
        if let Some(said) = bag(speaker, path) {
            return Some(vec![said]);
        }
        let thing = || view.parts.expanded.model.head(head, &speaker.laying.scope);
        match field.as_str() {
            "heights" => {
                let marks = self.frames.iter().find_map(|(frame, _)| {
                    let heights = frame.heights_apart(head);
                    (!heights.is_empty()).then_some(heights)
                });
                Some(vec![Piece::Lengths(marks?)])
            }
            "each" => {
                let plan = self.frames.iter().find(|(f, _)| f.leaf == speaker.leaf)?;
                let count = view.scene().count(thing()?, "count");
                let title = &plan.0.titles[usize::from(count != 1)];
                let name = view.scene().text(thing()?, "name");
                Some(vec![Piece::Words(format!("{name} ({count} {title})"))])
            }
            "name" => {
                let scene = view.scene();
                let key = (scene.album(), head.clone());
                if model.choices.get(&key).is_some() {
                    let picked = scene.thing(view.finished.item(model, &key)?.thing);
                    return Some(vec![Piece::Words(picked.label.clone())]);
                }
                let name = scene.text(thing()?, "name").to_owned();
                Some(vec![match scene.thing(thing()?).kind {
                    "insert" => Piece::Names(vec![name]),
                    _ => Piece::Words(name),
                }])
            }
            "size" => {
                let [width, height] = ["width", "height"].map(|side| view.length(thing()?, side));
                Some(vec![Piece::Size(width?, height?)])
            }
            "edge" => {
                let insert = speaker.insert(thing()?)?;
                let edge = speaker.frame?.parts.get(insert.slot?)?.edge.clone();
                Some(vec![Piece::Words(edge?)])
            }
            _ => None,
        }
    }
}

impl<'a> Speaker<'a> {
    /// The same of one more thing.
    fn with(&self, variable: &str, thing: ThingId) -> Speaker<'a> {
        let mut speaker = self.clone();
        speaker.laying.scope.push(variable, thing);
        speaker
    }

    fn pierced(&self, mark: &str) -> bool {
        let mut marks = self.frame.into_iter().flat_map(|frame| &frame.marks);
        marks.any(|it| it.name == mark)
    }

    /// The part that a name stands for: a variable's, or the first of that name on the frame, if the
    /// name is not known otherwise.
    fn laid(&self, name: &str, known: bool) -> Option<&'a Laid> {
        let bound = self.parts.iter().rev().find(|(v, _)| v == name);
        let here = || self.frame.filter(|_| !known)?.part(name);
        bound.map(|(_, laid)| *laid).or_else(here)
    }

    /// An insert of the leaf, where it lies.
    fn insert(&self, thing: ThingId) -> Option<&'a Laid> {
        let (leaf, _) = self.laying.leaf?;
        let inserts = self.laying.view.scene().list(leaf, "inserts");
        let at = inserts.iter().position(|it| *it == thing)?;
        let mut parts = self.frame?.parts.iter();
        parts.find(|part| matches!(part.what, What::Insert(n, _) if n == at))
    }
}

fn of_part(speaker: &Speaker<'_>, part: &Laid, field: &str) -> Option<Vec<Piece>> {
    let phrase = |phrase: &Option<Phrase>| phrase.clone().map(|phrase| phrase.0);
    match field {
        "glue" => phrase(&part.glue),
        "lies" => phrase(&part.note),
        "says" => phrase(&part.says),
        "title" => Some(vec![Piece::Words(part.title.clone())]),
        "edge" => Some(vec![Piece::Words(part.edge.clone()?)]),
        "runs_under" => Some(vec![Piece::Length(part.runs_under?)]),
        "size" => Some(vec![Piece::Size(part.width, part.height)]),
        "unfolded" => Some(vec![Piece::Size(part.width, stack::times(part.height, 2)?)]),
        "inserts" => {
            let frame = speaker.frame?;
            let at = frame.parts.iter().position(|it| std::ptr::eq(it, part))?;
            let inside = frame.parts.iter().filter(|it| it.slot == Some(at));
            let inside: Vec<String> = inside.map(|it| it.name.clone()).collect();
            // Nothing is said of what is in an empty slot.
            (!inside.is_empty()).then(|| vec![Piece::Names(inside)])
        }
        _ => None,
    }
}

fn holds(speaker: &Speaker<'_>, condition: &Condition) -> bool {
    match &condition.node {
        ConditionNode::Not(inner) => !holds(speaker, inner),
        ConditionNode::Given(path) if bag(speaker, path).is_some() => true,
        ConditionNode::Text(path, test, text) if bag(speaker, path).is_some() => {
            let same = bag(speaker, path) == Some(Piece::Words(text.clone()));
            same == (*test == Test::Equal)
        }
        _ => speaker.laying.one_holds(condition).unwrap_or(false),
    }
}

/// What the supplies say of the leaf's bag.
fn bag(speaker: &Speaker<'_>, path: &Path) -> Option<Piece> {
    let [head, field] = path.0.as_slice() else {
        return None;
    };
    if head != "bag" {
        return None;
    }
    let album = speaker.laying.view.parts.album;
    let leaf = album.leaves.get(speaker.leaf?)?;
    let bag = album.supplies.bags.get(leaf.bag)?;
    let pocket = bag.pocket.as_ref();
    let length = |value: Option<Interval>| value.map(Piece::Length);
    match field.as_str() {
        "name" => Some(Piece::Words(bag.name.clone())),
        "size" => Some(Piece::Size(bag.width, bag.height)),
        "folded" => length(bag.folded),
        "pocket_edge" => length(pocket.map(|pocket| pocket.edge)),
        "pocket_depth" => length(pocket.and_then(|pocket| pocket.depth)),
        "pocket_why" => pocket.and_then(|p| p.why.clone()).map(Piece::Words),
        _ => None,
    }
}

/// Phrases of one thing as one, with a head before the first and a word between them.
fn together(said: Vec<Phrase>, head: Option<Phrase>, join: Option<&str>) -> Vec<Phrase> {
    let mut said = match join {
        Some(join) if !said.is_empty() => vec![Phrase::joined(said, join)],
        _ => said,
    };
    if let (Some(head), Some(first)) = (head, said.first_mut()) {
        first.0.splice(0..0, head.0);
    }
    said
}
