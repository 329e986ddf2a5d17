//! The steps of a style, tested before any album is looked at: what they name, and that a sentence asks for
//! what an album may be without.

use super::StyleError;
use super::check::Checker;
use super::expr::{Binding, Condition, ConditionNode, Node, Path, Words};
use super::names::{Kinds, kind_of};
use super::steps::{Sentence, Step, Uses};
use crate::text::Problem as _;
use crate::vocabulary::{self, Dimension};

impl Checker<'_> {
    pub(super) fn step(&mut self, step: &Step) {
        if let Some(Uses::Mark(name)) = &step.uses {
            let marks = self.marks().map(|mark| mark.name.clone());
            let known: Vec<String> = marks.collect();
            if !known.contains(name) {
                let (name, place) = (name.clone(), step.place);
                self.refuse(place, StyleError::NoMark { name, known });
            }
        }
        let kinds = Kinds::new();
        for sentence in step.does.iter().chain(&step.checks) {
            self.sentence(sentence, &kinds);
            self.whole(sentence);
        }
        if let Some(minutes) = &step.minutes {
            self.wanted(minutes, Dimension::Number, &kinds);
        }
        let words = step.care.iter().chain(&step.needs);
        for words in words.flatten() {
            self.word(words, &kinds);
        }
    }

    pub(super) fn sentence(&mut self, sentence: &Sentence, kinds: &Kinds) {
        let mut inside = kinds.clone();
        for binding in &sentence.bindings {
            self.bind_said(binding, &mut inside);
        }
        self.conditions_said(&sentence.when, &inside);
        for words in sentence.words() {
            self.word(words, &inside);
        }
    }

    /// A step's sentence is said whole: it asks for what an album may not have.
    fn whole(&mut self, sentence: &Sentence) {
        let mut kinds = Kinds::new();
        let before = self.errors.len();
        for binding in &sentence.bindings {
            self.bind_said(binding, &mut kinds);
        }
        self.errors.truncate(before);
        let when = &sentence.when;
        for expr in sentence.words().filter_map(Words::value) {
            for (path, place) in expr.names() {
                let [head, field] = path.0.as_slice() else {
                    continue;
                };
                // What the program says of a piece of paper are its sides.
                let field = match field.as_str() {
                    "size" | "unfolded" => "width",
                    field => field,
                };
                let name = Path(vec![head.clone(), field.to_owned()]);
                if (kind_of(&kinds, head), field) == (Some("insert"), "edge") {
                    self.edges_named();
                    continue;
                }
                if self.may_be_missing(&name, &kinds) && !self.is_asked(&name, &kinds, when) {
                    let name = path.to_string();
                    let is = self.names.part(head).or(self.names.of_album(head));
                    let ask = match is {
                        Some("mat") => format!("{head}.wanted"),
                        _ if self.is_chosen(head) => format!("given({head})"),
                        _ => format!("given({name})"),
                    };
                    self.refuse(place, StyleError::Unsaid { name, ask });
                }
            }
        }
    }

    /// Where sentences speak of the edge at which a thing shows, each slot that opens has a word for it.
    fn edges_named(&mut self) {
        for (part, slot) in self.style.slots() {
            let slot = slot.opens.is_some() && slot.edge.is_none();
            let fault = StyleError::NoEdge {
                name: part.name.clone(),
            }
            .at(part.place);
            if slot && !self.errors.contains(&fault) {
                self.errors.push(fault);
            }
        }
    }

    /// Whether an album may have no such value: nothing gives it, or its size is only to be found under a
    /// condition.
    fn may_be_missing(&self, name: &Path, kinds: &Kinds) -> bool {
        if self.is_chosen(name.head()) {
            return true;
        }
        let Ok(known) = self.names.lookup(name, kinds) else {
            return false;
        };
        let mut found = self
            .style
            .unknowns
            .iter()
            .filter(|it| it.name == *name)
            .peekable();
        match found.peek() {
            Some(_) => found.all(|it| !it.when.is_empty()),
            None => known.optional && !known.unknown,
        }
    }

    /// Whether the album chooses it among its supplies, if there are any.
    fn is_chosen(&self, head: &str) -> bool {
        let mut choices = self.style.choices.iter();
        choices.any(|choice| matches!(&choice.name.0[..], [name] if name == head))
    }

    /// Whether conditions ask for a value: by its name, by what it is found under, or by comparing it.
    fn is_asked(&self, name: &Path, kinds: &Kinds, when: &[Condition]) -> bool {
        let full = self.names.full(name, kinds);
        let mut named = Vec::new();
        when.iter().for_each(|it| self.asked(it, &mut named));
        let compared = when
            .iter()
            .filter(|it| matches!(it.node, ConditionNode::Compare(..)));
        named.extend(compared.flat_map(Condition::names));
        let found = self.style.unknowns.iter().filter(|it| it.name == *name);
        let mut under = found.flat_map(|it| &it.when);
        named
            .into_iter()
            .any(|it| full.starts_with(&self.names.full(it, kinds)))
            || under.any(|it| {
                when.iter()
                    .any(|other| same_condition(&it.node, &other.node))
            })
    }

    fn bind_said(&mut self, binding: &Binding, kinds: &mut Kinds) {
        if let [head, list] = binding.list.0.as_slice() {
            let of = kind_of(kinds, head);
            let mut frames = self.style.album_frames();
            let mut is_frame = || frames.any(|(part, _)| part.name == *head);
            let of = of.or_else(|| is_frame().then_some("frame"));
            let mut lists = vocabulary::SAID_LISTS.iter();
            if let Some((_, _, kind)) = lists.find(|(k, l, _)| Some(*k) == of && l == list) {
                return kinds.push((binding.variable.clone(), kind));
            }
        }
        self.bind(binding, kinds);
    }

    fn word(&mut self, words: &Words, kinds: &Kinds) {
        let Some(expr) = words.value() else { return };
        if let Node::Name(path) = &expr.node
            && let [head, field] = path.0.as_slice()
        {
            let single = || vocabulary::SINGLE.iter().copied().find(|it| it == head);
            let kind = kind_of(kinds, head).or_else(single);
            let kind = kind
                .or_else(|| self.names.part(head).or_else(|| self.names.of_album(head)))
                .or_else(|| self.hole(head))
                .unwrap_or(head.as_str());
            let house = |(of, word, _): &(&str, &str, &str)| *of == kind && word == field;
            if vocabulary::SAID.iter().any(house) {
                return;
            }
        }
        self.expr(expr, kinds, &[], false);
    }

    /// The kind of a mark that is a hole.
    pub(super) fn hole(&self, name: &str) -> Option<&'static str> {
        let mut marks = self.marks();
        let hole = marks.find(|mark| mark.name == name && mark.up.is_some());
        hole.map(|_| "hole")
    }
}

pub(super) fn same_condition(a: &ConditionNode, b: &ConditionNode) -> bool {
    match (a, b) {
        (ConditionNode::Given(a), ConditionNode::Given(b))
        | (ConditionNode::Free(a), ConditionNode::Free(b))
        | (ConditionNode::Flag(a), ConditionNode::Flag(b)) => a == b,
        (ConditionNode::Text(a, s, x), ConditionNode::Text(b, t, y)) => (a, s, x) == (b, t, y),
        _ => false,
    }
}
