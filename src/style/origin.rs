//! Where the files that a style takes over were asked for: what they lack is a fault there.

use super::expr::{Expr, Path};
use super::parts::{Everything, NameRule, everything};
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
    pub(super) fn at_home(
        &self,
        style: &Style,
        mut wrong: Vec<At<StyleError>>,
    ) -> Vec<At<StyleError>> {
        let mut told: Vec<At<StyleError>> = Vec::new();
        let leafless = style.leaf_frame().is_none();
        // What it is comes before what it lacks by being that.
        wrong.sort_by_key(|it| !matches!(it.what, StyleError::Dimension { .. }));
        for fault in wrong {
            let fault = self.anew(style, fault);
            let asked = self.asked(fault.place);
            let (Some((file, at)), Some(lost)) = (asked, fault.what.lost()) else {
                let again = matches!(fault.what, StyleError::Anew { .. });
                if !again || told.iter().all(|it| it.place != fault.place) {
                    told.push(fault);
                }
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

    /// A fault in a file that comes with the program, if what it reads there is said anew by the maker: a fault of
    /// the maker's line.
    fn anew(&self, style: &Style, fault: At<StyleError>) -> At<StyleError> {
        if self.asked(fault.place).is_none() {
            return fault;
        }
        let other = match &fault.what {
            StyleError::Dimension { other, .. } => *other,
            _ => None,
        };
        let places = std::iter::once(fault.place).chain(other.map(|(place, _)| place));
        let own = places.filter_map(|place| Some((place, self.own(style, &fault.what, place)?)));
        let Some((first, (name, own))) = own.take(1).next() else {
            return fault;
        };
        let what = match (fault.what, other) {
            (StyleError::Dimension { what, wanted, .. }, Some((place, is))) if place == first => {
                // Of a product neither may be what it is.
                let wanted = if is == what { wanted } else { what };
                StyleError::Dimension {
                    what: is,
                    wanted,
                    other: None,
                }
            }
            (what, _) => what,
        };
        let what = Box::new(what);
        StyleError::Anew { name, what, first }.at(own)
    }

    /// What is said by the maker, of all that the names at a place come from.
    fn own(&self, style: &Style, what: &StyleError, place: Place) -> Option<(String, Place)> {
        let within =
            |it: &Place| place.file == it.file && place.start <= it.start && it.end <= place.end;
        let Everything { exprs, conditions } = everything(style);
        let asked = conditions.iter().filter(|it| within(&it.place));
        let mut names: Vec<&Path> = asked.flat_map(|it| it.names()).collect();
        let sides = conditions.iter().flat_map(|it| it.sides());
        let read = exprs.into_iter().chain(sides).flat_map(Expr::names);
        names.extend(read.filter(|(_, it)| within(it)).map(|(path, _)| path));
        if let StyleError::Circle { names: round } = what {
            let all = style.names.iter().map(|it| &it.name);
            names.extend(all.filter(|it| round.contains(&it.to_string())));
        }
        let mut at = 0;
        while let Some(path) = names.get(at).copied() {
            at += 1;
            let quantity = style.quantity(path.head()).filter(|_| path.0.len() == 1);
            let tail = &path.0[path.0.len().saturating_sub(2)..];
            let of = path.last();
            let of = of.strip_suffix("_play").unwrap_or(of);
            let is = |name: &Path| tail.len() == 2 && tail[0] == name.head() && of == name.last();
            let unknown = style.unknowns.iter().find(|it| is(&it.name));
            let rule = style.names.iter().find(|it| is(&it.name));
            let row = rule.and_then(|it| Some(it.rows.first()?.place));
            let said = quantity.map(|it| it.place);
            let said = said.or(unknown.map(|it| it.place)).or(row);
            if let Some(own) = said.filter(|it| self.asked(*it).is_none()) {
                return Some((path.to_string(), own));
            }
            let next = rule.map(NameRule::reads).unwrap_or_default();
            let next: Vec<&Path> = next.into_iter().filter(|it| !names.contains(it)).collect();
            names.extend(next);
        }
        None
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
