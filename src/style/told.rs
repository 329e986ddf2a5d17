//! The names that rules of a style may read, as they are told to whoever writes one.

use super::Style;
use super::expr::Path;
use super::names::{Kinds, Names};
use crate::vocabulary::{self, Name};
use itertools::Itertools;

/// A name that a rule may read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Told {
    pub name: String,
    pub meaning: String,
    /// Dimension in words, and whether it is found or may be missing.
    pub notes: Vec<&'static str>,
}

impl Told {
    fn of(name: String, meaning: &str, what: (vocabulary::Dimension, bool, bool)) -> Told {
        let (dimension, found, optional) = what;
        let mut notes = vec![dimension.word()];
        notes.extend(found.then_some("to be found"));
        notes.extend((optional && !found).then_some("may be missing"));
        Told {
            name,
            meaning: meaning.to_owned(),
            notes,
        }
    }
}

/// Names of the program: those of supplies only as the style chooses among these.
pub fn of_program(style: &Style) -> Vec<Told> {
    let chosen = |kind: &str| vocabulary::TABLES.iter().find(|(_, of)| *of == kind);
    let one = |name: &'static Name| -> Vec<Told> {
        let told = |head: &str, optional| {
            let full = format!("{head}.{}", name.field);
            Told::of(full, name.meaning, (name.dimension, name.found, optional))
        };
        match chosen(name.kind) {
            None => vec![told(name.kind, name.optional)],
            Some((table, _)) => {
                let choices = style.choices.iter().filter(|it| it.from == *table);
                let all = choices.map(|it| told(&it.name.to_string(), it.bindings.is_empty()));
                all.collect()
            }
        }
    };
    vocabulary::NAMES.iter().flat_map(one).collect()
}

/// Sizes to be found and rows of `[name]`, in the order of the style; each of a leaf, or of the album.
pub fn of_style(style: &Style) -> Vec<Told> {
    let names = Names::of(style, false);
    let leaf = style.leaf_name().unwrap_or("leaf");
    let kinds: Kinds = vec![(leaf.to_owned(), "leaf")];
    let kind = |head: &str| match head {
        _ if head == leaf => "leaf".to_owned(),
        _ if style.is_hole(head) => "hole".to_owned(),
        head => head.to_owned(),
    };
    let listed = |path: &Path| matches!(&path.0[..], [head, field] if vocabulary::find(&kind(head), field).is_some());
    let sizes = style
        .unknowns
        .iter()
        .filter(|it| !listed(&it.name))
        .map(|it| {
            let what = (vocabulary::Dimension::Length, true, false);
            Told::of(it.name.to_string(), &it.why, what)
        });
    let rows = style.names.iter().filter_map(|rule| {
        let Path(words) = &rule.name;
        let known = names.lookup(&rule.name, &kinds).ok()?;
        let asked = vocabulary::ASKED.iter().any(|(head, ..)| *head == words[0]);
        let what = (known.dimension, known.unknown, known.optional);
        let told = Told::of(rule.name.to_string(), "follows from others", what);
        (!asked && !listed(&rule.name) && !known.loose).then_some(told)
    });
    sizes.chain(rows).unique_by(|it| it.name.clone()).collect()
}
