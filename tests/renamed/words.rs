//! Other words for everything that a style declares: the same letters in another order, so that what
//! is printed is as wide as before.

use crate::common::dice::Dice;
use std::collections::{BTreeMap, BTreeSet};
use tuckwright::album::Album;
use tuckwright::style::Style;
use tuckwright::style::parts;
use tuckwright::text::Said;
use tuckwright::vocabulary;

/// What is called anew, and how.
#[derive(Default)]
pub struct Words {
    /// Quantities, parts, marks, and the things that names are of.
    pub names: BTreeMap<String, String>,
    /// What a name says of a thing: `pocket`, `edge`.
    fields: BTreeMap<(String, String), String>,
    /// What an album says to put a thing somewhere.
    places: BTreeMap<String, String>,
    sections: BTreeMap<String, String>,
    /// From each new word back to the old one.
    back: BTreeMap<String, String>,
}

/// Makes new words; with `first` kept, each begins as the old one does.
struct Maker {
    dice: Dice,
    first: bool,
    /// Words that stand in the style, and those that were made.
    taken: BTreeSet<String>,
    back: BTreeMap<String, String>,
}

impl Maker {
    /// `front_mat` as `tonrf_tma`.
    fn name(&mut self, old: &str) -> String {
        let words: Vec<String> = old.split('_').map(|word| self.word(word)).collect();
        words.join("_")
    }

    fn word(&mut self, old: &str) -> String {
        let keep = usize::from(self.first);
        for _ in 0..1_000 {
            let mut letters: Vec<char> = old.chars().collect();
            self.dice.shuffle(&mut letters[keep..]);
            let new: String = letters.into_iter().collect();
            let known = self.back.get(&new);
            if known.is_some_and(|it| it == old) || known.is_none() && !self.taken.contains(&new) {
                self.back.insert(new.clone(), old.to_owned());
                return new;
            }
        }
        // Too short for another order.
        self.back.insert(old.to_owned(), old.to_owned());
        old.to_owned()
    }
}

const OF_EVERY_STYLE: [&str; 2] = ["closed", "grip"];

/// Words of a text, in small letters.
fn each(text: &str) -> impl Iterator<Item = String> {
    let words = text.split(|c: char| !c.is_ascii_alphabetic());
    words.map(str::to_ascii_lowercase)
}

impl Words {
    /// `others`: a text whose words no new word may be.
    pub fn new(style: &Style, seed: u64, first: bool, others: &str) -> Words {
        let mut maker = Maker {
            dice: Dice::new(seed),
            first,
            taken: each(others).collect(),
            back: BTreeMap::new(),
        };
        let mut words = Words::default();
        let quantities = style.quantities.iter();
        // What the program itself needs keeps its name.
        let of_program = style.quantities[style.quantities.len() - 1].place;
        let own = quantities.filter(|it| it.place != of_program);
        let mut names: Vec<String> = own.map(|it| it.name.clone()).collect();
        let all = parts::all(&style.parts);
        names.extend(all.iter().map(|it| it.name.clone()));
        let heads = style.names.iter().map(|it| it.name.head().to_owned());
        // Names that every style says: the closed album, and what things are taken hold of by.
        names.extend(heads.filter(|head| !OF_EVERY_STYLE.contains(&head.as_str())));
        names.extend(style.hole().map(|mark| mark.name.clone()));
        for name in names {
            let new = |name: &String| maker.name(name);
            words.names.entry(name).or_insert_with_key(new);
        }
        for rule in &style.names {
            let [head, field] = rule.name.0.as_slice() else {
                continue;
            };
            let kind = match style.on_leaf_called(head).map(|part| &part.kind) {
                Some(parts::Kind::Slot(_)) => "slot",
                _ => head.as_str(),
            };
            if !OF_EVERY_STYLE.contains(&head.as_str()) && vocabulary::find(kind, field).is_none() {
                let new = maker.name(field);
                words.fields.insert((head.clone(), field.clone()), new);
            }
        }
        for (_, slot) in style.slots() {
            let mut new = |word: &String| maker.name(word);
            let places = words.places.entry(slot.place.clone());
            places.or_insert_with_key(&mut new);
            if let Some(section) = &slot.section {
                let sections = words.sections.entry(section.clone());
                sections.or_insert_with_key(&mut new);
            }
        }
        words.back = maker.back;
        words
    }

    fn field(&self, head: &str, field: &str) -> String {
        let of = |field: &str| {
            let key = (head.to_owned(), field.to_owned());
            self.fields.get(&key).cloned()
        };
        let play = || Some(of(field.strip_suffix("_play")?)? + "_play");
        of(field).or_else(play).unwrap_or(field.to_owned())
    }

    fn word(&self, word: &str) -> String {
        self.names.get(word).cloned().unwrap_or(word.to_owned())
    }

    /// A name with its words exchanged: the first, or behind a leaf the second too.
    pub fn renamed(&self, path: &str) -> String {
        let parts: Vec<&str> = path.split('.').collect();
        let out: Vec<String> = match parts[..] {
            [one] => vec![self.word(one)],
            [head, field] => vec![self.word(head), self.field(head, field)],
            [head, part, field] => {
                vec![self.word(head), self.word(part), self.field(part, field)]
            }
            _ => parts.iter().map(|it| (*it).to_owned()).collect(),
        };
        out.join(".")
    }

    /// Every name in a text of the rules, and what an album says where it is compared with.
    fn in_rule(&self, text: &str) -> String {
        let mut out = String::new();
        let mut name = String::new();
        let mut last = String::new();
        let is_name =
            |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_' || c == '.';
        let mut pieces = text.split('"');
        while let Some(plain) = pieces.next() {
            for c in plain.chars().chain(['\n']) {
                if is_name(c) {
                    name.push(c);
                    continue;
                }
                if !name.is_empty() {
                    last = name.rsplit('.').next().unwrap_or("").to_owned();
                }
                out.push_str(&self.renamed(&name));
                name.clear();
                out.push(c);
            }
            out.pop();
            if let Some(quoted) = pieces.next() {
                let words = match last.as_str() {
                    "place" => &self.places,
                    "section" => &self.sections,
                    _ => &self.names,
                };
                let new = words.get(quoted).map_or(quoted, String::as_str);
                out.push_str(&format!("\"{new}\""));
            }
        }
        out
    }

    /// A sentence: the names in its braces.
    fn braces(&self, text: &str) -> String {
        let mut out = String::new();
        let mut rest = text;
        while let Some(open) = rest.find('{') {
            let close = open + rest[open..].find('}').expect("a brace closes");
            out.push_str(&rest[..=open]);
            out.push_str(&self.in_rule(&rest[open + 1..close]));
            rest = &rest[close..];
        }
        out.push_str(rest);
        out
    }

    fn each(&self, text: &str) -> String {
        let words: Vec<String> = text.split(' ').map(|it| self.renamed(it)).collect();
        words.join(" ")
    }

    /// The whole style, with every line where it was.
    pub fn style(&self, text: &str) -> String {
        let mut out = String::new();
        let mut table = "";
        for line in text.lines() {
            if line.starts_with('[') {
                table = line;
            }
            if !line.trim_start().starts_with('#') {
                out.push_str(&self.line(line, table.ends_with("name]")));
            }
            out.push('\n');
        }
        out
    }

    /// Rules in single quotes, names in braces, keys, and texts that are names.
    fn line(&self, line: &str, name_table: bool) -> String {
        let mut out = String::new();
        let mut rest = line;
        // A quantity at the head of its line.
        let is_key = |c: &char| c.is_ascii_lowercase() || *c == '_';
        let key: String = rest.chars().take_while(is_key).collect();
        if self.names.contains_key(&key) && rest[key.len()..].trim_start().starts_with("= {") {
            out.push_str(&self.names[&key]);
            rest = &rest[key.len()..];
        }
        let mut key = String::new();
        while let Some(at) = rest.find(['\'', '"']) {
            let quote = &rest[at..=at];
            let before = &rest[..at];
            out.push_str(before);
            let end = at + 1 + rest[at + 1..].find(quote).expect("a quote ends");
            let inside = &rest[at + 1..end];
            if let Some((said, _)) = before.rsplit_once('=') {
                let said = said.trim_end();
                let from = said.rfind(|c: char| !is_key(&c)).map_or(0, |at| at + 1);
                key = said[from..].to_owned();
            }
            let one = !inside.contains(' ');
            let of = |words: &BTreeMap<String, String>| {
                words.get(inside).map_or(inside, String::as_str).to_owned()
            };
            let new = match (quote, key.as_str()) {
                ("'", _) => self.in_rule(inside),
                _ if name_table && before.trim().is_empty() => self.renamed(inside),
                (_, "for") => self.in_rule(inside),
                (_, "name" | "least" | "above" | "low" | "before" | "mend") if one => {
                    self.renamed(inside)
                }
                (_, "place") => of(&self.places),
                (_, "section") => of(&self.sections),
                (_, "prefer" | "use") => self.each(inside),
                _ => self.braces(inside),
            };
            out.push_str(&format!("{quote}{new}{quote}"));
            rest = &rest[end + 1..];
        }
        out.push_str(rest);
        out
    }

    /// An album in the new words.
    pub fn album(&self, album: &Album) -> Album {
        let mut album = album.clone();
        for line in &mut album.prefer {
            // The name of a wish is none of the style's words.
            if !line.value.starts_with("keep ") {
                line.value = self.each(&line.value);
            }
        }
        for (name, _) in &mut album.set {
            name.value = self.renamed(&name.value);
        }
        let said = |said: &mut Said<String>, words: &BTreeMap<String, String>| {
            if let Some(new) = words.get(&said.value) {
                said.value = new.clone();
            }
        };
        for leaf in &mut album.leaves {
            for (name, _) in &mut leaf.parts {
                *name = self.renamed(name);
            }
            let given = leaf.given.iter_mut().chain(&mut leaf.measured);
            let names = given.map(|(name, _)| name).chain(&mut leaf.named);
            for name in names {
                name.value = self.renamed(&name.value);
            }
            for insert in &mut leaf.inserts {
                said(&mut insert.goes, &self.places);
                if let Some(section) = &mut insert.section {
                    said(section, &self.sections);
                }
            }
        }
        album
    }

    /// A text in the old words again; words with a capital too.
    pub fn back(&self, text: &str) -> String {
        let mut out = String::new();
        let mut word = String::new();
        for c in text.chars().chain(['\n']) {
            if c.is_ascii_alphabetic() {
                word.push(c);
                continue;
            }
            out.push_str(&self.one_back(&word));
            word.clear();
            out.push(c);
        }
        out.pop();
        out
    }

    fn one_back(&self, word: &str) -> String {
        if let Some(old) = self.back.get(word) {
            return old.clone();
        }
        let mut letters = word.chars();
        let first = letters.next().filter(char::is_ascii_uppercase);
        let small = first.map(|first| first.to_ascii_lowercase().to_string() + letters.as_str());
        let old = small.and_then(|small| self.back.get(&small));
        old.map_or(word.to_owned(), |old| {
            old[..1].to_ascii_uppercase() + &old[1..]
        })
    }

    /// Old names in what a text tells to type, in backticks. What stands before `=` is a key of a file,
    /// and so is what the supplies say of a bag.
    pub fn typed(&self, text: &str) -> Vec<String> {
        let is_name = |c: char| c.is_ascii_alphanumeric() || "_.-=".contains(c);
        let mut found = Vec::new();
        for typed in text.split('`').skip(1).step_by(2) {
            let words: Vec<&str> = typed
                .split(|c| !is_name(c))
                .filter(|it| !it.is_empty())
                .collect();
            for (at, word) in words.iter().enumerate() {
                let key = words.get(at + 1).is_some_and(|next| next.starts_with('='));
                let renamed = [&self.names, &self.places].iter().any(|all| {
                    let head = word.split('.').next().unwrap_or(word);
                    all.get(head).is_some_and(|new| new != head)
                });
                if renamed && !key && vocabulary::find("bag", word).is_none() {
                    found.push((*word).to_owned());
                }
            }
        }
        found
    }

    /// Which new words a text has; none of the old texts may have one.
    pub fn strays(&self, text: &str) -> Vec<String> {
        let is_new = |word: &String| self.back.get(word).is_some_and(|old| old != word);
        each(text).filter(is_new).collect()
    }
}
