//! Where the files that a style takes over were asked for: what they lack is a fault there.

use super::{Style, StyleError};
use crate::text::{At, Finds, Place, Problem};

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
    pub(super) fn at_home(&self, style: &Style, wrong: Vec<At<StyleError>>) -> Vec<At<StyleError>> {
        let mut told: Vec<At<StyleError>> = Vec::new();
        let leafless = style.leaf_frame().is_none();
        for fault in wrong {
            let asked = self.asked(fault.place);
            let (Some((file, at)), Some(lost)) = (asked, fault.what.lost()) else {
                told.push(fault);
                continue;
            };
            let taken_out = self.without.iter().find(|(name, _)| name == lost);
            let at = taken_out.map_or(at, |(_, at)| *at);
            let same = told.iter_mut().find(|it| it.place == at);
            if let Some(StyleError::Lacks {
                names,
                leafless: of_leaves,
                ..
            }) = same.map(|it| &mut it.what)
            {
                *of_leaves |= leafless && lost.starts_with("leaf.");
                names.extend((!names.iter().any(|it| it == lost)).then(|| lost.to_owned()));
                continue;
            }
            let (file, names) = (file.to_owned(), vec![lost.to_owned()]);
            let first = fault.place;
            let mut rules = style.rules.iter().map(|rule| (&rule.name, rule.place));
            let of = rules.rfind(|(_, it)| it.file == first.file && it.start <= first.start);
            let rule = of.filter(|_| taken_out.is_some());
            let rule = rule.map(|(name, _)| name.clone());
            let lacks = StyleError::Lacks {
                file,
                names,
                rule,
                leafless: leafless && lost.starts_with("leaf."),
                first,
            };
            told.push(lacks.at(at));
        }
        told
    }

    /// The row before which another should stand is not there.
    pub(super) fn no_row(&self, name: String, at: Place, faults: &Finds) {
        match self.asked(at) {
            None => faults.tell(at, StyleError::BeforeNothing { name }),
            Some((file, home)) => {
                let (file, names) = (file.to_owned(), vec![name]);
                let lacks = StyleError::Lacks {
                    file,
                    names,
                    rule: None,
                    leafless: false,
                    first: at,
                };
                faults.tell(home, lacks);
            }
        }
    }
}
