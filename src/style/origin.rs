//! Where the files that a style takes over were asked for: what they lack is a fault there.

use super::Style;
use super::fault::{Refused, before_nothing};
use super::shipped::sharing;
use crate::text::{At, Finds, Place, Problem, Wrong, listed};

/// Where the files of a style were asked for, and what is left out of them.
#[derive(Default)]
pub(super) struct Origin {
    /// A file, the name by which it is asked for, and where.
    pub files: Vec<(u32, String, Place)>,
    pub without: Vec<(String, Place)>,
}

impl Origin {
    /// Of a place in a file that comes with the program: the name by which a maker asks for it, and where.
    fn asked(&self, place: Place) -> Option<(&str, Place)> {
        let of = |file| self.files.iter().find(|(it, ..)| *it == file);
        let shipped = |file| of(file).filter(|(_, name, _)| !name.ends_with(".toml"));
        let first = shipped(place.file);
        let outer = |it: &&(u32, String, Place)| shipped(it.2.file);
        let last = std::iter::successors(first, |it| outer(it)).last();
        last.map(|(_, name, at)| (name.as_str(), *at))
    }

    /// What a file that comes with the program reads and a style lacks is a fault where the style takes it over,
    /// or leaves out what is read: one for all that is lacking.
    pub(super) fn at_home(&self, style: &Style, wrong: Vec<Refused>) -> Vec<At<Wrong>> {
        let mut told = Vec::new();
        let mut all: Vec<(Place, Lacks)> = Vec::new();
        let leafless = style.leaf_frame().is_none();
        for Refused { fault, lost } in wrong {
            let (Some((file, at)), Some(lost)) = (self.asked(fault.place), lost) else {
                told.push(fault);
                continue;
            };
            let taken_out = self.without.iter().find(|(name, _)| *name == lost);
            let at = taken_out.map_or(at, |(_, at)| *at);
            let of_leaves = leafless && lost.starts_with("leaf.");
            if let Some((_, lacks)) = all.iter_mut().find(|(it, _)| *it == at) {
                lacks.leafless |= of_leaves;
                lacks
                    .names
                    .extend((!lacks.names.contains(&lost)).then_some(lost));
                continue;
            }
            let first = fault.place;
            let mut rules = style.rules.iter().map(|rule| (&rule.name, rule.place));
            let of = rules.rfind(|(_, it)| it.file == first.file && it.start <= first.start);
            let rule = of.filter(|_| taken_out.is_some());
            let lacks = Lacks {
                file,
                names: vec![lost],
                rule: rule.map(|(name, _)| name.as_str()),
                leafless: of_leaves,
                first,
            };
            all.push((at, lacks));
        }
        told.extend(all.iter().map(|(at, lacks)| lacks.wrong().at(*at)));
        told
    }

    /// The row before which another should stand is not there.
    pub(super) fn no_row(&self, name: String, at: Place, faults: &Finds) {
        match self.asked(at) {
            None => faults.tell(at, before_nothing(&name)),
            Some((file, home)) => {
                let lacks = Lacks {
                    file,
                    names: vec![name],
                    rule: None,
                    leafless: false,
                    first: at,
                };
                faults.tell(home, lacks.wrong());
            }
        }
    }
}

/// What a file that is taken over reads, and a style lacks.
struct Lacks<'a> {
    file: &'a str,
    names: Vec<String>,
    /// The rule that reads what the style itself leaves out.
    rule: Option<&'a str>,
    /// It reads of leaves, and this kind of album has none.
    leafless: bool,
    first: Place,
}

impl Lacks<'_> {
    fn wrong(&self) -> Wrong {
        let names = listed(&self.names);
        let what = format!(
            "`{}` reads {names}, which this style does not have",
            self.file
        );
        let help = match self.rule {
            Some(rule) => format!("do not leave it out, or leave out `{rule}` too"),
            None if self.leafless => "delete it: it is for kinds of album with leaves".to_owned(),
            None => lacking(&self.names),
        };
        Wrong::new(what, help).also(self.first, "it is read")
    }
}

/// What a style must have so that what it takes over can read these names: other files that come with the
/// program, names, parts.
fn lacking(names: &[String]) -> String {
    let (dotted, words): (Vec<&String>, Vec<&String>) =
        names.iter().partition(|name| name.contains('.'));
    let (mut say, mut files) = (Vec::new(), Vec::new());
    let mut other = Vec::new();
    for word in words {
        match sharing(&format!("\n{word} ")) {
            Some(file) => files.push(file),
            None => other.push(word),
        }
    }
    files.dedup();
    if !files.is_empty() {
        say.push(format!("include {} too", listed(&files)));
    }
    if !dotted.is_empty() {
        say.push(format!("add {} under `[name]`", listed(&dotted)));
    }
    if !other.is_empty() {
        say.push(format!("add {}", listed(&other)));
    }
    say.join(", and ")
}
